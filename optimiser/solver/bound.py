"""A lower bound in whole numbers, valid for the whole program.

For any multipliers π_i ≥ 0 [cover i], λ_r of either sign [row r] and ρ_s ≥ 0 [bars s], with
ρ_s at least the best Σ_i π_i a_ij + credit over *every* pattern of source s, no
pattern can lower the Lagrangian below its value at x = 0, and the cost of every plan is at
least

    Σ_i π_i at_least_i + Σ_r (λ_r⁺ lower_r − λ_r⁻ upper_r) + Σ_k min(d_k lower_k, d_k upper_k),
    d_k = cost_k − Σ_i π_i term_ik − Σ_r λ_r row_rk − Σ_s ρ_s bars_sk.

Multipliers are whole numbers in units of 1/`SCALE` of the cost's unit, and ρ comes from an
exact knapsack, so nothing is lost to rounding: the result is rounded up to the next whole
cost. Where ρ_s is above what the bars cost, the π of that group may also be scaled down
(Farley); the better of the two is taken.

References: A. A. Farley, "A note on bounding a class of linear programming problems,
including cutting stock problems", Operations Research 38 (1990) 922-923; the safe use of
floating-point duals follows from weak duality alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import floor

from optimiser.solver.credit import best_use
from optimiser.solver.knapsack import Knapsack
from optimiser.solver.program import Program
from optimiser.solver.stock import StockGroup

LARGEST_VALUE = 1 << 58
FINEST = 1 << 30


@dataclass(frozen=True, slots=True)
class Multipliers:
    """Whole-number multipliers: of the covers, the rows and the bars of each source."""

    scale: int
    covers: tuple[int, ...]
    rows: tuple[int, ...]
    bars: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Bound:
    """A valid bound, `scaled` by the multipliers' scale."""

    scaled: int
    multipliers: Multipliers

    @property
    def whole(self) -> int:
        """Return the least whole cost that the bound allows."""
        return -(-self.scaled // self.multipliers.scale)


def choose_scale(program: Program) -> int:
    """Return the scale of multipliers that keeps the value of a bar within 64 bits."""
    dearest = max((abs(column.cost) for column in program.columns), default=1)
    scale = FINEST
    while scale > 1 and scale * max(dearest, 1) * 4 > LARGEST_VALUE:
        scale //= 2
    return scale


def price_values(group: StockGroup, covers: Sequence[int]) -> list[int]:
    """Return what each item of a group is worth."""
    return [covers[i] for i in group.covers]


def evaluate(program: Program, multipliers: Multipliers) -> int:
    """Return the bound that multipliers give, scaled. Their bars must be dear enough."""
    scale = multipliers.scale
    total = 0
    reduced = [column.cost * scale for column in program.columns]
    for cover, pi in zip(program.covers, multipliers.covers, strict=True):
        total += pi * cover.at_least
        for k, coefficient in cover.terms:
            reduced[k] -= pi * coefficient
    for row, multiplier in zip(program.rows, multipliers.rows, strict=True):
        side = row.lower if multiplier > 0 else row.upper
        if multiplier == 0:
            continue
        if side is None:
            continue
        total += multiplier * side
        for k, coefficient in row.terms:
            reduced[k] -= multiplier * coefficient
    for source, rho in zip(program.sources, multipliers.bars, strict=True):
        for k, coefficient in source.bars:
            reduced[k] -= rho * coefficient
    return total + sum(
        d * (column.lower if d > 0 else column.upper)
        for d, column in zip(reduced, program.columns, strict=True)
    )


def best_bars(
    program: Program,
    groups: Sequence[StockGroup],
    covers: Sequence[int],
    scale: int,
    floors: Sequence[int] | None = None,
) -> tuple[tuple[int, ...], dict[int, Knapsack]]:
    """Return the best value of a bar of each source, and the knapsack that gave it.

    With `floors`, one value per source, a result that is no more than its floor may be given
    as the floor: enough to see whether any pattern is worth more.
    """
    bars = [0] * len(program.sources)
    solved: dict[int, Knapsack] = {}
    for group in groups:
        knapsack = Knapsack(
            group.weights,
            group.bounds,
            price_values(group, covers),
            group.longest,
            _lowest_floors(group, floors),
        )
        for position, source in enumerate(group.sources):
            solved[source] = knapsack
            bars[source], _ = best_use(
                knapsack, group.capacities[position], group.credits[position], scale
            )
    return tuple(bars), solved


def length_bound(program: Program, groups: Sequence[StockGroup]) -> Bound | None:
    """Return the bound by length alone: every piece at its share of the cheapest length.

    `None` where bars earn a credit, which this bound does not see.
    """
    if any(any(group.credits) for group in groups):
        return None
    scale = choose_scale(program)
    covers, bars = [0] * len(program.covers), [0] * len(program.sources)
    for group in groups:
        prices = [bar_price(program, source) * scale for source in group.sources]
        rate = min(
            price / capacity for price, capacity in zip(prices, group.capacities, strict=True)
        )
        for i, weight in zip(group.covers, group.weights, strict=True):
            covers[i] = floor(rate * weight)
        for source, capacity in zip(group.sources, group.capacities, strict=True):
            bars[source] = floor(rate * capacity)
    multipliers = Multipliers(scale, tuple(covers), (0,) * len(program.rows), tuple(bars))
    return Bound(evaluate(program, multipliers), multipliers)


def bar_price(program: Program, source: int) -> Fraction:
    """Return the least price of one bar of a source; zero where its bars cost nothing more."""
    return min(
        (Fraction(program.columns[k].cost, c) for k, c in program.sources[source].bars if c > 0),
        default=Fraction(0),
    )


def _lowest_floors(group: StockGroup, floors: Sequence[int] | None) -> dict[int, int] | None:
    """Return the floor of each capacity."""
    if floors is None or any(group.credits):
        return None
    lowest: dict[int, int] = {}
    for capacity, source in zip(group.capacities, group.sources, strict=True):
        lowest[capacity] = min(floors[source], lowest.get(capacity, floors[source]))
    return lowest


def scale_down(
    program: Program, groups: Sequence[StockGroup], multipliers: Multipliers
) -> Multipliers:
    """Return multipliers whose bars cost no more than they are sold for (Farley)."""
    covers, bars = list(multipliers.covers), list(multipliers.bars)
    for group in groups:
        if any(group.credits):
            # A credit does not shrink with the multipliers.
            continue
        over, under = 1, 1
        for source in group.sources:
            for k, coefficient in program.sources[source].bars:
                price = program.columns[k].cost * multipliers.scale
                worth = bars[source] * coefficient
                if worth > price and worth * under > over * price:
                    over, under = worth, price
        if over == under:
            continue
        for i in group.covers:
            covers[i] = covers[i] * under // over
        for source in group.sources:
            bars[source] = bars[source] * under // over
    return Multipliers(multipliers.scale, tuple(covers), multipliers.rows, tuple(bars))


def best_bound(program: Program, groups: Sequence[StockGroup], multipliers: Multipliers) -> Bound:
    """Return the better of the plain and the scaled-down bound."""
    plain = Bound(evaluate(program, multipliers), multipliers)
    lower = scale_down(program, groups, multipliers)
    scaled = Bound(evaluate(program, lower), lower)
    return max(plain, scaled, key=lambda bound: bound.scaled)
