"""Prices as whole numbers in a common measure, so that costs add up exactly."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import gcd


@dataclass(frozen=True, slots=True)
class PriceGrid:
    """A common measure of prices: every price is a whole number of `measure`.

    `digits` is the number of decimals of the finest price.
    """

    measure: Fraction
    digits: int

    def count(self, price: Decimal) -> int:
        """Return how many measures a price is."""
        whole = Fraction(price) / self.measure
        if whole.denominator != 1:
            raise ValueError(f"{price} is not a whole number of {self.measure}")
        return whole.numerator

    def amount(self, count: int) -> Decimal:
        """Return the money that a number of measures is, exactly."""
        units = count * self.measure * 10**self.digits
        # Built from text: arithmetic would round to the precision of the decimal context.
        return Decimal(f"{units.numerator}E-{self.digits}")


def common_measure(prices: Iterable[Decimal]) -> PriceGrid:
    """Return the largest measure of which every price is a whole number."""
    listed = [price for price in prices if price]
    digits = max((max(0, -int(price.as_tuple().exponent)) for price in listed), default=0)
    units = gcd(*(int(Fraction(price) * 10**digits) for price in listed))
    return PriceGrid(Fraction(max(units, 1), 10**digits), digits)
