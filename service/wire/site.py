"""Install sheets: what a carpenter works from on site, one sheet for each mark."""

from typing import Annotated

from pydantic import Field

from optimiser.domain.opening import Edge, OpeningKind, SizeOf
from optimiser.domain.splicing import EdgeEnd
from optimiser.domain.takeoff import LiesOn
from optimiser.units.lengths import LengthUnit
from service.wire import limits
from service.wire.base import WireModel
from service.wire.fit import OpeningFit
from service.wire.fitted import Calculation, FitMembersShown, StepOfWork
from service.wire.notices import Notice
from service.wire.order import Order, TakeoffOrder
from service.wire.plan import Caution, SetSupply, TrimLine
from service.wire.shown import Count, Material, ShownLength


class InstallOrder(TakeoffOrder):
    """A batch of openings to install: an order as for a takeoff, and profiles for their leaves."""

    fits: Annotated[
        list[OpeningFit], Field(max_length=limits.FITS, json_schema_extra={"default": []})
    ] = Field(default_factory=list)
    """What is cut into which leaves, and which clearances are asked for; each mark once."""


class PlannedInstallOrder(Order):
    """A batch of openings to buy for and to install: an order as for a plan, and profiles."""

    fits: Annotated[
        list[OpeningFit], Field(max_length=limits.FITS, json_schema_extra={"default": []})
    ] = Field(default_factory=list)
    """What is cut into which leaves, and which clearances are asked for; each mark once."""


class FastenerPosition(WireModel):
    """Where a fastener stands: from either end of its piece, or from the end that is named."""

    mark: Annotated[str, Field(examples=["3 27/32"])]
    """In the order's unit, to the nearest 1/32 in or half a millimetre."""
    mm: Annotated[str, Field(pattern=r"^[0-9]+(\.[0-9]+)?$", examples=["97.366667"])]
    """In millimetres, exact."""


class SplicedPieces(WireModel):
    """Pieces that the plan makes of two segments."""

    pieces: Count
    """Over all openings of the mark."""
    material: Material
    """The material that is cut."""
    segments: Annotated[list[ShownLength], Field(min_length=2, max_length=2)]
    """The segments as they lie along the edge."""
    ends: Annotated[list[EdgeEnd], Field(min_length=2, max_length=2)]
    """The end of the edge that each segment lies at. Left and right are seen from one and the
    same side for all members; those of nested members lie so that their joints are apart."""
    joint: ShownLength
    """Where the joint lies, from the first end."""
    positions: list[FastenerPosition]
    """The fasteners of one such piece, measured from the first end; one stands near the joint in
    each segment."""


class InstallPiece(WireModel):
    """Identical pieces of each opening on one edge, with the fasteners of one of them."""

    edge: Edge
    member: str
    lies_on: LiesOn
    material: Material
    length: ShownLength
    count: Count
    """Pieces per opening."""
    fastener: str | None
    """The type of fastener; null takes none from this order."""
    spacing: ShownLength | None
    """What the fasteners may stand apart at most; null without any."""
    end_distance: ShownLength | None
    """What is kept to the ends of the piece; null without fasteners."""
    positions: list[FastenerPosition]
    """The fasteners of one piece, those near its ends among them."""
    statement: str
    """What the rule that gave the piece says of it."""
    spliced: list[SplicedPieces]
    """The pieces of all openings that the plan splices; empty without a plan."""
    may_be_spliced: bool
    """Whether a plan may splice the piece, by the policy; false in the sheets of a plan, which say
    what is spliced."""


class FastenersOnSite(WireModel):
    """The fasteners of one type in one opening, by both counts."""

    fastener: str
    at_positions: Count
    by_running_length: Count
    at_joints: Count
    """What the joints of spliced pieces take beyond that, over all openings of the mark."""


class InstallSheet(WireModel):
    """What a carpenter needs to work on one mark."""

    mark: str
    kind: OpeningKind
    quantity: Count
    width: ShownLength
    height: ShownLength
    size_of: SizeOf
    lower_height: ShownLength | None
    """The height of the lower leaf or sash as it is stated; null where half was taken."""
    inactive_leaf_width: ShownLength | None
    """The width of a pair's inactive leaf as it is stated; null where the leaves are alike."""
    finish: str
    remarks: str
    sizes: list[Calculation]
    """The net sizes of frame and leaf."""
    pieces: list[InstallPiece]
    fasteners: list[FastenersOnSite]
    fit: FitMembersShown | None
    """The cuts in the leaf and the clearances; null where the order states no fit for the mark."""
    steps: list[StepOfWork]
    """The order of work."""
    supplies: list[SetSupply]
    """What supplies the mark, by the plan; empty without one."""
    trim_list: list[TrimLine]
    """What to trim on site of the plan's standard kits; empty without a plan."""
    notices: list[Notice]
    cautions: list[Caution]


class InstallSheets(WireModel):
    """The install sheets of a batch of openings."""

    reference: str
    unit: LengthUnit
    how_fasteners_stand: StepOfWork
    """How their positions are worked out, with its source."""
    sheets: list[InstallSheet]
    """In the natural order of their marks."""
