"""What a column holds: how its cells are read into values of the wire, and written from them.

A value written and read again is the same value, for every value that the wire takes. Faults of
a value's range are left to the wire, which has them in one place.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import StrEnum
from typing import Any, Final

from optimiser.domain.buying import BreakKind
from optimiser.domain.catalogue import PackRounding
from optimiser.render.spreadsheet import is_verbatim
from optimiser.schedules.xlsx_workbook import SPREADSHEET_DIGITS
from service.catalogues.amounts import Unreadable, read_digits, to_number
from service.catalogues.cell import Cell
from service.wire.scalars import MONEY_PATTERN

_MONEY = re.compile(MONEY_PATTERN[1:-1])
_MOST_DECIMALS: Final = 6
"""Decimals of an amount of money, as the wire takes it."""

_BARE_NUMBER = re.compile(r"-?[0-9]+(\.[0-9]+)?")
_PERCENTAGE = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?%")
_COMMA_IN_NUMBER = re.compile(r"(?<=[0-9]),(?=[0-9])")


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What a column holds. `read` takes a cell and whether its sheet has decimal commas.

    Raises, in `read`:
        Unreadable: the cell does not hold such a value.
    """

    read: Callable[[Cell, bool], Any]
    write: Callable[[Any], Cell]


def _as_text(text: str, *, marked: bool = False) -> Cell:
    """Return the cell of a text, verbatim where anything might be made of it."""
    return Cell(text=text, verbatim=marked or is_verbatim(text))


def _read_text(cell: Cell, _: bool) -> str:
    return cell.text


def _write_money(amount: str) -> Cell:
    # At most 15 digits, all of which a number of a spreadsheet keeps.
    _, _, decimals = amount.partition(".")
    return Cell(text=amount, number=Decimal(amount), decimals=len(decimals))


def _read_money(cell: Cell, decimal_comma: bool) -> str:
    if cell.number is not None:
        return _read_money_number(cell, cell.number)
    digits = None if cell.verbatim else read_digits(cell.text, decimal_comma=decimal_comma)
    if digits is None and _BARE_NUMBER.fullmatch(cell.text) and not cell.verbatim:
        digits = cell.text
    if digits is None:
        raise Unreadable(
            "not-an-amount",
            "is not an amount of money",
            "write digits and a decimal point, 0 or more, such as 12.40; the currency stands once, "
            "in the list Catalogue",
        )
    return _check_amount(digits)


def _read_money_number(cell: Cell, number: Decimal) -> str:
    own = max(-int(number.normalize().as_tuple().exponent), 0) if number else 0
    if cell.percent:
        raise Unreadable(
            "amount-as-percentage",
            "is shown as a percentage",
            "write an amount of money, and format the cell as a number",
        )
    if cell.decimals is not None and own > cell.decimals and number >= 0:
        shown = number.quantize(Decimal(1).scaleb(-cell.decimals), ROUND_HALF_UP)
        raise Unreadable(
            "amount-shown-rounded",
            f"is shown as {shown:f} and holds more decimals, so that either may be meant",
            f"round the value in the cell, to {shown:f} for instance, or show all its decimals",
        )
    decimals = max(own, min(cell.decimals or 0, _MOST_DECIMALS))
    return _check_amount(f"{number:.{decimals}f}")


def _check_amount(digits: str) -> str:
    if _MONEY.fullmatch(digits):
        return digits
    if digits.startswith("-"):
        raise Unreadable("amount-negative", "is below 0", "write 0 or more")
    whole, _, decimals = digits.partition(".")
    if len(decimals) > _MOST_DECIMALS:
        raise Unreadable(
            "too-many-decimals",
            f"has {len(decimals):,} decimals, more than {_MOST_DECIMALS}",
            "round it to what is charged",
        )
    if len(whole) > 1 and whole.startswith("0"):
        raise Unreadable("not-an-amount", "begins with a 0", "write it without")
    raise Unreadable(
        "amount-too-large", "has more than 9 digits before the point", "check the amount"
    )


def _write_count(count: int) -> Cell:
    return Cell(text=str(count), number=Decimal(count), decimals=0)


def _read_count(cell: Cell, decimal_comma: bool) -> int:
    digits: str | None
    if cell.number is not None:
        digits = f"{cell.number:f}" if not cell.percent else None
    else:
        digits = read_digits(cell.text, decimal_comma=decimal_comma, whole=True)
    number = None if digits is None else to_number(digits)
    if not isinstance(number, int):
        raise Unreadable("not-a-whole-number", "is not a whole number", "write one, such as 12")
    return number


def _write_number(number: int | Decimal) -> Cell:
    exact = Decimal(number)
    digits = f"{exact:f}"
    kept = len(exact.as_tuple().digits) <= SPREADSHEET_DIGITS and len(digits) <= 30
    return Cell(text=digits, number=exact if kept else None)


def _write_number_or_text(value: int | Decimal | str) -> Cell:
    if isinstance(value, str):
        return _as_text(value, marked=_BARE_NUMBER.fullmatch(value) is not None)
    return _write_number(value)


def _read_number_or_text(cell: Cell, decimal_comma: bool) -> int | Decimal | str:
    if cell.number is not None:
        return to_number(cell.number)
    text = cell.text
    if decimal_comma and not cell.verbatim:
        text = _COMMA_IN_NUMBER.sub(".", text)
    if not cell.verbatim and _BARE_NUMBER.fullmatch(text):
        return to_number(text)
    return text


def _write_percent(value: int | Decimal | str) -> Cell:
    return Cell(text=f"{value} %") if isinstance(value, str) else _write_number(value)


def _read_percent(cell: Cell, decimal_comma: bool) -> int | Decimal | str:
    if cell.number is not None:
        return to_number(cell.number * 100 if cell.percent else cell.number)
    text = cell.text
    if decimal_comma:
        text = _COMMA_IN_NUMBER.sub(".", text)
    if match := _PERCENTAGE.fullmatch(text):
        return match[1]
    if _BARE_NUMBER.fullmatch(text):
        return to_number(text)
    raise Unreadable("not-a-percentage", "is not a percentage", "write one, such as 5 or 2.5 %")


def _choice(choices: type[StrEnum]) -> Kind:
    words = tuple(choices)

    def read(cell: Cell, _: bool) -> str:
        word = "-".join(re.split(r"[\s_-]+", cell.text.strip().casefold()))
        if word not in words:
            raise Unreadable("not-one-of", "is not known", f"write {' or '.join(words)}")
        return word

    return Kind(read=read, write=lambda value: Cell(text=str(value)))


class FreightBasis(StrEnum):
    """What the tiers of freight are counted by."""

    WEIGHT = "weight"
    VALUE = "value"


TEXT: Final = Kind(read=_read_text, write=_as_text)
MONEY: Final = Kind(read=_read_money, write=_write_money)
COUNT: Final = Kind(read=_read_count, write=_write_count)
NUMBER_OR_TEXT: Final = Kind(read=_read_number_or_text, write=_write_number_or_text)
PERCENT: Final = Kind(read=_read_percent, write=_write_percent)
ROUNDING: Final = _choice(PackRounding)
BREAK_KIND: Final = _choice(BreakKind)
BASIS: Final = _choice(FreightBasis)
