"""Install sheets as plain text."""

from collections.abc import Iterator

from optimiser.domain.documents import InstallPiece, InstallSheet
from optimiser.domain.phrases import plural, write_count
from optimiser.render.both_units import write_both_units
from optimiser.render.fit_text import write_fit
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
    if sheet.fit is not None:
        yield from write_fit(sheet.fit, unit)
    cuts = () if sheet.fit is None else sheet.fit.preparation.steps
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
