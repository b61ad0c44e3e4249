"""The takeoff: what the openings need, before anything is bought."""

from optimiser.domain.opening import Edge, OpeningKind, SizeOf
from optimiser.domain.takeoff import LiesOn
from optimiser.units.lengths import LengthUnit
from service.wire.base import WireModel
from service.wire.notices import Notice
from service.wire.reasons import RuleFired
from service.wire.shown import Count, LengthCount, MarkCount, Material, ShownLength


class Piece(WireModel):
    """Identical pieces that each opening of a mark needs on one edge."""

    edge: Edge
    member: str
    lies_on: LiesOn
    """Where the member is fixed."""
    material: Material
    length: ShownLength
    """The net length, before kerf."""
    count: Count
    """Pieces per opening."""
    runs: Count
    """The trade's count in full lengths of the edge: a head member cut one per leaf is one."""
    fastener: str | None
    """The type of fastener; null takes none from this order."""
    spacing: ShownLength | None
    """The spacing of its fasteners, centre to centre; null where it takes none."""
    spacing_by_rule: bool
    """Whether the rule chose the spacing, and neither the opening nor the policy did."""
    end_distance: ShownLength | None
    """What is kept from each end to the nearest fastener; null where it takes none."""
    least_fasteners: Count
    """The fewest fasteners of one piece, when counted per piece."""
    rule_set: str
    """The rule set that the rule is of."""
    rule_id: str
    """The rule that gave the pieces."""


class FastenerCount(WireModel):
    """The fasteners of one kind that each opening of a mark needs, by both rules."""

    fastener: str
    finish: str | None
    """The finish, where fasteners must match the strip; else null."""
    spacing: ShownLength
    end_distance: ShownLength
    """What is kept from each end of a piece to the nearest fastener."""
    least_fasteners: Count
    """The fewest fasteners of one piece, when counted per piece."""
    running_length: ShownLength
    by_running_length: Count
    per_piece: Count


class OpeningTakeoff(WireModel):
    """The takeoff of one mark; counts are per opening."""

    mark: str
    kind: OpeningKind
    width: ShownLength
    height: ShownLength
    size_of: SizeOf
    lower_height: ShownLength | None
    """The height of the lower leaf or sash as it is stated; null where half was taken."""
    inactive_leaf_width: ShownLength | None
    """The width of a pair's inactive leaf as it is stated; null where the leaves are alike."""
    quantity: Count
    """Openings of this mark."""
    rule_set: str
    also: list[str]
    """Further rule sets under the same mark."""
    finish: str
    """The finish of the products that have none of their own."""
    remarks: str
    runs: Count
    """The trade's count of full-edge lengths per opening."""
    running_length: ShownLength
    """The total length of the pieces of one opening."""
    pieces: list[Piece]
    fasteners: list[FastenerCount]


class PieceSet(WireModel):
    """The pieces of one material that one opening needs, and the openings that need them."""

    material: Material
    lengths: list[LengthCount]
    """Longest first, per opening."""
    pieces: Count
    """Pieces per opening."""
    running_length: ShownLength
    """Per opening."""
    openings: Count
    marks: list[MarkCount]


class FastenerNeed(WireModel):
    """The fasteners of one kind that the whole order needs."""

    fastener: str
    finish: str | None
    """The finish, where fasteners must match the strip; else null."""
    by_running_length: Count
    """The count of all openings by running length."""
    per_piece: Count
    """The count of all openings by piece."""
    counted: Count
    """The one of both counts that the policy names."""
    allowance: Count
    spares: Count
    needed: Count
    """Counted, allowance and spares together."""


class Takeoff(WireModel):
    """The pieces and fasteners of an order; nothing is bought."""

    reference: str
    unit: LengthUnit
    openings: list[OpeningTakeoff]
    """In the natural order of their marks."""
    sets: list[PieceSet]
    """The whole order by piece set: what a kit for one opening would hold."""
    fasteners: list[FastenerNeed]
    """The whole order by kind of fastener."""
    reasons: list[RuleFired]
    """The rules that fired, with their arithmetic."""
    notices: list[Notice]
    """What to know before ordering."""
