"""Rounding of prices: to a step, by a rule with a name."""

from decimal import Decimal
from fractions import Fraction
from math import ceil, floor

from optimiser.domain.quote_terms import RoundingRule
from optimiser.units.money import minor_digits

HALF = Fraction(1, 2)


def round_to_step(amount: Fraction | Decimal, step: Decimal, rule: RoundingRule) -> Decimal:
    """Return the multiple of `step` that an amount is rounded to.

    Half-up goes away from zero on half a step, half-even to the even multiple; up goes to the next
    multiple above. Each is non-decreasing in the amount.
    """
    exact = Fraction(amount) / Fraction(step)
    match rule:
        case RoundingRule.HALF_UP:
            steps = floor(abs(exact) + HALF) * (-1 if exact < 0 else 1)
        case RoundingRule.HALF_EVEN:
            steps = round(exact)
        case RoundingRule.UP:
            steps = ceil(exact)
    return to_decimal(steps * Fraction(step), decimals_of(step))


def minor_unit(currency: str) -> Decimal:
    """Return one minor unit of a currency: 0.01 for USD, 1 for JPY."""
    return Decimal(1).scaleb(-minor_digits(currency))


def decimals_of(amount: Decimal) -> int:
    """Return how many decimals an amount is written with."""
    exponent = amount.as_tuple().exponent
    assert isinstance(exponent, int), "an amount is finite"
    return max(-exponent, 0)


def to_decimal(amount: Fraction, digits: int) -> Decimal:
    """Return a fraction, a whole number of units of 10 to the power of `-digits`, as a decimal."""
    units = amount * 10**digits
    assert units.denominator == 1, "a whole number of units"
    # Built from text: arithmetic would round to the precision of the decimal context.
    return Decimal(f"{units.numerator}E-{digits}")
