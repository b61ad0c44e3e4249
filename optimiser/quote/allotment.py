"""Allotment by largest remainder: whole units shared out by weight, adding up exactly.

Source: Hamilton's method of apportionment (1792); M. Balinski and H. P. Young, *Fair
Representation* (1982).
"""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import floor

from optimiser.quote.rounding import to_decimal


def allot(
    units: int, weights: Sequence[Fraction], total: Fraction | None = None
) -> tuple[int, ...]:
    """Return whole shares of `units` that add up to it, in proportion to weights of 0 or more.

    Each share differs from the exact one by less than 1. Units that are left after rounding down
    go to the largest remainders, on a tie to the earlier position. Without any weight all
    positions weigh the same; `units` may be below zero. `total` is the sum of the weights, where
    it is known: over many of them fractions add up slowly.
    """
    if not weights:
        return ()
    total = sum(weights, Fraction(0)) if total is None else total
    if not total:
        weights, total = [Fraction(1)] * len(weights), Fraction(len(weights))
    exact = [units * weight / total for weight in weights]
    shares = [floor(share) for share in exact]
    by_remainder = sorted(range(len(exact)), key=lambda n: (shares[n] - exact[n], n))
    left = units - sum(shares)
    assert 0 <= left <= len(shares), "the weights add up to their total"
    for position in by_remainder[:left]:
        shares[position] += 1
    return tuple(shares)


def allot_money(
    amount: Decimal, digits: int, weights: Sequence[Fraction], total: Fraction | None = None
) -> tuple[Decimal, ...]:
    """Return an amount shared out by weight in units of 10 to the power of `-digits`.

    The amount must be a whole number of them.
    """
    units = Fraction(amount) * 10**digits
    if units.denominator != 1:
        raise ValueError(f"{amount} is not a whole number of units with {digits} decimals")
    shares = allot(units.numerator, weights, total)
    return tuple(to_decimal(Fraction(share, 10**digits), digits) for share in shares)


def price_each(price: Decimal, digits: int, quantity: int) -> tuple[tuple[Decimal, int], ...]:
    """Return a price divided evenly among `quantity`: each amount and how many have it.

    The larger amount stands first; there is one pair where the price divides evenly.
    """
    shares = allot_money(price, digits, [Fraction(1)] * quantity)
    return tuple((amount, shares.count(amount)) for amount in dict.fromkeys(shares))
