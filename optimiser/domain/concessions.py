"""What the user concedes so that a plan is possible or cheaper: splices and substitutions."""

from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.catalogue import Material
from optimiser.domain.opening import Edge


@dataclass(frozen=True, slots=True, kw_only=True)
class SpliceRule:
    """Where a piece of a product may be made of two segments, end to end.

    Both segments are at least `least_segment_nm` long, and the joint lies a whole number of
    `position_step_nm` from one end. A head shorter than `least_head_nm` is never spliced.
    `cost` is counted for each splice.
    """

    product: str
    edges: frozenset[Edge]
    least_segment_nm: int
    position_step_nm: int
    least_head_nm: int = 0
    cost: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Substitution:
    """Openings that ask for `wanted` may have `instead`: all their pieces, never a part.

    `preference` is weighed for each opening so served; it is not paid.
    """

    wanted: Material
    instead: Material
    preference: Decimal = Decimal(0)
