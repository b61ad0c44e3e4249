"""Install sheets and calculations of fit as plain text."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.documents import InstallPiece, InstallSheet
from optimiser.domain.fit import Bit, Calculation, ClearanceCheck, Preparation
from optimiser.domain.phrases import plural, write_count
from optimiser.render.both_units import write_both_units
from optimiser.render.openings import describe_opening
from optimiser.render.table import write_heading, write_item, write_list
from optimiser.units.lengths import LengthUnit, format_length

_MARKED_TO_NM = {LengthUnit.INCH: 793_750, LengthUnit.MILLIMETRE: 500_000}
"""Positions are marked to the nearest 1/32 in or half millimetre; the data hold them exactly."""

_UNITS = {LengthUnit.INCH: "inches", LengthUnit.MILLIMETRE: "millimetres"}


def render_install_sheet(sheet: InstallSheet, unit: LengthUnit) -> str:
    """Return the sheet of one mark: pieces, fasteners, cuts in the leaf, steps, cautions."""
    return "\n".join(_write_sheet(sheet, unit)) + "\n"


def _write_sheet(sheet: InstallSheet, unit: LengthUnit) -> Iterator[str]:
    yield from write_item(
        f"Install sheet, {sheet.opening.mark}: {describe_opening(sheet.opening, unit)}", bullet=""
    )
    yield from write_heading("Pieces of each opening")
    for piece in sheet.pieces:
        yield from _write_piece(piece, unit)
    for fasteners in sheet.fasteners:
        name = plural(fasteners.fastener)
        yield from write_item(
            f"{name}: {fasteners.at_positions:,} at these positions; "
            f"{fasteners.by_running_length:,} by running length."
        )
    if sheet.preparation is not None:
        yield from write_heading("Cuts in the leaf")
        yield from _write_preparation(sheet.preparation, unit)
    cuts = () if sheet.preparation is None else sheet.preparation.steps
    steps = (*(step for step in cuts if step not in sheet.steps), *sheet.steps)
    yield from write_heading("Order of work")
    for number, (statement, source) in enumerate(steps, start=1):
        yield from write_item(f"{statement} ({source})", bullet=f"{number}. ")
    yield from write_list(
        "Cautions", (f"{caution.sentence} ({caution.source})" for caution in sheet.cautions)
    )


def _write_piece(piece: InstallPiece, unit: LengthUnit) -> Iterator[str]:
    yield from write_item(
        f"{piece.edge.replace('-', ' ')}, {piece.member}: {piece.count:,} × "
        f"{write_both_units(piece.length_nm, unit)} on the {piece.lies_on.replace('-', ' ')}, "
        f"{piece.material}. {piece.statement}"
    )
    if piece.positions_nm:
        places = ", ".join(
            format_length(_mark(nm, unit), unit).removesuffix(f" {unit}")
            for nm in piece.positions_nm
        )
        yield from write_item(
            f"{write_count(len(piece.positions_nm), piece.fastener or 'fastener')}, "
            f"{_UNITS[unit]} from one end: {places}",
            bullet="    ",
        )


def _mark(length_nm: int, unit: LengthUnit) -> int:
    step_nm = _MARKED_TO_NM[unit]
    return (length_nm + step_nm // 2) // step_nm * step_nm


def _write_preparation(preparation: Preparation, unit: LengthUnit) -> Iterator[str]:
    groove = preparation.groove
    yield from write_item(word_calculation(groove.width, unit))
    if groove.one_pass is not None:
        yield from write_item(f"Cut in one pass with {_word_bit(groove.one_pass, unit)}.")
    if groove.at_or_under:
        bits = "; or ".join(_word_bit(bit, unit) for bit in groove.at_or_under)
        yield from write_item(f"Bits at or under that width: {bits}.")
    for calculation in (groove.depth, groove.margin.least_thickness, groove.margin.left):
        yield from write_item(word_calculation(calculation, unit))
    if not groove.margin.enough:
        yield from write_item("The leaf is too thin for this groove: do not cut it.")
    if preparation.rabbet is None:
        yield from write_item("The rabbet needs the nested members' measured width and depth.")
        return
    rabbet = preparation.rabbet
    for calculation in (
        rabbet.width,
        rabbet.depth,
        rabbet.margin.least_thickness,
        rabbet.margin.left,
    ):
        yield from write_item(word_calculation(calculation, unit))
    if not rabbet.margin.enough:
        yield from write_item("The leaf is too thin for this rabbet: do not cut it.")


def _word_bit(bit: Bit, unit: LengthUnit) -> str:
    return (
        f"a {format_length(bit.size_nm, unit)} bit, {bit.passes} "
        f"{'pass' if bit.passes == 1 else 'passes'}, "
        f"{format_length(bit.clearance_each_side_nm, unit)} clear on each side"
    )


def word_calculation(calculation: Calculation, unit: LengthUnit) -> str:
    """Return a calculation as a sentence: what, how much, formula, inputs and source."""
    inputs = [f"{name} {format_length(nm, unit)}" for name, nm in calculation.inputs_nm]
    inputs += [
        f"{number.name} {_plain(number.value)} {number.unit}".rstrip()
        for number in calculation.numbers
    ]
    what = calculation.what[0].upper() + calculation.what[1:]
    return (
        f"{what}: {format_length(calculation.length_nm, unit)} = {calculation.formula}, with "
        f"{', '.join(inputs)} ({calculation.source})."
    )


def _plain(value: Fraction) -> str:
    """Return a number as a decimal; every coefficient and range is stated as one."""
    decimal = Decimal(value.numerator) / Decimal(value.denominator)
    return f"{decimal.normalize():f}"


def word_clearance(check: ClearanceCheck, unit: LengthUnit) -> str:
    """Return whether a clearance is enough, and by how much."""
    have = format_length(check.clearance_nm, unit)
    need = format_length(check.needed.length_nm, unit)
    if check.enough:
        return f"A clearance of {have} is enough: {need} is needed."
    return f"A clearance of {have} is not enough: {need} is needed, so give it at least that."
