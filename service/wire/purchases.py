"""What is ordered: the lines to order, and the shipments in which they come."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypeAliasType

from optimiser.domain.buying import FreightBasis
from optimiser.domain.plan import PurchaseKind
from service.wire.base import WireModel
from service.wire.shown import Amount, Count, ExactNumber, LengthCount, Material, ShownLength


class StockLengthLine(WireModel):
    """Stock lengths to order: amount = quantity × unit price.

    An article with incremental price breaks has a line for each price.
    """

    kind: Literal[PurchaseKind.STOCK_LENGTH]
    supplier: str
    sku: str
    quantity: Count
    unit: Literal["length", "bundle"]
    """What the quantity counts and the unit price is for."""
    unit_price: Amount
    amount: Amount
    material: Material
    length: ShownLength
    bars_per_unit: Count
    """Lengths in one unit: more than 1 in a bundle."""


class KitLine(WireModel):
    """Made-to-measure kits to order, for openings that need the same pieces."""

    kind: Literal[PurchaseKind.KIT]
    supplier: str
    sku: str
    quantity: Count
    unit: Literal["kit"]
    """What the quantity counts and the unit price is for."""
    unit_price: Amount
    """Less the discount that is reached, if any."""
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
    supplier: str
    sku: str
    quantity: Count
    unit: Literal["pack"]
    """What the quantity counts and the unit price is for."""
    unit_price: Amount
    amount: Amount
    fastener: str


class StandardKitLine(WireModel):
    """Kits of a standard size to order; they are trimmed on site."""

    kind: Literal[PurchaseKind.STANDARD_KIT]
    supplier: str
    sku: str
    quantity: Count
    unit: Literal["kit"]
    """What the quantity counts and the unit price is for."""
    unit_price: Amount
    amount: Amount
    material: Material
    lengths: list[LengthCount]
    """The pieces in one kit as sold, longest first."""
    fastener: str | None
    """The fastener in the kit; null in a bare kit."""
    packs_per_kit: Count | None
    """Packs of fasteners in one kit; null in a bare kit."""


PurchaseLine = TypeAliasType(
    "PurchaseLine",
    Annotated[
        StockLengthLine | KitLine | FastenerPackLine | StandardKitLine,
        Field(discriminator="kind", description="One line of the purchase order."),
    ],
)


class OverLengthCharge(WireModel):
    """A surcharge for a shipment that holds anything longer than a limit."""

    longer_than: ShownLength
    surcharge: Amount


class Shipment(WireModel):
    """What one supplier sends: goods + freight + surcharges = total."""

    supplier: str
    goods: Amount
    """The amounts of its purchase lines together."""
    weight_grams: ExactNumber | None
    """The weight of the goods; null where an article states none."""
    freight_basis: FreightBasis | None
    """What the freight tiers go by; null where the supplier asks for no freight."""
    tier_from_grams: ExactNumber | None
    """Where the tier reached begins, with freight by weight."""
    tier_from_value: Amount | None
    """Where the tier reached begins, with freight by value."""
    freight: Amount
    """The charge of the tier reached; 0 where the freight is free."""
    free_from: Amount | None
    """The value of goods from which freight is free; null where the supplier states none."""
    free: bool
    """Whether the goods reach it. Surcharges stay."""
    over_length: list[OverLengthCharge]
    """One for each limit that is passed."""
    least_order: Amount
    """The least value of goods that the supplier takes an order of; 0 where none is stated."""
    total: Amount
    """What the supplier is paid."""
