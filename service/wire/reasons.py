"""Why a number of the plan is what it is: a reason for each, typed by its code."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypeAliasType

from optimiser.domain.catalogue import PackRounding
from optimiser.domain.decision import Aim, Method
from optimiser.domain.order import FastenerCounting
from service.wire.base import WireModel
from service.wire.shown import (
    Amount,
    Count,
    DecimalText,
    ExactNumber,
    LengthCount,
    Material,
    Packed,
    ShownLength,
    SignedLength,
)
from service.wire.told import Told


class NamedLength(WireModel):
    """A length that a rule started from, or that it adds; what is deducted is below zero."""

    name: str
    length: SignedLength


class RuleFiredFacts(WireModel):
    """The sum of the inputs, divided by `divided_by`, and the adjustments make the length."""

    rule_id: str
    statement: str
    source: str
    inputs: list[NamedLength]
    divided_by: int
    adjustments: list[NamedLength]
    """Settings of the rule set, added after the division; what is deducted is negative."""
    length: ShownLength
    count: Count
    """Pieces per opening."""


class RuleFired(Told[Literal["rule-fired"], RuleFiredFacts]):
    """A rule of the takeoff gave pieces."""


class NailedPieces(WireModel):
    """Pieces of one length and the fasteners of each when they are counted per piece."""

    length: ShownLength
    pieces: Count
    fasteners_each: Count


class FastenersCountedFacts(WireModel):
    """The fasteners of one opening, by both rules."""

    fastener: str
    finish: str | None
    spacing: ShownLength
    end_distance: ShownLength
    running_length: ShownLength
    by_running_length: Count
    per_piece: Count
    pieces: list[NailedPieces]
    bought_by: FastenerCounting
    """The rule that the policy names."""


class FastenersCounted(Told[Literal["fasteners-counted"], FastenersCountedFacts]):
    """How many fasteners one opening takes."""


class FastenersNeededFacts(WireModel):
    """Counted + allowance + spares = needed, over the order."""

    fastener: str
    finish: str | None
    by_running_length: Count
    per_piece: Count
    bought_by: FastenerCounting
    counted: Count
    allowance_percent: DecimalText
    allowance: Count
    spares: Count
    needed: Count


class FastenersNeeded(Told[Literal["fasteners-needed"], FastenersNeededFacts]):
    """How many fasteners the order needs."""


class SetServedFacts(WireModel):
    """Kits with fasteners + bare kits + cut = openings."""

    material: Material
    lengths: list[LengthCount]
    """Per opening."""
    openings: Count
    kits_with_fasteners: Count
    bare_kits: Count
    cut: Count


class SetServed(Told[Literal["set-served"], SetServedFacts]):
    """What serves the openings that need the same pieces."""


class KitFastenersCountedFacts(WireModel):
    """Nailed length ÷ spacing is fasteners; that ÷ `per_pack`, rounded, is packs."""

    sku: str
    fastener: str
    nailed: ShownLength
    spacing: ShownLength
    fasteners: Count
    per_pack: ExactNumber
    tolerance_percent: DecimalText
    rounding: PackRounding
    packs: Count
    counted_on: Count
    """What one kit brings at the low end of its packs."""


class KitFastenersCounted(Told[Literal["kit-fasteners-counted"], KitFastenersCountedFacts]):
    """How many fasteners the supplier puts into a kit."""


class KitPricedFacts(WireModel):
    """The price of one kit: base + by length + by piece + by pack = unit price."""

    sku: str
    base: Amount
    per_length: Amount
    """The price of `per_length_of` of strip."""
    per_length_of: ShownLength
    running_length: ShownLength
    per_piece: Amount
    pieces: Count
    per_pack: Amount
    packs: Count
    unit_price: Amount
    """Rounded to the currency's minor unit."""


class KitPriced(Told[Literal["kit-priced"], KitPricedFacts]):
    """How the price of a made-to-measure kit comes about."""


class LoosePack(WireModel):
    """The cheapest loose pack of the same fasteners."""

    sku: str
    price: Amount
    fasteners: Count


class KitFastenersPricedFacts(WireModel):
    """What the fasteners of a kit cost, beside loose ones."""

    sku: str
    bare_sku: str
    extra: Amount
    """The kit's price above the cheapest bare kit for the same pieces."""
    packs: Count
    counted_on: Count
    loose: LoosePack | None


class KitFastenersPriced(Told[Literal["kit-fasteners-priced"], KitFastenersPricedFacts]):
    """What fasteners cost in a kit, beside the same bought loose."""


class FastenersSuppliedFacts(WireModel):
    """How the fasteners arrive, and how much is left over."""

    fastener: str
    finish: str | None
    needed: Count
    kits: list[Packed]
    packs: list[Packed]
    supplied: Count
    spare: Count
    least_percent: DecimalText
    """The least share of its stated count that every pack may hold, in per cent."""
    least_per_pack: Count | None
    """The same as a count, where every pack states the same count."""
    stated_per_pack: ExactNumber | None


class FastenersSupplied(Told[Literal["fasteners-supplied"], FastenersSuppliedFacts]):
    """How the fasteners arrive."""


class LengthAccountedFacts(WireModel):
    """Bars × stock length = pieces + kerf + end trim + drop."""

    sku: str
    material: Material
    stock_length: ShownLength
    bars: Count
    pieces: Count
    in_pieces: ShownLength
    kerf: ShownLength
    end_trim: ShownLength
    drop: ShownLength


class LengthAccounted(Told[Literal["length-accounted"], LengthAccountedFacts]):
    """Where the length of a stock length goes."""


class CostAccountedFacts(WireModel):
    """Stock lengths + kits + fastener packs = total."""

    stock_lengths: Amount
    kits: Amount
    fastener_packs: Amount
    total: Amount


class CostAccounted(Told[Literal["cost-accounted"], CostAccountedFacts]):
    """The total as the sum of its parts."""


class AimProof(WireModel):
    """Whether an aim was proved to be at its best, given the aims before it."""

    aim: Aim
    proved: bool


class CostBoundedFacts(WireModel):
    """How far the cost is proved."""

    cost: Amount
    lower_bound: Amount
    gap: Amount
    method: Method
    patterns_considered: Count
    aims: list[AimProof]


class CostBounded(Told[Literal["cost-bounded"], CostBoundedFacts]):
    """How far the cost is proved to be the least."""


Reason = TypeAliasType(
    "Reason",
    Annotated[
        RuleFired
        | FastenersCounted
        | FastenersNeeded
        | SetServed
        | KitFastenersCounted
        | KitPriced
        | KitFastenersPriced
        | FastenersSupplied
        | LengthAccounted
        | CostAccounted
        | CostBounded,
        Field(discriminator="code", description="Why a number of the plan is what it is."),
    ],
)
