"""The lines of a quote: from the cost of each kind to its price."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.account import AccountKind
from optimiser.domain.plan import Plan
from optimiser.domain.quote_terms import (
    CARRIAGE,
    Addition,
    AdditionBasis,
    DropCredits,
    LineKind,
    Terms,
)
from optimiser.quote.labour import LabourCost
from optimiser.quote.rounding import minor_unit, round_to_step
from optimiser.quote.shares import ByMark, left_out, share_costs


@dataclass(frozen=True, slots=True, kw_only=True)
class PricedLine:
    """A line with its price, rounded to minor units.

    `by_mark` is the cost by mark; `factor` is what the exact price is of the cost. `addition` is
    `None` where none is made.
    """

    kind: LineKind
    cost: Decimal
    price: Decimal
    factor: Fraction
    by_mark: ByMark
    addition: Addition | None


def price_lines(plan: Plan, terms: Terms, labour: tuple[LabourCost, ...]) -> tuple[PricedLine, ...]:
    """Return a line for each kind that costs or credits anything, in the order of `LineKind`."""
    return tuple(_price_lines(plan, terms, labour))


def _price_lines(plan: Plan, terms: Terms, labour: tuple[LabourCost, ...]) -> Iterator[PricedLine]:
    shares = share_costs(plan)
    unpaid = left_out(plan)
    costs = {
        LineKind(line.kind): line.amount - unpaid.get(line.kind, Decimal(0))
        for line in plan.account
        if line.kind is not AccountKind.PREFERENCE
    }
    for cost in labour:
        kind = LineKind(cost.labour.work)
        costs[kind], shares[kind] = cost.labour.cost, cost.by_mark
    unit = minor_unit(plan.currency)
    for kind in LineKind:
        if not costs.get(kind):
            continue
        factor, addition = _factor(kind, costs[kind], terms)
        yield PricedLine(
            kind=kind,
            cost=costs[kind],
            price=round_to_step(Fraction(costs[kind]) * factor, unit, terms.rounding.rule),
            factor=factor,
            by_mark=shares[kind],
            addition=addition,
        )


def _factor(kind: LineKind, cost: Decimal, terms: Terms) -> tuple[Fraction, Addition | None]:
    """Return what the price of a line is of its cost, and what is added to it."""
    if cost < 0:
        passed_on = terms.drop_credits is DropCredits.PASSED_ON
        return Fraction(int(passed_on)), None
    addition = terms.addition_to(kind)
    factor = factor_of(addition)
    if kind not in CARRIAGE:
        return factor, addition
    passed = Fraction(terms.freight_passed_on_percent) / 100
    return factor * passed, addition if passed else None


def factor_of(addition: Addition) -> Fraction:
    """Return price by cost: 1 + u/100 with a mark-up of u, 1 / (1 − m/100) with a margin of m."""
    part = Fraction(addition.percent) / 100
    match addition.basis:
        case AdditionBasis.MARK_UP:
            return 1 + part
        case AdditionBasis.MARGIN:
            return 1 / (1 - part)


def absorbed(lines: tuple[PricedLine, ...], terms: Terms) -> Decimal:
    """Return the cost of freight and over-length that is not passed on."""
    kept = (100 - terms.freight_passed_on_percent) / 100
    return sum((line.cost * kept for line in lines if line.kind in CARRIAGE), Decimal(0))
