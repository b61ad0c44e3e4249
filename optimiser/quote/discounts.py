"""Discounts: of one kind of line, of the order, then fixed amounts; and the rounding to a step."""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.faults import Fault
from optimiser.domain.quote import GivenDiscount
from optimiser.domain.quote_terms import Discount, LineKind, Terms
from optimiser.quote.allotment import allot_money
from optimiser.quote.lines import PricedLine
from optimiser.quote.rounding import minor_unit, round_to_step
from optimiser.units.money import format_money, minor_digits


@dataclass(frozen=True, slots=True, kw_only=True)
class NetPrice:
    """The net price, how it came about, and each line's part of it, which add up to it."""

    given: tuple[GivenDiscount, ...]
    rounding: Decimal
    net_price: Decimal
    by_line: tuple[Decimal, ...]


def reduce_price(lines: tuple[PricedLine, ...], terms: Terms, currency: str) -> NetPrice:
    """Return the net price of lines: less the discounts, rounded to the step of the terms.

    Discounts that come to nothing are left out. What is not a discount of one kind is spread over
    the lines by what is left of their prices.
    """
    taking = _Taking(lines, terms, currency)
    given = tuple(item for item in taking.take_all() if item.amount)
    list_price = sum((line.price for line in lines), Decimal(0))
    left = list_price - sum((item.amount for item in given), Decimal(0))
    step = terms.rounding.step or minor_unit(currency)
    net_price = round_to_step(left, step, terms.rounding.rule) if lines else left
    rest = [line.price - taking.of_kind[line.kind] for line in lines]
    spread = allot_money(
        sum(rest, Decimal(0)) - net_price,
        minor_digits(currency),
        [max(Fraction(part), Fraction(0)) for part in rest],
    )
    return NetPrice(
        given=given,
        rounding=net_price - left,
        net_price=net_price,
        by_line=tuple(part - taken for part, taken in zip(rest, spread, strict=True)),
    )


def find_discount_faults(
    lines: tuple[PricedLine, ...], terms: Terms, currency: str
) -> Iterator[Fault]:
    """Yield a fault where discounts come to more than the price that they are taken from."""
    list_price = sum((line.price for line in lines), Decimal(0))
    taken = list(_Taking(lines, terms, currency).take_all())
    together = sum((item.amount for item in taken), Decimal(0))
    if together > max(list_price, Decimal(0)):
        yield Fault(
            ("discounts",),
            "discounts-over-price",
            f"The discounts come to {format_money(together, currency)}, and the price that they "
            f"are taken from is {format_money(list_price, currency)}; lower them.",
        )


class _Taking:
    """Takes discounts from lines; `of_kind` is what was taken from one kind alone."""

    def __init__(self, lines: tuple[PricedLine, ...], terms: Terms, currency: str) -> None:
        self.of_kind: dict[LineKind, Decimal] = defaultdict(Decimal)
        self._prices = {line.kind: line.price for line in lines}
        self._terms = terms
        self._unit = minor_unit(currency)

    def take_all(self) -> Iterator[GivenDiscount]:
        """Yield each discount with its amount, in the order in which they are taken."""
        stated = self._terms.discounts
        for discount in stated:
            if discount.of is not None:
                yield self._of_kind(discount, discount.of)
        left = sum(self._prices.values(), Decimal(0)) - sum(self.of_kind.values(), Decimal(0))
        for discount in stated:
            if discount.of is None and discount.percent is not None:
                amount = self._part(left, discount.percent)
                left -= amount
                yield GivenDiscount(name=discount.name, amount=amount)
        for discount in stated:
            if discount.of is None and discount.amount is not None:
                yield GivenDiscount(name=discount.name, amount=discount.amount)

    def _of_kind(self, discount: Discount, kind: LineKind) -> GivenDiscount:
        left = self._prices.get(kind, Decimal(0)) - self.of_kind[kind]
        amount = self._part(left, discount.percent or Decimal(0))
        self.of_kind[kind] += amount
        return GivenDiscount(name=discount.name, amount=amount)

    def _part(self, price: Decimal, percent: Decimal) -> Decimal:
        part = Fraction(max(price, Decimal(0))) * Fraction(percent) / 100
        return round_to_step(part, self._unit, self._terms.rounding.rule)
