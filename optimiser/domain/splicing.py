"""Which pieces a splice rule lets be made of two segments: the only place with the rule."""

from optimiser.domain.concessions import SpliceRule
from optimiser.domain.opening import Edge
from optimiser.domain.takeoff import Piece


def may_splice(piece: Piece, rule: SpliceRule) -> bool:
    """Return whether a piece may be spliced: by product, by edge, and a head by its length."""
    short_head = piece.edge is Edge.HEAD and piece.length_nm < rule.least_head_nm
    return piece.material.product == rule.product and piece.edge in rule.edges and not short_head
