"""Lengths as whole nanometres: 1/64 in = 396,875 nm and every decimal millimetre are exact.

The inch is 25.4 mm exactly (international yard and pound agreement, 1959).
"""

import re
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from typing import Final

from optimiser.units.faults import LengthError, quote
from optimiser.units.numerals import NUMERAL, NumeralError, fold_text, read_number, read_numeral

NM_PER_MILLIMETRE = 1_000_000
NM_PER_INCH = 25_400_000
NM_PER_FOOT = 12 * NM_PER_INCH

LONGEST_LENGTH_NM: Final = 100_000 * NM_PER_MILLIMETRE
"""The longest length that is taken, 100 m: anything longer is a slip of the unit."""

FINEST_FRACTION = 64
"""The finest fraction of an inch that is a whole number of nanometres and is printed."""


class LengthUnit(StrEnum):
    """The unit of bare numbers in an order, and of the plan's text."""

    INCH = "in"
    MILLIMETRE = "mm"


_NM_PER_UNIT: Final = {
    "mm": NM_PER_MILLIMETRE,
    "cm": 10 * NM_PER_MILLIMETRE,
    "m": 1_000 * NM_PER_MILLIMETRE,
    "in": NM_PER_INCH,
    "ft": NM_PER_FOOT,
}
_UNIT_WORDS: Final = {
    "mm": r"mm|millimetres?|millimeters?",
    "cm": r"cm|centimetres?|centimeters?",
    "m": r"m|metres?|meters?",
    "in": r"in|inch|inches|\"",
    "ft": r"ft|foot|feet|'",
}
_ONE_UNIT = re.compile(
    rf"({NUMERAL})(?: ?(?:"
    + "|".join(f"(?P<{unit}>{words})" for unit, words in _UNIT_WORDS.items())
    + r")\.?)?"
)
_FEET_AND_INCHES = re.compile(
    rf"([0-9]+) ?(?:{_UNIT_WORDS['ft']})\.? ?-? ?({NUMERAL}) ?(?:(?:{_UNIT_WORDS['in']})\.?)?"
)
_REMEDY_SYNTAX = (
    "write a number with an optional unit, such as 36 1/2 in, 3'-0\", 914.4 mm or 0.9144 m"
)


def parse_length(value: str | int | Decimal, unit: LengthUnit) -> int:
    """Return a length in whole nanometres, exactly.

    A bare number is in `unit`. Text may carry in, ft, mm, cm or m, foot and inch marks, feet
    and inches together, decimals, fractions and Unicode fractions. Zero is a length.

    Raises:
        LengthError: not a length, negative, above 100 m, or not a whole number of nanometres.
    """
    try:
        length_nm = _read_text(value, unit) if isinstance(value, str) else _read_value(value, unit)
        if length_nm < 0:
            raise NumeralError("is negative", "state a length of 0 or more")
    except NumeralError as error:
        raise LengthError(quote(value), error.problem, error.remedy) from None
    if length_nm > LONGEST_LENGTH_NM:
        raise LengthError(
            quote(value), "is longer than the limit, 100 m", "check the number and its unit"
        )
    if length_nm.denominator != 1:
        raise LengthError(quote(value), "is not a whole number of nanometres", _suggest(length_nm))
    return int(length_nm)


def _read_value(value: int | Decimal, unit: LengthUnit) -> Fraction:
    if isinstance(value, bool) or not isinstance(value, int | Decimal):
        raise TypeError(
            f"a length is text, a whole number or a Decimal, not {type(value).__name__}"
        )
    return read_number(value) * _NM_PER_UNIT[unit]


# An order has few lengths, and each of them many times.
@lru_cache(maxsize=16_384)
def _read_text(text: str, unit: LengthUnit) -> Fraction:
    folded = fold_text(text)
    if match := _ONE_UNIT.fullmatch(folded):
        return read_numeral(match[1]) * _NM_PER_UNIT[match.lastgroup or unit]
    if match := _FEET_AND_INCHES.fullmatch(folded):
        feet, inches = int(match[1]), read_numeral(match[2])
        if inches >= 12:
            raise NumeralError("has 12 or more inches after feet", "carry them into the feet")
        return Fraction(feet * NM_PER_FOOT) + inches * NM_PER_INCH
    if folded.startswith("-"):
        raise NumeralError("is negative", "state a length of 0 or more")
    if "," in folded:
        raise NumeralError(
            "holds a comma, which may mark thousands or decimals",
            "write a decimal point, and no mark for thousands",
        )
    raise NumeralError("is not a length", _REMEDY_SYNTAX)


def _suggest(length_nm: Fraction) -> str:
    """Return the remedy for a length between two nanometres: the nearest printable ones."""
    in_64ths = round(length_nm * FINEST_FRACTION / NM_PER_INCH)
    inches = format_length(in_64ths * NM_PER_INCH // FINEST_FRACTION, LengthUnit.INCH)
    millimetres = format_length(int(round(length_nm, -3)), LengthUnit.MILLIMETRE)
    return f"round it, to {inches} or {millimetres} for instance"


@lru_cache(maxsize=16_384)
def format_length(length_nm: int, unit: LengthUnit) -> str:
    """Return a length as text that `parse_length` reads back to the same length.

    In inches: as a mixed number where it is a whole number of 64ths, else as a decimal where
    that ends, else in millimetres, which are always exact: `36 1/2 in`, `12.3456 in`, `914 mm`.
    """
    sign, size_nm = ("-", -length_nm) if length_nm < 0 else ("", length_nm)
    if unit is LengthUnit.MILLIMETRE:
        return f"{sign}{_decimal_text(size_nm, NM_PER_MILLIMETRE)} mm"
    if size_nm * FINEST_FRACTION % NM_PER_INCH == 0:
        return f"{sign}{_mixed_number(Fraction(size_nm, NM_PER_INCH))} in"
    if size_nm * 10**5 % NM_PER_INCH == 0:
        return f"{sign}{_decimal_text(size_nm * 10**5 // NM_PER_INCH, 10**5)} in"
    return format_length(length_nm, LengthUnit.MILLIMETRE)


def _decimal_text(count: int, per_unit: int) -> str:
    """Return count ÷ per_unit, a power of ten, without trailing zeros."""
    whole, rest = divmod(count, per_unit)
    decimals = str(rest).zfill(len(str(per_unit)) - 1).rstrip("0")
    return f"{whole}.{decimals}" if decimals else str(whole)


def _mixed_number(value: Fraction) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)


def divide_up(length_nm: int, parts: int) -> int:
    """Return one of `parts` equal pieces of a length, rounded up to a whole nanometre.

    Pieces are rounded up, so that together they are never short.
    """
    return -(-length_nm // parts)
