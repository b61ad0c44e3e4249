"""From install sheets of the domain to those of the wire."""

from collections.abc import Iterable

from optimiser.domain import documents as domain
from optimiser.domain.order import Order
from optimiser.render import mark_position
from optimiser.units.lengths import LengthUnit, format_length
from service.mapping.fit_out import fit_members, write_calculation
from service.mapping.shown import ValueWriter, write_material
from service.mapping.stating import state
from service.mapping.takeoff_out import size_members
from service.mapping.told_out import write_caution, write_reason
from service.wire import site as wire
from service.wire.fitted import FitMembersShown, StepOfWork
from service.wire.plan import SetSupply, TrimLine


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
                at_joints=count.at_joints,
            )
            for count in sheet.fasteners
        ],
        fit=None if sheet.fit is None else FitMembersShown(**fit_members(sheet.fit, writer)),
        steps=[StepOfWork(statement=statement, source=source) for statement, source in sheet.steps],
        supplies=[state(SetSupply, supply, writer) for supply in sheet.supplies],
        trim_list=[state(TrimLine, line, writer) for line in sheet.trim_list],
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
        positions=_write_positions(piece.positions_nm, writer),
        statement=piece.statement,
        spliced=[
            wire.SplicedPieces(
                pieces=spliced.pieces,
                material=write_material(spliced.material),
                segments=[writer.length(length_nm) for length_nm in spliced.segments_nm],
                ends=list(spliced.ends),
                joint=writer.length(spliced.joint_nm),
                positions=_write_positions(spliced.positions_nm, writer),
            )
            for spliced in piece.spliced
        ],
        may_be_spliced=piece.may_be_spliced,
    )


def _write_positions(
    positions_nm: Iterable[int], writer: ValueWriter
) -> list[wire.FastenerPosition]:
    return [
        wire.FastenerPosition(
            mark=mark_position(length_nm, writer.unit),
            mm=format_length(length_nm, LengthUnit.MILLIMETRE).removesuffix(" mm"),
        )
        for length_nm in positions_nm
    ]
