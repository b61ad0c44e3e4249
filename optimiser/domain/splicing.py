"""Which pieces a splice rule lets be made of two segments: the only place with the rule."""

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
