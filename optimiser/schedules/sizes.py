"""The size of an opening from the cells that state it, and what the width of a pair is.

A pair's size is by the trade's custom the total width of both leaves: `6070` is two leaves of
3'-0" ("how to read a door schedule", usearticulate.com). `(2) 3068` states one leaf, twice.
"""

import re
from dataclasses import dataclass
from typing import Final

from optimiser.domain.opening import OpeningKind, SizeOf
from optimiser.schedules.options import PairWidth
from optimiser.schedules.values import ValueFault, read_length_above_zero
from optimiser.units.door_sizes import LIKELY_SIDE_NM, parse_door_size
from optimiser.units.faults import QuantityError
from optimiser.units.lengths import NM_PER_INCH, LengthUnit, format_length

NARROWEST_LIKELY_LEAF_NM: Final = 20 * NM_PER_INCH
WIDEST_LIKELY_LEAF_NM: Final = 48 * NM_PER_INCH
"""Leaves of a pair outside these are looked at again. Choices, no source."""

_TWO_OF = re.compile(r"\(2\)\s*(?:x\s*)?(.+)|2\s*[x@/-]\s*([1-9][0-9]{3,5})", re.IGNORECASE)
_PAIR_OF = re.compile(
    r"(?:prs?|pair)\.?\s*(?:of\s+)?(.*[0-9].*)|(.*[0-9].*?)\s*(?:prs?|pair)\.?", re.I
)


@dataclass(frozen=True, slots=True, kw_only=True)
class StatedSize:
    """A size as it is written. `is_pair` where the text says so; `of_leaf` where it says one leaf.

    `notes` are sentences for whoever reads the plan.
    """

    width_nm: int
    height_nm: int
    is_pair: bool = False
    of_leaf: bool = False
    notes: tuple[str, ...] = ()


def read_size(text: str, unit: LengthUnit) -> StatedSize:
    """Return what one cell states as a size, in any form of door schedules.

    Raises:
        ValueFault: not a size, or one that may be read in two ways.
    """
    if match := _TWO_OF.fullmatch(text):
        size = _parse(match[1] or match[2], unit)
        return StatedSize(
            width_nm=size.width_nm,
            height_nm=size.height_nm,
            is_pair=True,
            of_leaf=True,
            notes=size.notes,
        )
    if match := _PAIR_OF.fullmatch(text):
        return _read_pair(text, _parse(match[1] or match[2], unit), unit)
    return _parse(text, unit)


def _read_pair(text: str, size: StatedSize, unit: LengthUnit) -> StatedSize:
    """Return the size of a pair that does not say of what, where one reading alone is likely."""
    width_nm = size.width_nm
    one_leaf = NARROWEST_LIKELY_LEAF_NM <= width_nm <= WIDEST_LIKELY_LEAF_NM
    both = NARROWEST_LIKELY_LEAF_NM <= width_nm // 2 <= WIDEST_LIKELY_LEAF_NM
    shown = format_length(width_nm, unit)
    if one_leaf == both:
        raise ValueFault(
            "pair-size-ambiguous",
            f"may give {shown} as the width of one leaf or of both",
            "write (2) before the size of one leaf, or the total width with the kind in its own "
            "column",
        )
    of_what = "one leaf" if one_leaf else "both leaves"
    return StatedSize(
        width_nm=width_nm,
        height_nm=size.height_nm,
        is_pair=True,
        of_leaf=one_leaf,
        notes=(*size.notes, f"Size “{text[:40]}”: {shown} was taken as the width of {of_what}."),
    )


def _parse(text: str, unit: LengthUnit) -> StatedSize:
    try:
        size = parse_door_size(text, unit)
    except QuantityError as error:
        raise ValueFault(f"{error.code}-unreadable", error.problem, error.remedy) from None
    return StatedSize(width_nm=size.width_nm, height_nm=size.height_nm, notes=size.notes)


def read_side(text: str, name: str, unit: LengthUnit) -> tuple[int, tuple[str, ...]]:
    """Return a width or a height in nanometres, with a note where it is unusual.

    Raises:
        ValueFault: not a length, or 0.
    """
    side_nm = read_length_above_zero(text, unit)
    if LIKELY_SIDE_NM[0] <= side_nm <= LIKELY_SIDE_NM[1]:
        return side_nm, ()
    shown = format_length(side_nm, unit)
    return side_nm, (f"A {name} of {shown} is unusual; check the unit.",)


def settle_unequal(
    size: StatedSize,
    inactive_nm: int,
    kind: OpeningKind,
    *,
    size_of: SizeOf,
    pair_width: PairWidth,
    unit: LengthUnit,
) -> StatedSize:
    """Return the size of a pair whose inactive leaf has a width of its own, as the domain has it.

    Raises:
        ValueFault: the kind is no pair, the size is of two leaves alike, or the active leaf has
            no width left.
    """
    inactive = format_length(inactive_nm, unit)
    if kind is not OpeningKind.PAIR_OF_DOORS:
        raise ValueFault(
            "inactive-leaf-without-pair",
            f"has an inactive leaf of {inactive} beside it, and the kind is {kind}",
            "correct the kind, or leave the inactive leaf blank",
        )
    if size.is_pair and size.of_leaf:
        raise ValueFault(
            "leaves-alike-and-not",
            f"states two leaves alike, and the inactive leaf is {inactive}",
            "write the width of both leaves together, or leave the inactive leaf blank",
        )
    of_leaf = size.of_leaf or pair_width is PairWidth.ONE_LEAF
    active_nm = size.width_nm if of_leaf else size.width_nm - inactive_nm
    if active_nm <= 0:
        raise ValueFault(
            "inactive-leaf-too-wide",
            f"leaves nothing for the active leaf beside an inactive one of {inactive}",
            "correct one of them",
        )
    width_nm = active_nm if size_of is SizeOf.LEAF else active_nm + inactive_nm
    notes = size.notes
    if of_leaf and size_of is not SizeOf.LEAF:
        whole = format_length(width_nm, unit)
        notes += (f"The width of the pair is that of both leaves, {whole}, without gaps.",)
    return StatedSize(width_nm=width_nm, height_nm=size.height_nm, notes=notes)


def settle_size(
    size: StatedSize, kind: OpeningKind, size_of: SizeOf, pair_width: PairWidth, unit: LengthUnit
) -> StatedSize:
    """Return the size as the domain has it: of a pair by the leaf, one leaf; else the whole.

    Raises:
        ValueFault: the size speaks of two leaves and the kind of none or one.
    """
    notes = list(size.notes)
    width_nm = size.width_nm
    if kind is not OpeningKind.PAIR_OF_DOORS:
        if size.is_pair:
            raise ValueFault(
                "size-of-pair", f"states two leaves, and the kind is {kind}", "correct one of them"
            )
        if kind is OpeningKind.SINGLE_DOOR and width_nm > size.height_nm:
            notes.append("The width is greater than the height; check which is which.")
    else:
        of_leaf = size.of_leaf or (not size.is_pair and pair_width is PairWidth.ONE_LEAF)
        leaf_nm = width_nm if of_leaf else width_nm // 2
        if not NARROWEST_LIKELY_LEAF_NM <= leaf_nm <= WIDEST_LIKELY_LEAF_NM:
            shown, leaf = format_length(width_nm, unit), format_length(leaf_nm, unit)
            of_what = "one leaf" if of_leaf else "both leaves"
            notes.append(
                f"The width {shown} was taken for {of_what} of the pair, so that a leaf has "
                f"{leaf}; check it."
            )
        if size_of is SizeOf.LEAF and not of_leaf:
            if width_nm % 2:
                raise ValueFault(
                    "pair-width-odd",
                    "is a total width that two leaves cannot share in whole nanometres",
                    "state the width of one leaf",
                )
            width_nm = leaf_nm
        elif size_of is not SizeOf.LEAF and of_leaf:
            width_nm = 2 * leaf_nm
            notes.append(
                f"The width of the pair is twice that of a leaf, {format_length(width_nm, unit)}, "
                "without gaps."
            )
    return StatedSize(width_nm=width_nm, height_nm=size.height_nm, notes=tuple(notes))
