"""The plan: what is bought, how it is cut, what supplies each opening, and why."""

from typing import Annotated

from pydantic import Field

from optimiser.domain.decision import Method
from optimiser.domain.opening import Edge
from optimiser.domain.plan import AlternativeOutcome, RackSource
from optimiser.domain.takeoff import LiesOn
from optimiser.units.lengths import LengthUnit
from service.wire.base import WireModel
from service.wire.notices import Notice
from service.wire.purchases import PurchaseLine, Shipment
from service.wire.reasons import AccountLine, AimProof, Reason
from service.wire.shown import (
    Amount,
    Count,
    DecimalText,
    LengthCount,
    Material,
    Packed,
    ShownLength,
)
from service.wire.takeoff import FastenerNeed, OpeningTakeoff


class KitCount(WireModel):
    """Openings that one kit serves."""

    sku: str
    openings: Count


class MaterialCount(WireModel):
    """Openings whose pieces are cut from one material."""

    material: Material
    openings: Count


class SetSupply(WireModel):
    """What supplies the pieces of one material to the openings of a mark."""

    material: Material
    """The material that is asked for."""
    kits: list[KitCount]
    """Made-to-measure kits."""
    standard_kits: list[KitCount]
    """Kits of a standard size, trimmed on site."""
    cut: Count
    """Openings whose pieces are cut from stock lengths and offcuts of the material."""
    cut_instead: list[MaterialCount]
    """Openings whose pieces are cut from another material that may stand in for it."""


class PatternCount(WireModel):
    """Pieces that come from the bars of one pattern."""

    pattern: str
    pieces: Count


class CutListLine(WireModel):
    """Pieces of one mark to cut at the bench."""

    label: Annotated[str, Field(examples=["D-01 head, frame member"])]
    """What to write on the pieces."""
    edge: Edge
    member: str
    lies_on: LiesOn
    material: Material
    """The material that is cut."""
    length: ShownLength
    pieces: Count
    """Over all openings of the mark that are cut."""
    from_patterns: list[PatternCount]
    segment_of: ShownLength | None
    """The length of the spliced piece that these are a segment of; null for whole pieces."""


class TrimLine(WireModel):
    """Pieces of a standard kit to trim on site for one mark, from the kit's length to the net."""

    label: Annotated[str, Field(examples=["D-01 head, frame member"])]
    """What to write on the pieces."""
    edge: Edge
    member: str
    lies_on: LiesOn
    sku: str
    """The standard kit that they come in."""
    material: Material
    """The material of the kit."""
    held: ShownLength
    """Their length in the kit."""
    length: ShownLength
    """The length to trim them to; where it is that in the kit, nothing is cut."""
    pieces: Count
    """Over all openings of the mark that the kit serves."""


class OpeningPlan(OpeningTakeoff):
    """One mark: what it needs, what supplies it, what is cut for it, what is trimmed on site."""

    supplies: list[SetSupply]
    cut_list: list[CutListLine]
    """What to cut at the bench."""
    trim_list: list[TrimLine]
    """What to trim on site; empty where no standard kit serves the mark."""


class Pattern(WireModel):
    """How bars of one stock length are cut: stock = pieces + kerf + end trim + drop."""

    name: str
    from_rack: bool
    """Whether offcuts on the rack are cut, and no stock lengths."""
    sku: str
    """The SKU of the stock length, or the id of the offcut."""
    material: Material
    bars: Count
    stock_length: ShownLength
    cuts: list[LengthCount]
    """The pieces of one bar, longest first."""
    kerf: ShownLength
    """What the saw takes from one bar."""
    end_trim: ShownLength
    """What is taken off both ends together."""
    drop: ShownLength
    """What is left of one bar."""
    credit: Amount
    """What the drop of one bar is credited at; 0 where it is not kept."""


class FastenerSupply(FastenerNeed):
    """How the fasteners of one kind are supplied."""

    kits: list[Packed]
    """Kits that bring some."""
    packs: list[Packed]
    """Loose packs."""
    on_hand: Count
    """Fasteners taken from those on hand."""
    supplied: Count
    """What arrives and what is taken from hand, at the low end of every pack's contents."""
    spare: Count
    """What is left beyond what is needed."""


class UsedOffcut(WireModel):
    """Offcuts of one id that are cut."""

    id: str
    material: Material
    length: ShownLength
    used: Count
    value: Amount
    """What using one of them is counted at."""


class UsedFasteners(WireModel):
    """Fasteners on hand, of one type and finish, that are used."""

    fastener: str
    finish: str | None
    """Their finish, where it is stated."""
    used: Count
    value: Amount
    """What using one of them is counted at."""


class NextFasteners(WireModel):
    """Fasteners on hand, of one type and finish, that are not used."""

    fastener: str
    finish: str | None
    """Their finish, where it is stated."""
    count: Count


class NextOffcut(WireModel):
    """Lengths that lie on the rack when the work is done."""

    kind: RackSource
    source: str
    """By `kind`: the pattern that leaves the drops, the SKU of bars left whole, or the id of an
    offcut that is not used."""
    material: Material
    length: ShownLength
    quantity: Count
    credit: Amount
    """What one of them is credited at in this plan; 0 for an offcut that lay there before."""


class Certificate(WireModel):
    """How far the cost is proved. No plan costs less than the lower bound."""

    cost: Amount
    lower_bound: Amount
    gap: Amount
    """Cost less lower bound."""
    gap_percent: DecimalText | None
    """The gap in per cent of the lower bound, rounded up to four decimals; null where there is a
    gap and the lower bound is zero or, by what is credited, below it."""
    proved: bool
    """Whether the lower bound meets the cost."""
    method: Method
    """How the bound was obtained."""
    patterns_considered: Count
    aims: list[AimProof]
    """Cost first, then drop, then patterns."""


class Alternative(WireModel):
    """The plan with one choice changed, priced anew."""

    code: str
    statement: str
    """What is done otherwise."""
    outcome: AlternativeOutcome
    cost: Amount | None
    """Null unless the outcome has a price."""
    extra_cost: Amount | None
    """Cost less the plan's total."""
    proved: bool
    """Whether no cheaper plan exists under the changed choice."""
    obstacles: list[str]
    """What stands in the way, where it is not possible."""
    supplier: str | None
    """The only supplier that is bought from, where that is the choice."""
    sentence: str


class Caution(WireModel):
    """A warning about the work itself, with its source."""

    code: str
    marks: list[str]
    """The marks that it concerns; empty for the whole order."""
    sentence: str
    source: str


class Plan(WireModel):
    """A purchase plan, proved as far as the certificate says, that has passed its re-proof."""

    reference: str
    supplier: str
    currency: str
    unit: LengthUnit
    total: Amount
    """The cost that was made least: what is payable, and what is weighed beside it."""
    payable: Amount
    """What suppliers are paid: the totals of the shipments together."""
    purchases: list[PurchaseLine]
    """What to order."""
    shipments: list[Shipment]
    """What each supplier sends that anything is bought from, with its freight."""
    offcuts_used: list[UsedOffcut]
    """What is cut of the offcuts on the rack."""
    fasteners_used: list[UsedFasteners]
    """What is taken of the fasteners on hand."""
    openings: list[OpeningPlan]
    """By mark, in the natural order of the marks."""
    patterns: list[Pattern]
    """How the bars are cut."""
    next_rack: list[NextOffcut]
    """What lies on the rack when the work is done."""
    next_fasteners: list[NextFasteners]
    """What is left of the fasteners on hand; what is left of those that are bought is the spare
    of `fasteners`."""
    fasteners: list[FastenerSupply]
    account: list[AccountLine]
    """The total by kind; the lines that are paid add up to what is payable."""
    certificate: Certificate
    alternatives: list[Alternative]
    """Empty where the policy asks for none."""
    reasons: list[Reason]
    notices: list[Notice]
    """What to know before ordering."""
    cautions: list[Caution]
