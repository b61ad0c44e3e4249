"""A fit as plain text: the cuts in the leaf, the clearances, each with its calculation."""

from collections.abc import Iterable, Iterator
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.fit import Calculation, ClearanceCheck, Fit, GrooveFit, RabbetFit
from optimiser.domain.reasons import Caution
from optimiser.render.table import write_heading, write_item, write_list
from optimiser.units.lengths import FINEST_FRACTION, NM_PER_INCH, LengthUnit, format_length

MAKER_FIRST = (
    "What the profile's maker publishes goes before every figure here: check it against the "
    "maker's sheet."
)

_FINE_NM = {LengthUnit.INCH: NM_PER_INCH // 1_000, LengthUnit.MILLIMETRE: 10_000}
"""What a length that cannot be shown in few figures is rounded up to: 0.001 in, or 0.01 mm."""

_LONGEST_SHOWN = 10
"""Characters of a decimal length beyond which it is rounded."""


def render_fit(fit: Fit, unit: LengthUnit, cautions: Iterable[Caution] = ()) -> str:
    """Return what is cut into a leaf, which clearances hold, and in which order to work."""
    return "\n".join(_write_fit(fit, unit, cautions)) + "\n"


def _write_fit(fit: Fit, unit: LengthUnit, cautions: Iterable[Caution]) -> Iterator[str]:
    yield "Fit and preparation"
    yield from write_fit(fit, unit)
    yield from write_heading("Order of work")
    for number, (statement, source) in enumerate(fit.preparation.steps, start=1):
        yield from write_item(f"{statement} ({source})", bullet=f"{number}. ")
    yield from write_list(
        "Cautions", (f"{caution.sentence} ({caution.source})" for caution in cautions)
    )
    yield from write_list(
        "How it was worked out",
        (word_calculation(calculation, unit) for calculation in list_calculations(fit)),
    )


def write_fit(fit: Fit, unit: LengthUnit) -> Iterator[str]:
    """Yield the cuts in the leaf and the verdicts on the clearances, without their working."""
    yield from write_heading("Cuts in the leaf")
    yield from write_item(MAKER_FIRST, bullet="")
    for sentence in word_cuts(fit, unit):
        yield from write_item(sentence)
    if fit.checks:
        yield from write_heading("Clearances")
        for check in fit.checks:
            yield from write_item(word_clearance(check, unit))


def word_cuts(fit: Fit, unit: LengthUnit) -> Iterator[str]:
    """Yield what is cut into the leaf, sentence by sentence."""
    yield from _word_groove(fit.preparation.groove, unit)
    if fit.preparation.rabbet is None:
        yield (
            "Rabbet at strike and head: measure the nested members' width and depth first; it "
            "does not follow from the section of one."
        )
    else:
        yield from _word_rabbet(fit.preparation.rabbet, unit)


def list_calculations(fit: Fit) -> list[Calculation]:
    """Return every calculation of a fit: those of the cuts, then those of the movements."""
    groove, rabbet = fit.preparation.groove, fit.preparation.rabbet
    calculations = [groove.width, groove.depth, groove.margin.least_thickness, groove.margin.left]
    if rabbet is not None:
        calculations += [rabbet.width, rabbet.depth, rabbet.margin.least_thickness]
        calculations.append(rabbet.margin.left)
    for check in fit.checks:
        calculations += check.movements
    return calculations


def _word_groove(groove: GrooveFit, unit: LengthUnit) -> Iterator[str]:
    least = "" if groove.width.published_by else "at least "
    yield (
        f"Groove in the hinge stile: {least}{_show_cut(groove.width, unit)} wide, "
        f"{_show_cut(groove.depth, unit)} deep."
    )
    if groove.one_pass is not None:
        clear = show_length(groove.one_pass.clearance_each_side_nm, unit)
        yield (
            f"Cut it in one pass with a {format_length(groove.one_pass.size_nm, unit)} bit, which "
            f"leaves {clear} on each side of the rib."
        )
    if groove.at_or_under:
        bits = "; ".join(
            f"{format_length(bit.size_nm, unit)}, {write_passes(bit.passes)}"
            for bit in groove.at_or_under
        )
        yield (f"Bits at or under its width: {bits}.")
    if groove.one_pass is None and not groove.at_or_under:
        yield ("None of the bits cuts it.")
    least = show_length(groove.margin.least_thickness.length_nm, unit)
    left = show_length(groove.margin.left.length_nm, unit)
    if groove.margin.enough:
        yield (
            f"The leaf is thick enough: it needs {least}, and {left} is left on each side of the "
            "groove."
        )
    else:
        yield (f"The leaf is too thin for this groove: do not cut it. Least {least}.")


def _word_rabbet(rabbet: RabbetFit, unit: LengthUnit) -> Iterator[str]:
    yield (
        f"Rabbet at strike and head: {_show_cut(rabbet.width, unit)} across the leaf's thickness, "
        f"{_show_cut(rabbet.depth, unit)} into its edge."
    )
    least = show_length(rabbet.margin.least_thickness.length_nm, unit)
    if rabbet.margin.enough:
        left = show_length(rabbet.margin.left.length_nm, unit)
        yield (f"Behind the rabbet {left} is left; the leaf needs {least} for it.")
    else:
        yield (f"The leaf is too thin for this rabbet: do not cut it. Least {least}.")


def write_passes(passes: int) -> str:
    """Return a number of passes: `1 pass`, `2 passes`."""
    return "1 pass" if passes == 1 else f"{passes:,} passes"


def word_calculation(calculation: Calculation, unit: LengthUnit) -> str:
    """Return a calculation as a sentence: what, how much, formula, inputs and source.

    A published figure comes first, and what was worked out after it.
    """
    what = capital(calculation.what)
    shown = show_length(calculation.length_nm, unit)
    if calculation.published_by:
        published = f"{what}: {shown}, as published ({calculation.published_by})"
        if calculation.worked_out_nm is None:
            return f"{published}."
        worked_out = show_length(calculation.worked_out_nm, unit)
        return f"{published}; worked out it is {worked_out} = {_word_formula(calculation, unit)}"
    return f"{what}: {shown} = {_word_formula(calculation, unit)}"


def _word_formula(calculation: Calculation, unit: LengthUnit) -> str:
    inputs = [f"{name} {format_length(nm, unit)}" for name, nm in calculation.inputs_nm]
    inputs += [
        f"{number.name} {plain(number.value)} {number.unit}".rstrip()
        for number in calculation.numbers
    ]
    given = f", with {', '.join(inputs)}" if inputs else ""
    return f"{calculation.formula}{given} ({calculation.source})."


def word_clearance(check: ClearanceCheck, unit: LengthUnit) -> str:
    """Return whether a clearance is enough, and by how much."""
    have = format_length(check.clearance_nm, unit)
    need = show_length(check.needed.length_nm, unit)
    what = capital(check.what)
    if check.enough:
        return f"{what}, {have}: enough, {need} is needed."
    lacking = show_length(-check.left_nm, unit)
    return f"{what}, {have}: not enough, {need} is needed, {lacking} more."


def show_length(length_nm: int, unit: LengthUnit) -> str:
    """Return a length as it is where that is short, else rounded up: `about 0.067 in`."""
    exact = format_length(length_nm, unit)
    if exact.endswith(f" {unit}") and ("." not in exact or len(exact) <= _LONGEST_SHOWN):
        return exact
    step_nm = _FINE_NM[unit]
    return f"about {format_length(-(-length_nm // step_nm) * step_nm, unit)}"


def _show_cut(cut: Calculation, unit: LengthUnit) -> str:
    """Return a cut with the nearest fraction of an inch beside it where it is a decimal."""
    shown = show_length(cut.length_nm, unit)
    sixty_fourths = (2 * cut.length_nm * FINEST_FRACTION + NM_PER_INCH) // (2 * NM_PER_INCH)
    if unit is LengthUnit.INCH and "." in shown:
        nearest_nm = sixty_fourths * NM_PER_INCH // FINEST_FRACTION
        shown += f" (near {format_length(nearest_nm, unit)})"
    return f"{shown} (as published)" if cut.published_by else shown


def capital(text: str) -> str:
    """Return the text with a capital first letter."""
    return text[:1].upper() + text[1:]


def plain(value: Fraction) -> str:
    """Return a number as a decimal; every coefficient and range is stated as one."""
    decimal = Decimal(value.numerator) / Decimal(value.denominator)
    return f"{decimal.normalize():f}"
