"""Fractions as the decimals that they are, for messages."""

from decimal import Decimal
from fractions import Fraction


def as_decimal(amount: Fraction) -> Decimal:
    """Return an amount of money as a decimal; a fraction without end is cut at 28 digits."""
    return Decimal(amount.numerator) / Decimal(amount.denominator)
