"""From install sheets of the domain to those of the wire."""

from collections.abc import Iterable

from optimiser.domain import documents as domain
from optimiser.domain.order import Order
from optimiser.render import mark_position
from optimiser.units.lengths import LengthUnit, format_length
from service.mapping.fit_out import fit_members, write_calculation
from service.mapping.shown import ValueWriter, write_material
from service.mapping.takeoff_out import size_members
from service.mapping.told_out import write_caution, write_reason
from service.wire import site as wire
from service.wire.fitted import FitMembersShown, StepOfWork


def write_install_sheets(order: Order, sheets: Iterable[domain.InstallSheet]) -> wire.InstallSheets:
    """Return install sheets as an answer states them."""
    writer = ValueWriter(order.unit, order.catalogue.currency)
    statement, source = domain.HOW_FASTENERS_STAND
    return wire.InstallSheets(
        reference=order.reference,
        unit=order.unit,
        how_fasteners_stand=StepOfWork(statement=statement, source=source),
        sheets=[_write_sheet(sheet, writer) for sheet in sheets],
    )


def _write_sheet(sheet: domain.InstallSheet, writer: ValueWriter) -> wire.InstallSheet:
    opening = sheet.opening
    return wire.InstallSheet(
        mark=opening.mark,
        kind=opening.kind,
        quantity=opening.quantity,
        **size_members(opening, writer),
        finish=opening.finish,
        remarks=opening.remarks,
        sizes=[write_calculation(size, writer) for size in sheet.sizes],
        pieces=[_write_piece(piece, writer) for piece in sheet.pieces],
        fasteners=[
            wire.FastenersOnSite(
                fastener=count.fastener,
                at_positions=count.at_positions,
                by_running_length=count.by_running_length,
            )
            for count in sheet.fasteners
        ],
        fit=None if sheet.fit is None else FitMembersShown(**fit_members(sheet.fit, writer)),
        steps=[StepOfWork(statement=statement, source=source) for statement, source in sheet.steps],
        notices=[write_reason(notice, writer) for notice in sheet.notices],
        cautions=[write_caution(caution) for caution in sheet.cautions],
    )


def _write_piece(piece: domain.InstallPiece, writer: ValueWriter) -> wire.InstallPiece:
    return wire.InstallPiece(
        edge=piece.edge,
        member=piece.member,
        lies_on=piece.lies_on,
        material=write_material(piece.material),
        length=writer.length(piece.length_nm),
        count=piece.count,
        fastener=piece.fastener,
        spacing=None if piece.fastener is None else writer.length(piece.spacing_nm),
        end_distance=None if piece.fastener is None else writer.length(piece.end_distance_nm),
        positions=[
            wire.FastenerPosition(
                mark=mark_position(length_nm, writer.unit),
                mm=format_length(length_nm, LengthUnit.MILLIMETRE).removesuffix(" mm"),
            )
            for length_nm in piece.positions_nm
        ],
        statement=piece.statement,
    )
