"""Which pieces a splice rule lets be made of two segments, and how the segments lie."""

from enum import StrEnum

from optimiser.domain.concessions import SpliceRule
from optimiser.domain.opening import Edge
from optimiser.domain.takeoff import Piece


def may_splice(piece: Piece, rule: SpliceRule) -> bool:
    """Return whether a piece may be spliced: by product, by edge, and a head by its length."""
    short_head = piece.edge is Edge.HEAD and piece.length_nm < rule.least_head_nm
    return piece.material.product == rule.product and piece.edge in rule.edges and not short_head


def segments_of(length_nm: int, rule: SpliceRule) -> list[tuple[int, int]]:
    """Return the pairs of segments that a piece may be made of, the longer one first."""
    pairs = set()
    for first in range(rule.position_step_nm, length_nm, rule.position_step_nm):
        second = length_nm - first
        if min(first, second) >= rule.least_segment_nm:
            pairs.add((max(first, second), min(first, second)))
    return sorted(pairs)


class EdgeEnd(StrEnum):
    """An end of an edge; left and right are seen from one and the same side for all members."""

    LOWER = "lower"
    UPPER = "upper"
    LEFT = "left"
    RIGHT = "right"


_LYING = frozenset({Edge.HEAD, Edge.SILL, Edge.MEETING_RAIL})


def ends_of(edge: Edge) -> tuple[EdgeEnd, EdgeEnd]:
    """Return the end of an edge that positions are measured from, and the other one."""
    if edge in _LYING:
        return EdgeEnd.LEFT, EdgeEnd.RIGHT
    return EdgeEnd.LOWER, EdgeEnd.UPPER


def lay_segments(segments_nm: tuple[int, int], member: int) -> tuple[int, int]:
    """Return two segments as they lie from the lower or left end of their edge.

    `member` counts the members of the edge from 0: each begins with the other segment than the
    one before, so that the joints of nested members do not lie opposite each other. Segments of
    one length leave no choice.

    Source: staggered joints; common practice, no source.
    """
    first_nm, second_nm = segments_nm
    return (first_nm, second_nm) if member % 2 == 0 else (second_nm, first_nm)
