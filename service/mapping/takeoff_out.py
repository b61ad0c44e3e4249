"""From a takeoff of the domain to that of the wire."""

from functools import lru_cache
from typing import Any

from optimiser.domain import takeoff as domain
from optimiser.domain.opening import Opening
from optimiser.domain.order import Order
from service.mapping.shown import ValueWriter, write_material
from service.mapping.stating import state
from service.mapping.told_out import write_reason
from service.wire import takeoff as wire
from service.wire.shown import MarkCount


def write_takeoff(order: Order, takeoff: domain.Takeoff) -> wire.Takeoff:
    """Return the takeoff of an order as an answer states it."""
    writer = ValueWriter(order.unit, order.catalogue.currency)
    return wire.Takeoff(
        reference=order.reference,
        unit=order.unit,
        openings=[
            wire.OpeningTakeoff(**opening_members(opening, writer)) for opening in takeoff.openings
        ],
        sets=[_write_set(demand, writer) for demand in takeoff.demand.sets],
        fasteners=[wire.FastenerNeed(**need_members(need)) for need in takeoff.demand.fasteners],
        reasons=[write_reason(firing, writer) for firing in takeoff.firings],
        notices=[write_reason(notice, writer) for notice in takeoff.notices],
    )


def opening_members(taken: domain.OpeningTakeoff, writer: ValueWriter) -> dict[str, Any]:
    """Return the members of an opening's takeoff, which its plan has too."""
    opening = taken.opening
    return {
        "mark": opening.mark,
        "kind": opening.kind,
        **size_members(opening, writer),
        "quantity": opening.quantity,
        "rule_set": opening.rule_set,
        "also": list(opening.also),
        "finish": opening.finish,
        "remarks": opening.remarks,
        "runs": taken.runs,
        "running_length": writer.length(taken.running_length_nm),
        "pieces": _write_pieces(taken.pieces, writer),
        "fasteners": _write_counts(taken.fasteners, writer),
    }


def size_members(opening: Opening, writer: ValueWriter) -> dict[str, Any]:
    """Return the members that state an opening's size, which every answer has that shows one."""
    lower_nm, inactive_nm = opening.lower_height_nm, opening.inactive_leaf_width_nm
    return {
        "width": writer.length(opening.width_nm),
        "height": writer.length(opening.height_nm),
        "size_of": opening.size_of,
        "lower_height": None if lower_nm is None else writer.length(lower_nm),
        "inactive_leaf_width": None if inactive_nm is None else writer.length(inactive_nm),
    }


def need_members(need: domain.FastenerNeed) -> dict[str, Any]:
    """Return the members of a need of fasteners, which their supply has too."""
    return {
        "fastener": need.pool.fastener,
        "finish": need.pool.finish,
        "by_running_length": need.by_running_length,
        "per_piece": need.per_piece,
        "counted": need.counted,
        "allowance": need.allowance,
        "spares": need.spares,
        "needed": need.needed,
    }


# Openings that are alike share their pieces and fasteners: each is written once.
@lru_cache(maxsize=4_096)
def _write_pieces(pieces: tuple[domain.Piece, ...], writer: ValueWriter) -> list[wire.Piece]:
    return [_write_piece(piece, writer) for piece in pieces]


@lru_cache(maxsize=4_096)
def _write_counts(
    counts: tuple[domain.FastenerCount, ...], writer: ValueWriter
) -> list[wire.FastenerCount]:
    return [_write_count(count, writer) for count in counts]


def _write_piece(piece: domain.Piece, writer: ValueWriter) -> wire.Piece:
    if piece.fastener is None:
        return state(wire.Piece, piece, writer, spacing=None, end_distance=None)
    return state(wire.Piece, piece, writer)


def _write_count(count: domain.FastenerCount, writer: ValueWriter) -> wire.FastenerCount:
    pool = count.pool
    return state(wire.FastenerCount, count, writer, fastener=pool.fastener, finish=pool.finish)


def _write_set(demand: domain.SetDemand, writer: ValueWriter) -> wire.PieceSet:
    piece_set = demand.piece_set
    return wire.PieceSet(
        material=write_material(piece_set.material),
        lengths=writer.counts(piece_set.lengths),
        pieces=piece_set.piece_count,
        running_length=writer.length(piece_set.running_length_nm),
        openings=demand.quantity,
        marks=[MarkCount(mark=mark, openings=openings) for mark, openings in demand.marks],
    )
