"""Writing values for an answer: exact, as text."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import ceil

from optimiser.domain import catalogue as domain
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.money import minor_digits
from service.wire import shown as wire


@dataclass(frozen=True, slots=True)
class ValueWriter:
    """Writes values of the domain in one order's unit and currency."""

    unit: LengthUnit
    currency: str

    def length(self, length_nm: int) -> wire.ShownLength:
        """Return a length in the order's unit and in millimetres."""
        return _show_length(length_nm, self.unit)

    def signed_length(self, length_nm: int) -> wire.SignedLength:
        """Return a length that is added, or deducted where it is below zero."""
        return wire.SignedLength(
            text=format_length(length_nm, self.unit),
            mm=format_length(length_nm, LengthUnit.MILLIMETRE).removesuffix(" mm"),
        )

    def amount(self, amount: Decimal) -> str:
        """Return money as a decimal text, exact, with at least the currency's minor digits."""
        _, _, decimals = f"{amount:f}".partition(".")
        digits = max(minor_digits(self.currency), len(decimals.rstrip("0")))
        return f"{amount:.{digits}f}"

    def counts(self, lengths: Iterable[tuple[int, int]]) -> list[wire.LengthCount]:
        """Return pairs of length and count."""
        return [wire.LengthCount(length=self.length(nm), count=count) for nm, count in lengths]


# An order of many openings has few lengths and materials: each is written and validated once.
@lru_cache(maxsize=16_384)
def _show_length(length_nm: int, unit: LengthUnit) -> wire.ShownLength:
    return wire.ShownLength(
        text=format_length(length_nm, unit),
        mm=format_length(length_nm, LengthUnit.MILLIMETRE).removesuffix(" mm"),
    )


@lru_cache(maxsize=1_024)
def write_material(material: domain.Material) -> wire.Material:
    """Return a material as an answer states it."""
    return wire.Material(product=material.product, finish=material.finish)


def write_decimal(value: Decimal) -> str:
    """Return a decimal in plain digits, without zeros at its end."""
    whole, _, decimals = f"{value:f}".partition(".")
    decimals = decimals.rstrip("0")
    return f"{whole}.{decimals}" if decimals else whole


def write_fraction(value: Fraction) -> str:
    """Return an exact number: a decimal where it ends, else a fraction in lowest terms."""
    rest, digits = value.denominator, 0
    for prime in (2, 5):
        times = 0
        while rest % prime == 0:
            rest //= prime
            times += 1
        digits = max(digits, times)
    if rest != 1:
        return f"{value.numerator}/{value.denominator}"
    scaled = str(int(value * 10**digits)).zfill(digits + 1)
    return f"{scaled[:-digits]}.{scaled[-digits:]}" if digits else scaled


def write_gap_percent(gap: Decimal, lower_bound: Decimal) -> str | None:
    """Return the gap in per cent of the bound, rounded up to four decimals.

    `None` where there is a gap and the bound is zero or, by what is credited, below it. Rounded
    up, so that only a gap of nothing is written as 0.
    """
    if not gap:
        return "0"
    if lower_bound <= 0:
        return None
    ten_thousandths = ceil(Fraction(gap) / Fraction(lower_bound) * 100 * 10_000)
    return write_fraction(Fraction(ten_thousandths, 10_000))
