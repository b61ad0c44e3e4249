"""Group openings that need the same pieces of a material, in an order of their own."""

from collections import defaultdict
from collections.abc import Iterable

from optimiser.domain.catalogue import Material
from optimiser.domain.concessions import SpliceRule
from optimiser.domain.splicing import may_splice
from optimiser.domain.takeoff import OpeningTakeoff, Piece, PieceSet, SetDemand


def gather_piece_sets(
    pieces: Iterable[Piece], splices: Iterable[SpliceRule] = ()
) -> tuple[PieceSet, ...]:
    """Return the pieces of one opening as one piece set for each material.

    `splices` say which pieces may be made of two segments.
    """
    rules = {rule.product: rule for rule in splices}
    spliceable: dict[Material, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    lengths: dict[Material, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    nailed: dict[Material, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for piece in pieces:
        lengths[piece.material][piece.length_nm] += piece.count
        rule = rules.get(piece.material.product)
        if rule is not None and may_splice(piece, rule):
            spliceable[piece.material][piece.length_nm] += piece.count
        if piece.fastener is not None:
            nailed[piece.material][piece.fastener] += piece.length_nm * piece.count
    return tuple(
        PieceSet(
            material=material,
            lengths=tuple(sorted(counts.items(), reverse=True)),
            nailed_nm=tuple(sorted(nailed[material].items())),
            spliceable=tuple(sorted(spliceable[material].items(), reverse=True)),
        )
        for material, counts in lengths.items()
    )


def group_sets(
    openings: Iterable[tuple[OpeningTakeoff, tuple[PieceSet, ...]]],
) -> tuple[SetDemand, ...]:
    """Return the piece sets of an order with how many openings need each.

    Sorted by material, then by lengths, longest first. Marks keep the order of the openings.
    """
    marks: dict[PieceSet, list[tuple[str, int]]] = defaultdict(list)
    for takeoff, piece_sets in openings:
        for piece_set in piece_sets:
            marks[piece_set].append((takeoff.opening.mark, takeoff.opening.quantity))
    return tuple(
        SetDemand(
            piece_set=piece_set,
            quantity=sum(quantity for _, quantity in marks[piece_set]),
            marks=tuple(marks[piece_set]),
        )
        for piece_set in sorted(marks, key=_canonical_key)
    )


def _canonical_key(piece_set: PieceSet) -> tuple[object, ...]:
    longest_first = tuple((-length_nm, -count) for length_nm, count in piece_set.lengths)
    return piece_set.material, longest_first, piece_set.nailed_nm, piece_set.spliceable
