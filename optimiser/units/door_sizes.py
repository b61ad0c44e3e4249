"""Sizes in the shorthand of door schedules: `3068`, `3-0 x 6-8`, `3/0 6/8`, `36 x 80`.

Width comes first, unless a side is marked W or H. Source: "how to read a door schedule",
usearticulate.com.
"""

import re
from dataclasses import dataclass
from typing import Final

from optimiser.units.door_size_digits import read_size_digits
from optimiser.units.faults import DoorSizeError, LengthError, quote
from optimiser.units.lengths import (
    NM_PER_FOOT,
    NM_PER_INCH,
    LengthUnit,
    format_length,
    parse_length,
)
from optimiser.units.numerals import NumeralError, fold_text

THICKEST_LEAF_NM: Final = 4 * NM_PER_INCH
"""A second side up to this, after a size in digits, is a thickness. A choice, no source."""

LIKELY_SIDE_NM: Final = (6 * NM_PER_INCH, 20 * NM_PER_FOOT)
"""A side outside these is read with a note: its unit may be wrong. A choice, no source."""

_REMEDY: Final = "write width x height, such as 3-0 x 6-8, 36 in x 80 in or 914 mm x 2032 mm"

_DIGITS = re.compile(r"[0-9]{4,6}")
_FEET_DASH_INCHES = re.compile(r"([0-9]{1,2}) ?[-/] ?([0-9]{1,2})( [0-9]+/[0-9]+)? ?\"?")
_BARE = re.compile(r"[0-9./ -]+")
_FEET = re.compile(r"'|ft|foot|feet")
_UNIT_AT_END = re.compile(r"[0-9/. ]((?:in|inch|inches|\"|[a-z]*m|[a-z]*met[a-z]+)\.?)$")
_LABELLED = re.compile(r"(.*(?:[0-9\"']|in|mm|cm|m|ft))\.? ?([wh])")
_BETWEEN_SIDES = re.compile(r" ?(?:x|×|✕|by) ?")
_SIDE_BY_SIDE = re.compile(
    r"([0-9]{1,2}[-/][0-9]{1,2}|[0-9]{1,2}' ?-? ?[0-9]{1,2}\"),? "
    r"([0-9]{1,2}[-/][0-9]{1,2}|[0-9]{1,2}' ?-? ?[0-9]{1,2}\")"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class DoorSize:
    """A size in nanometres; `notes` tell the reader what to look at again."""

    width_nm: int
    height_nm: int
    notes: tuple[str, ...] = ()


def parse_door_size(text: str, unit: LengthUnit) -> DoorSize:
    """Return the width and height that a size states; bare numbers as in `36 x 80` in `unit`.

    A thickness as third side is read and noted, and not used.

    Raises:
        DoorSizeError: not a size, or one with more than one reading.
    """
    try:
        return _read_size(text, unit)
    except LengthError as error:
        problem = f"has the side {error.value}, which {error.problem}"
        raise DoorSizeError(quote(text), problem, error.remedy) from None
    except NumeralError as error:
        raise DoorSizeError(quote(text), error.problem, error.remedy) from None


def _read_size(text: str, unit: LengthUnit) -> DoorSize:
    sides, thickness = _split_sides(fold_text(text), unit)
    notes: list[str] = []
    if len(sides) == 1:
        width_nm, height_nm, spelled = read_size_digits(sides[0])
        if len(sides[0]) > 4 or unit is not LengthUnit.INCH:
            notes.append(
                f"Size {quote(text)} was read as {spelled}, in feet and inches: it is easily "
                "misread, so check it."
            )
    else:
        width_nm, height_nm = _read_sides(*_order_sides(*sides), unit)
    if thickness is not None:
        shown = format_length(parse_length(thickness, unit), unit)
        notes.append(f"Size {quote(text)}: the thickness, {shown}, is not used.")
    for name, side_nm in (("width", width_nm), ("height", height_nm)):
        if side_nm == 0:
            raise NumeralError(f"has a {name} of 0", "state what was measured")
        if not LIKELY_SIDE_NM[0] <= side_nm <= LIKELY_SIDE_NM[1]:
            notes.append(
                f"Size {quote(text)}: a {name} of {format_length(side_nm, unit)} is unusual; "
                "check the unit."
            )
    return DoorSize(width_nm=width_nm, height_nm=height_nm, notes=tuple(notes))


def _split_sides(folded: str, unit: LengthUnit) -> tuple[list[str], str | None]:
    """Return one side (digits) or two, and the thickness where there is one."""
    sides = _BETWEEN_SIDES.split(folded)
    if "" in sides:
        raise NumeralError("is not a size", _REMEDY)
    thickness = sides.pop() if len(sides) == 3 else None
    if len(sides) == 2 and thickness is None and _is_thickness(sides[1], unit):
        first = sides[0]
        if _DIGITS.fullmatch(first) or _SIDE_BY_SIDE.fullmatch(first):
            thickness = sides.pop()
    if len(sides) == 1 and (match := _SIDE_BY_SIDE.fullmatch(sides[0])):
        sides = [match[1], match[2]]
    if len(sides) == 2 or (len(sides) == 1 and _DIGITS.fullmatch(sides[0])):
        return sides, thickness
    raise NumeralError("is not a size", _REMEDY)


def _is_thickness(side: str, unit: LengthUnit) -> bool:
    """Return whether a side after digits is too small for a height, and not bare millimetres."""
    if unit is not LengthUnit.INCH and _BARE.fullmatch(side):
        return False
    try:
        return parse_length(side, unit) <= THICKEST_LEAF_NM
    except LengthError:
        return False


def _order_sides(first: str, second: str) -> tuple[str, str]:
    """Return width and height without their marks W and H."""
    labels = ""
    sides = []
    for side in (first, second):
        match = _LABELLED.fullmatch(side)
        labels += match[2] if match else "-"
        sides.append(match[1] if match else side)
    if labels in ("ww", "hh"):
        raise NumeralError(f"marks both sides {labels[0].upper()}", "mark one W and the other H")
    if labels in ("hw", "h-", "-w"):
        sides.reverse()
    return sides[0], sides[1]


def _read_sides(width: str, height: str, unit: LengthUnit) -> tuple[int, int]:
    """Return two sides in nanometres; a bare number takes the unit of the other side."""
    bare = [side for side in (width, height) if _is_bare(side)]
    if len(bare) == 1:
        other = height if bare[0] is width else width
        if _FEET.search(other) or _FEET_DASH_INCHES.fullmatch(other):
            raise NumeralError(
                f"has one side in feet and one bare number, {bare[0]}", "write both sides alike"
            )
        if ending := _UNIT_AT_END.search(other):
            width, height = (s + ending[1] if _is_bare(s) else s for s in (width, height))
    return _read_side(width, unit), _read_side(height, unit)


def _is_bare(side: str) -> bool:
    return bool(_BARE.fullmatch(side)) and not _FEET_DASH_INCHES.fullmatch(side)


def _read_side(side: str, unit: LengthUnit) -> int:
    if match := _FEET_DASH_INCHES.fullmatch(side):
        return parse_length(f"{match[1]}' {match[2]}{match[3] or ''}\"", unit)
    return parse_length(side, unit)
