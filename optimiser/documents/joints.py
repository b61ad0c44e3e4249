"""Where the joints of spliced pieces lie: the segments of a cut list, laid along their edges."""

from collections.abc import Iterator
from dataclasses import dataclass

from optimiser.domain.plan import CutListLine, OpeningPlan
from optimiser.domain.splicing import EdgeEnd, ends_of, lay_segments
from optimiser.domain.takeoff import Piece


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidSegments:
    """Both segments of spliced pieces, as they lie from the first of `ends`."""

    piece: Piece
    lines: tuple[CutListLine, CutListLine]
    ends: tuple[EdgeEnd, EdgeEnd]


def lay_splices(plan: OpeningPlan) -> Iterator[LaidSegments]:
    """Yield the spliced pieces of a mark in the order of its cut list.

    The two segments of a piece stand beside each other there, the longer one first.
    """
    segments = [line for line in plan.cut_list if line.segment_of_nm is not None]
    for longer, shorter in zip(segments[::2], segments[1::2], strict=True):
        on_edge = [piece for piece in plan.takeoff.pieces if piece.edge is longer.edge]
        member = next(place for place, piece in enumerate(on_edge) if _is_of(longer, piece))
        laid_nm = lay_segments((longer.length_nm, shorter.length_nm), member)
        turned = laid_nm != (longer.length_nm, shorter.length_nm)
        yield LaidSegments(
            piece=on_edge[member],
            lines=(shorter, longer) if turned else (longer, shorter),
            ends=ends_of(longer.edge),
        )


def _is_of(line: CutListLine, piece: Piece) -> bool:
    return (line.member, line.lies_on, line.segment_of_nm, line.material.product) == (
        piece.member,
        piece.lies_on,
        piece.length_nm,
        piece.material.product,
    )
