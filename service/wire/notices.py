"""What the reader should know before ordering, typed by its code."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypeAliasType

from optimiser.domain.opening import SizeOf
from service.wire.base import WireModel
from service.wire.shown import Amount, Count, DecimalText, ExactNumber, ShownLength
from service.wire.told import Told


class MeetingStilesByOthersFacts(WireModel):
    """The height of the meeting stiles."""

    height: ShownLength
    offered: bool
    """Whether a rule set that the openings name has members for them."""


class MeetingStilesByOthers(Told[Literal["meeting-stiles-by-others"], MeetingStilesByOthersFacts]):
    """The meeting stiles of a pair are not in this order."""


class AstragalByOthersFacts(WireModel):
    """The height of the meeting stiles."""

    height: ShownLength


class AstragalByOthers(Told[Literal["astragal-by-others"], AstragalByOthersFacts]):
    """The meeting stiles of a pair are closed by an astragal, which is not in this order."""


class MeetingRailByOthersFacts(WireModel):
    """The width of the meeting rail."""

    width: ShownLength


class MeetingRailByOthers(Told[Literal["meeting-rail-by-others"], MeetingRailByOthersFacts]):
    """The meeting rail between the leaves of a Dutch door is not in this order."""


class KitShortOfFastenersFacts(WireModel):
    """Fasteners at the supplier's own spacing, less those held, is short."""

    sku: str
    kits: Count
    fastener: str
    spacing: ShownLength
    fasteners: Count
    packs: Count
    held: Count
    short: Count


class KitShortOfFasteners(Told[Literal["kit-short-of-fasteners"], KitShortOfFastenersFacts]):
    """A kit alone holds fewer fasteners than its supplier's own spacing asks for."""


class ThinFastenerMarginFacts(WireModel):
    """How little the packs may hold while the plan is still enough."""

    fastener: str
    finish: str | None
    spare: Count
    least_percent: DecimalText
    least_per_pack: Count | None
    stated_per_pack: ExactNumber | None


class ThinFastenerMargin(Told[Literal["thin-fastener-margin"], ThinFastenerMarginFacts]):
    """The fasteners are enough only while the packs hold about what they state."""


class FastenersPooledOverFinishesFacts(WireModel):
    """The finishes that share one kind of fastener."""

    fastener: str
    finishes: list[str]


class FastenersPooledOverFinishes(
    Told[Literal["fasteners-pooled-over-finishes"], FastenersPooledOverFinishesFacts]
):
    """Fasteners of one type are counted together though the strip has several finishes."""


class PriceOfZeroFacts(WireModel):
    """What is bought for nothing."""

    sku: str
    quantity: Count


class PriceOfZero(Told[Literal["price-of-zero"], PriceOfZeroFacts]):
    """Something that is bought has a price of zero."""


class BoughtBeyondUseFacts(WireModel):
    """Lengths bought and lengths cut."""

    sku: str
    bought: Count
    cut: Count
    sold_in_multiples_of: Count


class BoughtBeyondUse(Told[Literal["bought-beyond-use"], BoughtBeyondUseFacts]):
    """More stock lengths are bought than are cut, since they are sold in multiples."""


class SizeReadWithCareFacts(WireModel):
    """What was read, and the reader's remark."""

    width: ShownLength
    height: ShownLength
    remark: str


class SizeReadWithCare(Told[Literal["size-read-with-care"], SizeReadWithCareFacts]):
    """A size was read from a shorthand that is easily misread."""


class SizeTakenForBothFacts(WireModel):
    """Which of the two sizes was stated."""

    size_of: SizeOf


class SizeTakenForBoth(Told[Literal["size-taken-for-both"], SizeTakenForBothFacts]):
    """The leaf and the opening were taken as the same size."""


class CostNotProvedFacts(WireModel):
    """Cost − lower bound = gap."""

    cost: Amount
    lower_bound: Amount
    gap: Amount


class CostNotProved(Told[Literal["cost-not-proved"], CostNotProvedFacts]):
    """A cheaper plan is not ruled out: the gap says how much cheaper."""


Notice = TypeAliasType(
    "Notice",
    Annotated[
        MeetingStilesByOthers
        | AstragalByOthers
        | MeetingRailByOthers
        | KitShortOfFasteners
        | ThinFastenerMargin
        | FastenersPooledOverFinishes
        | PriceOfZero
        | BoughtBeyondUse
        | SizeReadWithCare
        | SizeTakenForBoth
        | CostNotProved,
        Field(discriminator="code", description="What to know before ordering."),
    ],
)
