"""The sizes of opening, leaf and sash, worked out from the size that is stated.

Source: leaf, frame's opening and rough opening differ by gaps and frame; common practice, no
source. What is not deducted is taken as zero.
"""

from collections.abc import Callable

from optimiser.domain.clearances import Clearances
from optimiser.domain.opening import Leaf, Opening, SizeOf
from optimiser.rule_sets.rule_set import LengthTerm

Inputs = tuple[tuple[str, int], ...]
"""What a length is summed from: names with lengths in nanometres; what is deducted is negative."""

OF_THE_LEAF = frozenset(LengthTerm) - {LengthTerm.OPENING_WIDTH, LengthTerm.OPENING_HEIGHT}
"""The sizes that are those of a leaf or a sash."""


def measure(term: LengthTerm, opening: Opening, clearances: Clearances) -> tuple[Inputs, int]:
    """Return what a size is summed from, and what that sum is divided by."""
    return _TERMS[term](opening, clearances)


def _stated(name: str, length_nm: int, *others: tuple[str, int]) -> Inputs:
    return (name, length_nm), *_not_zero(*others)


def _not_zero(*inputs: tuple[str, int]) -> Inputs:
    return tuple((name, length_nm) for name, length_nm in inputs if length_nm)


def _opening_width(opening: Opening, gaps: Clearances) -> tuple[Inputs, int]:
    across = opening.leaves_abreast
    between = (
        ("jamb gaps", 2 * gaps.jamb_nm),
        ("gap at the meeting stiles", (across - 1) * gaps.meeting_nm),
    )
    match opening.size_of:
        case SizeOf.OPENING:
            return (("opening width", opening.width_nm),), 1
        case SizeOf.ROUGH_OPENING:
            frame_nm = gaps.rough_width_nm or 0
            return _stated(
                "rough opening width", opening.width_nm, ("frame and shims", -frame_nm)
            ), 1
        case SizeOf.NOMINAL:
            less_nm = -across * gaps.nominal_width_nm
            return _stated(
                "nominal width", opening.width_nm, ("nominal to net", less_nm), *between
            ), 1
        case SizeOf.LEAF if across == 2:
            return (
                ("active leaf width", opening.width_nm),
                *_stated(
                    "inactive leaf width",
                    opening.inactive_leaf_width_nm or opening.width_nm,
                    *between,
                ),
            ), 1
        case SizeOf.LEAF:
            return _stated("leaf width", opening.width_nm, *between), 1


def measure_leaf(leaf: Leaf, opening: Opening, gaps: Clearances) -> tuple[Inputs, int]:
    """Return what the width of a leaf of an unequal pair is summed from, and the divisor, 1."""
    inactive_nm = opening.inactive_leaf_width_nm or 0
    nominal = opening.size_of is SizeOf.NOMINAL
    net = ("nominal to net", -gaps.nominal_width_nm if nominal else 0)
    if leaf is Leaf.INACTIVE:
        return _stated("inactive leaf width", inactive_nm, net), 1
    if opening.size_of is SizeOf.LEAF:
        return (("active leaf width", opening.width_nm),), 1
    if nominal:
        rest = ("inactive leaf width", -inactive_nm)
        return _stated("nominal width", opening.width_nm, rest, net), 1
    inputs, _ = _opening_width(opening, gaps)
    deducted = _not_zero(
        ("jamb gaps", -2 * gaps.jamb_nm),
        ("gap at the meeting stiles", -gaps.meeting_nm),
        ("inactive leaf width", -inactive_nm),
    )
    return (*inputs, *deducted), 1


def _leaf_width(opening: Opening, gaps: Clearances) -> tuple[Inputs, int]:
    across = opening.leaves_abreast
    match opening.size_of:
        case SizeOf.LEAF:
            return (("leaf width", opening.width_nm),), 1
        case SizeOf.NOMINAL:
            less_nm = -across * gaps.nominal_width_nm
            return _stated("nominal width", opening.width_nm, ("nominal to net", less_nm)), across
    inputs, _ = _opening_width(opening, gaps)
    deducted = _not_zero(
        ("jamb gaps", -2 * gaps.jamb_nm),
        ("gap at the meeting stiles", -(across - 1) * gaps.meeting_nm),
    )
    return (*inputs, *deducted), across


def _opening_height(opening: Opening, gaps: Clearances) -> tuple[Inputs, int]:
    around = (("head gap", gaps.head_nm), ("sill gap", gaps.sill_nm))
    match opening.size_of:
        case SizeOf.OPENING:
            return (("opening height", opening.height_nm),), 1
        case SizeOf.ROUGH_OPENING:
            frame_nm = gaps.rough_height_nm or 0
            return _stated(
                "rough opening height", opening.height_nm, ("frame and shims", -frame_nm)
            ), 1
        case SizeOf.NOMINAL:
            less_nm = -gaps.nominal_height_nm
            return _stated(
                "nominal height", opening.height_nm, ("nominal to net", less_nm), *around
            ), 1
        case SizeOf.LEAF:
            return _stated("leaf height", opening.height_nm, *around), 1


def _leaf_height(opening: Opening, gaps: Clearances) -> tuple[Inputs, int]:
    if opening.size_of is SizeOf.LEAF:
        return (("leaf height", opening.height_nm),), 1
    if opening.size_of is SizeOf.NOMINAL:
        less_nm = -gaps.nominal_height_nm
        return _stated("nominal height", opening.height_nm, ("nominal to net", less_nm)), 1
    inputs, _ = _opening_height(opening, gaps)
    deducted = _not_zero(("head gap", -gaps.head_nm), ("sill gap", -gaps.sill_nm))
    return (*inputs, *deducted), 1


def _lower_height(opening: Opening, gaps: Clearances) -> tuple[Inputs, int]:
    if opening.lower_height_nm is not None:
        return (("height of the lower one", opening.lower_height_nm),), 1
    inputs, _ = _leaf_height(opening, gaps)
    deducted = _not_zero(("gap at the meeting rail", -_meeting(opening, gaps)))
    return (*inputs, *deducted), 2


def _upper_height(opening: Opening, gaps: Clearances) -> tuple[Inputs, int]:
    if opening.lower_height_nm is None:
        return _lower_height(opening, gaps)
    inputs, _ = _leaf_height(opening, gaps)
    deducted = _not_zero(
        ("height of the lower one", -opening.lower_height_nm),
        ("gap at the meeting rail", -_meeting(opening, gaps)),
    )
    return (*inputs, *deducted), 1


def _meeting(opening: Opening, gaps: Clearances) -> int:
    """Return the gap between two leaves one above the other; meeting rails of sashes overlap."""
    return gaps.meeting_nm if opening.leaves > opening.leaves_abreast else 0


_TERMS: dict[LengthTerm, Callable[[Opening, Clearances], tuple[Inputs, int]]] = {
    LengthTerm.OPENING_WIDTH: _opening_width,
    LengthTerm.OPENING_HEIGHT: _opening_height,
    LengthTerm.LEAF_WIDTH: _leaf_width,
    LengthTerm.LEAF_HEIGHT: _leaf_height,
    LengthTerm.UPPER_LEAF_HEIGHT: _upper_height,
    LengthTerm.LOWER_LEAF_HEIGHT: _lower_height,
    LengthTerm.SASH_WIDTH: _leaf_width,
    LengthTerm.UPPER_SASH_HEIGHT: _upper_height,
    LengthTerm.LOWER_SASH_HEIGHT: _lower_height,
}
