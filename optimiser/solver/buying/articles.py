"""Articles: how many units of one are bought, in multiples, at which price.

Variables
    lots_tk  times the sold multiple of article t is bought at price level k
    on_tk    whether level k is the one in which the quantity lies (0 or 1)

Objective
    Σ (price_tk multiple_t lots_tk + fixed_tk on_tk)
    all units:    price_tk is the level's price, fixed_tk = 0
    incremental:  fixed_tk is what the units before the level cost, less (from_tk − 1) price_tk

Constraints
    [level tk]  from_tk on_tk ≤ multiple_t lots_tk ≤ to_tk on_tk
    [one t]     Σ_k on_tk ≤ 1

Level 0 begins at the least quantity, and no level ends above what is available. Within a level
more units never come to less, so that a least value is a least quantity of each level. An article
with one price, nothing least and no limit is one column. More than the need is bought only
to reach a level or a supplier's threshold: the limits leave room for both. What can serve
nothing in the order is not bought at all, not even to reach a threshold.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import BreakKind, SaleTerms
from optimiser.solver.buying.block import Block, Shipped
from optimiser.units.counts import ceil_div


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """Quantities from `least` to `most` units (`None`: no end) at `price`, plus `fixed`."""

    least: int
    most: int | None
    price: Decimal
    fixed: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """An article's columns: pairs of a column and the units that one of it is."""

    sku: str
    units: tuple[tuple[int, int], ...]

    def count(self, block: tuple[int, ...]) -> int:
        """Return the units bought at a point."""
        return sum(units * block[column] for column, units in self.units)


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """Thresholds of a supplier up to which it may pay to buy beyond the need."""

    goods: Fraction = Fraction(0)
    weight_g: Fraction = Fraction(0)

    @property
    def rewards(self) -> bool:
        """Return whether more or dearer goods than are needed may ever pay."""
        return self.goods > 0 or self.weight_g > 0


@dataclass(slots=True, kw_only=True)
class ArticleWriter:
    """Writes articles of any kind into a block."""

    block: Block
    reach: dict[str, Reach] = field(default_factory=dict)

    def write(
        self,
        terms: SaleTerms,
        *,
        sku: str,
        supplier: str,
        price: Decimal,
        needed: int,
        longest_nm: int = 0,
    ) -> Bought:
        """Write the columns of an article of which up to `needed` units may be of use."""
        multiple = terms.sold_in_multiples_of
        weight_g = terms.unit_weight_g or Fraction(0)
        levels = list(price_levels(terms, price))
        # A fixed part is paid once and only if anything is bought: it needs its switch.
        single = len(levels) == 1 and levels[0].least <= multiple and not levels[0].fixed
        written: list[tuple[int, int]] = []
        switches: list[int] = []
        for number, level in enumerate(levels):
            first = ceil_div(level.least, multiple)
            beyond = self._beyond(supplier, level.price * multiple, weight_g * multiple)
            last = max(ceil_div(needed, multiple), first) + beyond
            if level.most is not None:
                last = min(last, level.most // multiple)
            if last < first or last < 1:
                continue
            lots = self.block.column(f"lots of {sku}, level {number}", level.price * multiple, last)
            self.block.shipped.append(
                Shipped(
                    supplier=supplier,
                    column=lots,
                    goods=level.price * multiple,
                    weight_g=weight_g * multiple,
                    longest_nm=longest_nm,
                )
            )
            written.append((lots, multiple))
            if not single:
                switches.append(self._switch(sku, supplier, number, level, (lots, first, last)))
        if len(switches) > 1:
            self.block.row(f"one level of {sku}", [(on, 1) for on in switches], upper=1)
        return Bought(sku=sku, units=tuple(written))

    def _switch(
        self, sku: str, supplier: str, number: int, level: Level, lots: tuple[int, int, int]
    ) -> int:
        column, first, last = lots
        name = f"level {number} of {sku}"
        on = self.block.column(name, level.fixed, 1, decisive=True)
        if level.fixed:
            self.block.shipped.append(Shipped(supplier=supplier, column=on, goods=level.fixed))
        self.block.row(f"{name}, least", [(column, 1), (on, -first)], lower=0)
        self.block.row(f"{name}, most", [(column, 1), (on, -last)], upper=0)
        return on

    def _beyond(self, supplier: str, goods: Decimal, weight_g: Fraction) -> int:
        reach = self.reach.get(supplier, Reach())
        lots = [Fraction(0)]
        if goods > 0:
            lots.append(reach.goods / Fraction(goods))
        if weight_g > 0:
            lots.append(reach.weight_g / weight_g)
        most = max(lots)
        return ceil_div(most.numerator, most.denominator)


def price_levels(terms: SaleTerms, price: Decimal) -> Iterator[Level]:
    """Yield the levels of an article's price that a quantity can lie in, rising."""
    starts = [(1, price), *((step.from_quantity, step.price) for step in terms.breaks)]
    before = Decimal(0)
    for number, (start, level_price) in enumerate(starts):
        end = starts[number + 1][0] - 1 if number + 1 < len(starts) else None
        least = max(start, terms.least_quantity)
        most = end
        if terms.available is not None:
            most = terms.available if end is None else min(end, terms.available)
        fixed = Decimal(0)
        if terms.break_kind is BreakKind.INCREMENTAL:
            fixed = before - (start - 1) * level_price
        if level_price > 0:
            units = Fraction(terms.least_value - fixed) / Fraction(level_price)
            least = max(least, ceil_div(units.numerator, units.denominator))
        reachable = level_price > 0 or fixed >= terms.least_value
        if reachable and (most is None or most >= least):
            yield Level(least=least, most=most, price=level_price, fixed=fixed)
        if end is not None:
            before += (end - start + 1) * level_price
