"""The plan: what is bought, how it is cut, what supplies each opening, and why."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypeAliasType

from optimiser.domain.decision import Method
from optimiser.domain.opening import Edge
from optimiser.domain.plan import AccountKind, AlternativeOutcome, PurchaseKind
from optimiser.domain.takeoff import LiesOn
from optimiser.units.lengths import LengthUnit
from service.wire.base import WireModel
from service.wire.notices import Notice
from service.wire.reasons import AimProof, Reason
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


class StockLengthLine(WireModel):
    """Stock lengths to order: amount = quantity × unit price."""

    kind: Literal[PurchaseKind.STOCK_LENGTH]
    sku: str
    quantity: Count
    unit: Literal["length"]
    """What the quantity counts and the unit price is for."""
    unit_price: Amount
    amount: Amount
    material: Material
    length: ShownLength


class KitLine(WireModel):
    """Made-to-measure kits to order, for openings that need the same pieces."""

    kind: Literal[PurchaseKind.KIT]
    sku: str
    quantity: Count
    unit: Literal["kit"]
    """What the quantity counts and the unit price is for."""
    unit_price: Amount
    amount: Amount
    material: Material
    lengths: list[LengthCount]
    """The pieces in one kit, longest first."""
    fastener: str | None
    """The fastener in the kit; null in a bare kit."""
    packs_per_kit: Count | None
    """Packs of fasteners in one kit; null in a bare kit."""
    made_for: list[str]
    """The marks whose openings the kit fits."""


class FastenerPackLine(WireModel):
    """Loose packs of fasteners to order."""

    kind: Literal[PurchaseKind.FASTENER_PACK]
    sku: str
    quantity: Count
    unit: Literal["pack"]
    """What the quantity counts and the unit price is for."""
    unit_price: Amount
    amount: Amount
    fastener: str


PurchaseLine = TypeAliasType(
    "PurchaseLine",
    Annotated[
        StockLengthLine | KitLine | FastenerPackLine,
        Field(discriminator="kind", description="One line of the purchase order."),
    ],
)


class KitCount(WireModel):
    """Openings that one kit serves."""

    sku: str
    openings: Count


class SetSupply(WireModel):
    """What supplies the pieces of one material to the openings of a mark."""

    material: Material
    kits: list[KitCount]
    cut: Count
    """Openings whose pieces are cut from stock lengths."""


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
    length: ShownLength
    pieces: Count
    """Over all openings of the mark that are cut."""
    from_patterns: list[PatternCount]


class OpeningPlan(OpeningTakeoff):
    """One mark: what it needs, what supplies it, and what is cut for it."""

    supplies: list[SetSupply]
    cut_list: list[CutListLine]


class Pattern(WireModel):
    """How bars of one stock length are cut: stock = pieces + kerf + end trim + drop."""

    name: str
    sku: str
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


class FastenerSupply(FastenerNeed):
    """How the fasteners of one kind are supplied."""

    kits: list[Packed]
    """Kits that bring some."""
    packs: list[Packed]
    """Loose packs."""
    supplied: Count
    """What arrives, at the low end of every pack's contents."""
    spare: Count
    """What is left beyond what is needed."""


class AccountLine(WireModel):
    """The cost of one kind; the lines add up to the total."""

    kind: AccountKind
    amount: Amount


class Certificate(WireModel):
    """How far the cost is proved. No plan costs less than the lower bound."""

    cost: Amount
    lower_bound: Amount
    gap: Amount
    """Cost less lower bound."""
    gap_percent: DecimalText | None
    """The gap in per cent of the lower bound, rounded up to four decimals; null where the lower
    bound is zero and the gap is not."""
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
    purchases: list[PurchaseLine]
    """What to order."""
    openings: list[OpeningPlan]
    """By mark, in the natural order of the marks."""
    patterns: list[Pattern]
    """How the bars are cut."""
    fasteners: list[FastenerSupply]
    account: list[AccountLine]
    """The total by kind of purchase."""
    certificate: Certificate
    alternatives: list[Alternative]
    """Empty where the policy asks for none."""
    reasons: list[Reason]
    notices: list[Notice]
    """What to know before ordering."""
    cautions: list[Caution]
