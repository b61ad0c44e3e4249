"""Why the terms of buying come to what they do: breaks, shipments, the rack, concessions."""

from typing import Literal

from optimiser.domain.buying import BreakKind
from service.wire.base import WireModel
from service.wire.purchases import Shipment
from service.wire.shown import (
    Amount,
    Count,
    DecimalText,
    LengthCount,
    Material,
    ShownLength,
)
from service.wire.told import Told


class PricedUnits(WireModel):
    """Units of an article that share a price."""

    units: Count
    unit_price: Amount


class BreakReachedFacts(WireModel):
    """The tiers together are the quantity."""

    sku: str
    quantity: Count
    """Units as sold."""
    price: Amount
    """The price of one unit, below every break."""
    break_kind: BreakKind
    tiers: list[PricedUnits]
    saved: Amount
    """What the same quantity would cost more at `price`; below zero where breaks raise it."""


class BreakReached(Told[Literal["break-reached"], BreakReachedFacts]):
    """What an article's price breaks come to."""


class ReducedPrice(WireModel):
    """The price of one kit of one size, before and after the discount."""

    full: Amount
    reduced: Amount
    """Rounded to the currency's minor unit."""


class DiscountReachedFacts(WireModel):
    """The discount that so many kits of one SKU, of every size together, reach."""

    sku: str
    kits: Count
    from_quantity: Count
    percent: DecimalText
    prices: list[ReducedPrice]
    """One for each price of a kit of this SKU."""


class DiscountReached(Told[Literal["discount-reached"], DiscountReachedFacts]):
    """The kits of one SKU reach a discount."""


class LeastValueReachedFacts(WireModel):
    """What is bought of one SKU, of every size and at every price together."""

    sku: str
    quantity: Count
    """Units as sold."""
    value: Amount
    least_value: Amount
    """The least that it may come to, if it is bought at all."""


class LeastValueReached(Told[Literal["least-value-reached"], LeastValueReachedFacts]):
    """What is bought of one SKU comes to the least value that is sold of it."""


class ShipmentPricedFacts(WireModel):
    """The shipment, as among the plan's shipments."""

    shipment: Shipment


class ShipmentPriced(Told[Literal["shipment-priced"], ShipmentPricedFacts]):
    """What a supplier's shipment costs."""


class OffcutUsedFacts(WireModel):
    """Used × value = amount."""

    id: str
    material: Material
    length: ShownLength
    used: Count
    on_rack: Count
    """How many of it there were."""
    value: Amount
    """What using one of them is counted at."""
    amount: Amount


class OffcutUsed(Told[Literal["offcut-used"], OffcutUsedFacts]):
    """An offcut on the rack is cut."""


class FastenersOnHandUsedFacts(WireModel):
    """Used × value = amount."""

    fastener: str
    finish: str | None
    used: Count
    on_hand: Count
    """How many of them there were."""
    value: Amount
    """What using one of them is counted at."""
    amount: Amount


class FastenersOnHandUsed(Told[Literal["fasteners-on-hand-used"], FastenersOnHandUsedFacts]):
    """Fasteners on hand are used."""


class KeptLength(WireModel):
    """Drops or whole bars of one length that are kept."""

    length: ShownLength
    count: Count
    credit: Amount
    """For one of them."""


class DropsKeptFacts(WireModel):
    """Length × rate, rounded down to the minor unit, is a credit; count × credit adds up."""

    material: Material
    least_length: ShownLength
    """The shortest length that is kept."""
    per_length: Amount
    """The credit of `per_length_of` of strip; the rest of an offcut earns no more than its own
    value for its length."""
    per_length_of: ShownLength
    lengths: list[KeptLength]
    amount: Amount


class DropsKept(Told[Literal["drops-kept"], DropsKeptFacts]):
    """Drops and whole bars are kept for the next time and credited."""


class CutsChargedFacts(WireModel):
    """Pieces × charge = amount."""

    pieces: Count
    charge: Amount
    amount: Amount


class CutsCharged(Told[Literal["cuts-charged"], CutsChargedFacts]):
    """What cutting is counted at."""


class PiecesSplicedFacts(WireModel):
    """The segments together are the length; pieces × cost = amount."""

    material: Material
    length: ShownLength
    segments: list[ShownLength]
    """The two of each piece, the longer one first."""
    pieces: Count
    cost: Amount
    """What one splice is counted at."""
    amount: Amount


class PiecesSpliced(Told[Literal["pieces-spliced"], PiecesSplicedFacts]):
    """Pieces are each made of two segments."""


class SetSubstitutedFacts(WireModel):
    """Openings × preference = amount, which is weighed and not paid."""

    wanted: Material
    instead: Material
    openings: Count
    preference: Amount
    amount: Amount


class SetSubstituted(Told[Literal["set-substituted"], SetSubstitutedFacts]):
    """Openings have another material than the one they ask for."""


class StandardKitsTrimmedFacts(WireModel):
    """Kits of a standard size that are trimmed on site."""

    sku: str
    lengths: list[LengthCount]
    """The pieces in one kit as sold."""
    used: Count
    """Openings that they serve."""
    bought: Count
    trimmed: ShownLength
    """What is cut off over all of them: their length less that of the pieces."""


class StandardKitsTrimmed(Told[Literal["standard-kits-trimmed"], StandardKitsTrimmedFacts]):
    """Standard kits serve openings."""
