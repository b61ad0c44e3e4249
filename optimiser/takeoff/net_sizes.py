"""The sizes that a measurement on site is held against, from nominal or rough to net."""

from math import isqrt

from optimiser.domain.clearances import Clearances
from optimiser.domain.fit import Calculation
from optimiser.domain.opening import Leaf, Opening, OpeningKind
from optimiser.rule_sets.rule_set import LengthTerm
from optimiser.takeoff.sizes import Inputs, measure, measure_leaf
from optimiser.units.lengths import divide_up

DIAGONAL = "opening-diagonal"

_SOURCE = "the size that is stated and the policy's clearances; common practice, no source"
_FRAME = (LengthTerm.OPENING_WIDTH, LengthTerm.OPENING_HEIGHT)
_ONE_ABOVE_THE_OTHER = {
    OpeningKind.DUTCH_DOOR: (LengthTerm.UPPER_LEAF_HEIGHT, LengthTerm.LOWER_LEAF_HEIGHT),
    OpeningKind.DOUBLE_HUNG_WINDOW: (
        LengthTerm.UPPER_SASH_HEIGHT,
        LengthTerm.LOWER_SASH_HEIGHT,
    ),
}


def work_out_sizes(opening: Opening, clearances: Clearances) -> dict[str, Calculation]:
    """Return the net sizes of frame and leaf by the names of the rule sets' length terms.

    The diagonal is that of a square opening, rounded down to a whole nanometre. A fixed window
    has no leaf.
    """
    terms: tuple[LengthTerm, ...] = _FRAME
    if opening.kind is not OpeningKind.FIXED_WINDOW:
        sash = opening.kind is OpeningKind.DOUBLE_HUNG_WINDOW
        heights = _ONE_ABOVE_THE_OTHER.get(opening.kind, (LengthTerm.LEAF_HEIGHT,))
        terms += (LengthTerm.SASH_WIDTH if sash else LengthTerm.LEAF_WIDTH, *heights)
    sizes = {
        term.value: _work_out(term.value, measure(term, opening, clearances)) for term in terms
    }
    for leaf in opening.unequal_leaves:
        name = f"{leaf}-leaf-width"
        sizes[name] = _work_out(name, measure_leaf(leaf, opening, clearances))
        # What is one width for all leaves elsewhere is that of the active one.
        sizes[LengthTerm.LEAF_WIDTH] = sizes[f"{Leaf.ACTIVE}-leaf-width"]
    width, height = (sizes[term] for term in _FRAME)
    sizes[DIAGONAL] = Calculation(
        what="diagonal of a square opening",
        length_nm=isqrt(width.length_nm**2 + height.length_nm**2),
        formula="√(width² + height²)",
        inputs_nm=(("width", width.length_nm), ("height", height.length_nm)),
        source="Pythagoras",
    )
    return sizes


def _work_out(name: str, measured: tuple[Inputs, int]) -> Calculation:
    inputs, divided_by = measured
    total_nm = sum(length_nm for _, length_nm in inputs)
    formula = ""
    for part, length_nm in inputs:
        sign = ("− " if length_nm < 0 else "+ ") if formula else ""
        formula += f" {sign}{part}"
    formula = formula.strip()
    if divided_by > 1:
        formula = f"({formula}) ÷ {divided_by}" if len(inputs) > 1 else f"{formula} ÷ {divided_by}"
    return Calculation(
        what=name.replace("-", " "),
        length_nm=divide_up(total_nm, divided_by),
        formula=formula,
        inputs_nm=tuple((part, abs(length_nm)) for part, length_nm in inputs),
        source=_SOURCE,
    )
