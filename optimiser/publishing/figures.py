"""Numbers, money, lengths and dates as an edition writes them: by locale, in its units."""

from datetime import date
from decimal import Decimal
from functools import lru_cache
from typing import Final

from babel.dates import format_date
from babel.numbers import format_currency, format_decimal

from optimiser.domain.publication import (
    Cell,
    Column,
    ColumnKind,
    Edition,
    Language,
    LengthsShown,
)
from optimiser.units.lengths import FINEST_FRACTION, NM_PER_INCH, LengthUnit, format_length
from optimiser.units.money import minor_digits

ROUNDED: Final = "≈"
"""Stands before a length that its unit cannot show exactly."""

NUMERIC: Final = frozenset(
    {ColumnKind.COUNT, ColumnKind.MONEY, ColumnKind.LENGTH, ColumnKind.PERCENT}
)
"""The kinds of column that are set flush right."""

KEPT: Final = 4_096
"""Figures that are kept as they were written: a document has the same ones again and again."""

_STEPS_NM: Final = {LengthUnit.INCH: NM_PER_INCH // FINEST_FRACTION, LengthUnit.MILLIMETRE: 100_000}
"""What each unit is shown to: 1/64 in, or a tenth of a millimetre."""


@lru_cache(maxsize=KEPT)
def write_count(count: int, language: Language) -> str:
    """Return a whole number with the locale's thousands."""
    return str(format_decimal(count, format="#,##0", locale=_locale(language)))


@lru_cache(maxsize=KEPT)
def write_amount(amount: Decimal, currency: str, language: Language) -> str:
    """Return an amount of money without its currency: exact, with at least its minor digits."""
    return str(format_decimal(amount, format=_pattern(amount, currency), locale=_locale(language)))


def write_money(amount: Decimal, currency: str, language: Language) -> str:
    """Return an amount of money with the currency's sign: `$1,038.40`; exact.

    The sign is the locale's: dollars of the United States are US$ in British English.
    """
    pattern = _pattern(amount, currency)
    return str(
        format_currency(
            amount,
            currency,
            format=f"¤{pattern};-¤{pattern}",
            locale=_locale(language),
            currency_digits=False,
        )
    )


def _pattern(amount: Decimal, currency: str) -> str:
    decimals = f"{amount:f}".partition(".")[2].rstrip("0")
    digits = max(minor_digits(currency), len(decimals))
    return f"#,##0.{'0' * digits}" if digits else "#,##0"


def write_percent(percent: Decimal, language: Language) -> str:
    """Return per cent, exact: `12.5%`."""
    decimals = f"{percent:f}".partition(".")[2].rstrip("0")
    pattern = f"#,##0.{'0' * len(decimals)}" if decimals else "#,##0"
    return f"{format_decimal(percent, format=pattern, locale=_locale(language))}%"


def write_date(day: date, language: Language) -> str:
    """Return a day in full: `November 28, 2026`, in British English `28 November 2026`."""
    return str(format_date(day, format="long", locale=_locale(language)))


@lru_cache(maxsize=KEPT)
def write_length(length_nm: int, lengths: LengthsShown) -> str:
    """Return a length in the units shown: `36 1/2 in`, `927.1 mm`, `36 1/2 in (927.1 mm)`.

    Inches are shown to 1/64, millimetres to a tenth; what is rounded to that has `≈` before it.
    """
    match lengths:
        case LengthsShown.INCHES:
            return _in_unit(length_nm, LengthUnit.INCH)
        case LengthsShown.MILLIMETRES:
            return _in_unit(length_nm, LengthUnit.MILLIMETRE)
        case LengthsShown.BOTH:
            inches, millimetres = (_in_unit(length_nm, unit) for unit in LengthUnit)
            return f"{inches} ({millimetres})"


def _in_unit(length_nm: int, unit: LengthUnit) -> str:
    step_nm = _STEPS_NM[unit]
    rounded_nm = (2 * length_nm + step_nm) // (2 * step_nm) * step_nm
    about = "" if rounded_nm == length_nm else f"{ROUNDED} "
    return f"{about}{format_length(rounded_nm, unit)}"


def write_cell(cell: Cell, column: Column, edition: Edition) -> str:
    """Return a cell as its column's kind is written; a remark as it is; nothing where empty.

    Raises:
        TypeError: the cell's type is not that of its column.
    """
    if cell is None or isinstance(cell, str):
        return cell or ""
    match column.kind, cell:
        case ColumnKind.COUNT, int():
            text = write_count(cell, edition.language)
        case ColumnKind.LENGTH, int():
            text = write_length(cell, edition.lengths)
        case ColumnKind.MONEY, Decimal():
            text = write_amount(cell, column.currency, edition.language)
        case ColumnKind.PERCENT, Decimal():
            text = write_percent(cell, edition.language)
        case ColumnKind.DATE, date():
            text = write_date(cell, edition.language)
        case _:
            raise TypeError(f"column {column.name} holds {column.kind}, not {type(cell).__name__}")
    return text


def _locale(language: Language) -> str:
    return language.replace("-", "_")
