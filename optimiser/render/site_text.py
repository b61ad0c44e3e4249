"""Install sheets as plain text."""

from collections.abc import Iterable, Iterator
from itertools import groupby

from optimiser.domain.documents import (
    HOW_FASTENERS_STAND,
    FastenersOnSite,
    InstallPiece,
    InstallSheet,
    SplicedPieces,
)
from optimiser.domain.fit import Calculation
from optimiser.domain.phrases import plural, write_count
from optimiser.render.bench_text import write_trim
from optimiser.render.both_units import write_both_units
from optimiser.render.fit_text import capital, show_length, word_calculation, write_fit
from optimiser.render.fit_text import list_calculations as list_of_fit
from optimiser.render.openings import describe_opening, word_supply
from optimiser.render.table import write_heading, write_item, write_list
from optimiser.render.text import Say
from optimiser.units.lengths import LengthUnit, format_length

INDENT = "    "

_MARKED_TO_NM = {LengthUnit.INCH: 793_750, LengthUnit.MILLIMETRE: 500_000}
"""Positions are marked to the nearest 1/32 in or half millimetre; the data hold them exactly."""

_UNITS = {LengthUnit.INCH: "inches", LengthUnit.MILLIMETRE: "millimetres"}


def render_install_sheet(sheet: InstallSheet, unit: LengthUnit, say: Say) -> str:
    """Return the sheet of one mark: pieces, fasteners, cuts in the leaf, steps, cautions.

    `say` words the notices.
    """
    return "\n".join(_write_sheet(sheet, unit, say)) + "\n"


def _write_sheet(sheet: InstallSheet, unit: LengthUnit, say: Say) -> Iterator[str]:
    yield from write_item(
        f"Install sheet, {sheet.opening.mark}: {describe_opening(sheet.opening, unit)}", bullet=""
    )
    if sheet.sizes:
        sizes = ", ".join(
            f"{size.what} {show_length(size.length_nm, unit)}" for size in sheet.sizes
        )
        yield from write_item(f"Net sizes: {sizes}", bullet="")
    yield from write_list("Know first", (say(notice) for notice in sheet.notices))
    yield from _write_supplies(sheet, unit)
    yield from write_heading("Pieces of each opening, edge by edge")
    for edge, pieces in groupby(sheet.pieces, key=lambda piece: piece.edge):
        yield capital(edge.replace("-", " "))
        for piece in pieces:
            yield from _write_piece(piece, sheet.opening.quantity, unit)
    if sheet.fasteners:
        yield from write_heading("Fasteners of each opening")
        for fasteners in sheet.fasteners:
            yield from write_item(_word_fasteners(fasteners))
    if sheet.fit is not None:
        yield from write_fit(sheet.fit, unit)
    yield from write_heading("Order of work")
    for number, (statement, source) in enumerate(sheet.steps, start=1):
        yield from write_item(f"{statement} ({source})", bullet=f"{number}. ")
    yield from write_list(
        "Cautions", (f"{caution.sentence} ({caution.source})" for caution in sheet.cautions)
    )
    yield from write_list(
        "How it was worked out",
        _word_working(sheet, unit),
    )


def _word_working(sheet: InstallSheet, unit: LengthUnit) -> Iterator[str]:
    if sheet.fasteners:
        statement, source = HOW_FASTENERS_STAND
        yield f"{statement} ({source})"
    for calculation in _list_calculations(sheet):
        yield word_calculation(calculation, unit)


def _list_calculations(sheet: InstallSheet) -> list[Calculation]:
    """Return what was worked out; a size that is only the stated one is left out."""
    sizes = [size for size in sheet.sizes if len(size.inputs_nm) > 1 or "÷" in size.formula]
    return sizes + ([] if sheet.fit is None else list_of_fit(sheet.fit))


def _write_supplies(sheet: InstallSheet, unit: LengthUnit) -> Iterator[str]:
    """Yield how the plan supplies the mark; nothing where no plan was made."""
    if not sheet.supplies:
        return
    yield from write_heading("What comes, by the plan")
    for supply in sheet.supplies:
        words = word_supply(
            supply, dict(sheet.kit_materials), name_material=len(sheet.supplies) > 1
        )
        yield from write_item(capital(words))
    for trim in sheet.trim_list:
        yield from write_trim(trim, unit)


def _write_piece(piece: InstallPiece, openings: int, unit: LengthUnit) -> Iterator[str]:
    yield from write_item(
        f"{piece.member}: {piece.count:,} × {write_both_units(piece.length_nm, unit)} on the "
        f"{piece.lies_on.replace('-', ' ')}, {piece.material}. {piece.statement}",
        bullet="  ",
    )
    if piece.may_be_spliced:
        yield from write_item(
            "may come in two segments: the plan's install sheets say whether, and how they lie",
            bullet=INDENT,
        )
    pieces = piece.count * openings
    if not piece.positions_nm:
        yield from write_item("no fasteners from this order", bullet=INDENT)
    elif pieces > sum(spliced.pieces for spliced in piece.spliced):
        first_nm, *rest_nm = piece.positions_nm
        apart = f", then {_near(rest_nm[0] - first_nm, unit)} apart" if rest_nm else ""
        count = write_count(len(piece.positions_nm), piece.fastener or "fastener")
        yield from write_item(
            f"{count} at {format_length(piece.spacing_nm, unit)} or less: the first "
            f"{_near(first_nm, unit)} from each end{apart}. {capital(_UNITS[unit])} from either "
            f"end: {_list_places(piece.positions_nm, unit)}",
            bullet=INDENT,
        )
    for spliced in piece.spliced:
        yield from _write_spliced(piece, spliced, pieces, unit)


def _write_spliced(
    piece: InstallPiece, spliced: SplicedPieces, pieces: int, unit: LengthUnit
) -> Iterator[str]:
    how_many = (
        f"{spliced.pieces:,} of {pieces:,} {'is' if spliced.pieces == 1 else 'are'}"
        if spliced.pieces < pieces
        else "it is"
        if pieces == 1
        else f"all {pieces:,} are"
    )
    of = "" if spliced.material == piece.material else f" of {spliced.material}"
    laid = " + ".join(
        f"{write_both_units(nm, unit)} at the {end} end"
        for nm, end in zip(spliced.segments_nm, spliced.ends, strict=True)
    )
    yield from write_item(f"by the plan {how_many} spliced{of}: {laid}", bullet=INDENT)
    if spliced.positions_nm:
        more = len(spliced.positions_nm) - len(piece.positions_nm)
        count = write_count(len(spliced.positions_nm), piece.fastener or "fastener")
        than = f", {more:,} more than in one length" if more else ""
        yield from write_item(
            f"then {count}{than}, with one on each side of the joint. {capital(_UNITS[unit])} from "
            f"the {spliced.ends[0]} end: {_list_places(spliced.positions_nm, unit)}",
            bullet=INDENT,
        )


def _list_places(positions_nm: Iterable[int], unit: LengthUnit) -> str:
    return ", ".join(mark_position(nm, unit) for nm in positions_nm)


def mark_position(length_nm: int, unit: LengthUnit) -> str:
    """Return a position as it is marked out, without its unit: to 1/32 in or half a millimetre."""
    return _near(length_nm, unit).removesuffix(f" {unit}")


def _near(length_nm: int, unit: LengthUnit) -> str:
    step_nm = _MARKED_TO_NM[unit]
    return format_length((length_nm + step_nm // 2) // step_nm * step_nm, unit)


def _word_fasteners(fasteners: FastenersOnSite) -> str:
    """Return both counts of a type, and what to do where the positions take more."""
    name = capital(plural(fasteners.fastener))
    more = fasteners.at_positions - fasteners.by_running_length
    text = (
        f"{name}: {fasteners.at_positions:,} at these positions; "
        f"{fasteners.by_running_length:,} by running length."
    )
    if fasteners.at_joints:
        text += f" The joints take {fasteners.at_joints:,} more over all openings."
    if more <= 0:
        return text
    return (
        f"{text} Where they were bought by running length, {more:,} are lacking: take them from "
        "the allowance, or stretch the spacing."
    )
