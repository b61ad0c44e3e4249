"""Cost and list price by mark: they add up to the sums of the lines, exactly."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.plan import Plan
from optimiser.domain.quote import InsideOpening, QuotedOpening
from optimiser.quote.allotment import allot_money, price_each
from optimiser.quote.lines import PricedLine
from optimiser.quote.rounding import decimals_of
from optimiser.units.money import minor_digits


def share_prices(plan: Plan, lines: tuple[PricedLine, ...]) -> tuple[InsideOpening, ...]:
    """Return each mark's part of the cost and of the list price, by largest remainder.

    Prices are in minor units, costs in the finest unit that a line's cost has. What is below zero
    is allotted apart.
    """
    marks = len(plan.openings)
    price_digits = minor_digits(plan.currency)
    cost_digits = max((decimals_of(line.cost) for line in lines), default=price_digits)
    costs, prices = [Decimal(0)] * marks, [Decimal(0)] * marks
    for below_zero in (False, True):
        chosen = [line for line in lines if (line.cost < 0) == below_zero]
        price = sum((line.price for line in chosen), Decimal(0))
        _allot_to(prices, price, price_digits, [(line, line.factor) for line in chosen])
        cost = sum((line.cost for line in chosen), Decimal(0))
        _allot_to(costs, cost, cost_digits, [(line, Fraction(1)) for line in chosen])
    return tuple(
        InsideOpening(
            mark=item.takeoff.opening.mark,
            quantity=item.takeoff.opening.quantity,
            cost=cost,
            price=price,
        )
        for item, cost, price in zip(plan.openings, costs, prices, strict=True)
    )


def quote_openings(plan: Plan, shared: tuple[InsideOpening, ...]) -> tuple[QuotedOpening, ...]:
    """Return what the customer sees of each mark: without the remarks, which are the shop's."""
    digits = minor_digits(plan.currency)
    return tuple(
        QuotedOpening(
            opening=replace(item.takeoff.opening, remarks="", notes=()),
            price=part.price,
            each=price_each(part.price, digits, part.quantity),
        )
        for item, part in zip(plan.openings, shared, strict=True)
    )


def _allot_to(
    sums: list[Decimal], amount: Decimal, digits: int, parts: list[tuple[PricedLine, Fraction]]
) -> None:
    """Add each mark's part of an amount, weighed by lines times a factor; nothing without lines."""
    sized = [[abs(cost) * factor for cost in line.by_mark] for line, factor in parts]
    weights = [sum(column, Fraction(0)) for column in zip(*sized, strict=True)]
    total = sum((abs(Fraction(line.cost)) * factor for line, factor in parts), Fraction(0))
    for position, part in enumerate(allot_money(amount, digits, weights, total)):
        sums[position] += part
