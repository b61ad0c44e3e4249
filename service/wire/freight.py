"""What a supplier asks for shipping an order."""

from typing import Annotated, Literal

from pydantic import Field
from typing_extensions import TypeAliasType

from service.wire import limits
from service.wire.base import WireModel
from service.wire.sale_terms import Weight
from service.wire.scalars import Length, Money


class OverLength(WireModel):
    """A surcharge on a shipment that holds anything longer than a limit."""

    longer_than: Length
    """The limit; what is exactly as long is not surcharged."""
    surcharge: Money
    """What the whole shipment costs more, once."""


class WeightTier(WireModel):
    """The charge for a shipment from a weight on."""

    from_weight: Weight
    """The least weight of the shipment. The first tier is from `0 lb` on."""
    charge: Money
    """What the shipment costs, up to the next tier."""


class ValueTier(WireModel):
    """The charge for a shipment from a value of goods on."""

    from_value: Money
    """The least value of the goods shipped. The first tier is from `0` on."""
    charge: Money
    """What the shipment costs, up to the next tier."""


class _Shipment(WireModel):
    over_length: Annotated[
        list[OverLength],
        Field(max_length=limits.OVER_LENGTHS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    """Surcharges for length. Every one whose limit is passed is added, whatever the tiers say;
    a stock length counts at the length at which it is sold, a kit at its longest piece."""
    free_from: Money | None = None
    """The value of goods from which on the charge of the tier falls away; surcharges for length
    stay. Null is never."""


class _WeightTiers(WireModel):
    basis: Literal["weight"]
    """The tiers are counted by weight."""
    tiers: Annotated[list[WeightTier], Field(min_length=1, max_length=limits.FREIGHT_TIERS)]
    """The charges in rising weight, the first from 0 on; the highest that is reached holds for
    the whole shipment."""


class _ValueTiers(WireModel):
    basis: Literal["value"]
    """The tiers are counted by the value of the goods."""
    tiers: Annotated[list[ValueTier], Field(min_length=1, max_length=limits.FREIGHT_TIERS)]
    """The charges in rising value, the first from 0 on; the highest that is reached holds for
    the whole shipment."""


class FreightByWeight(_Shipment, _WeightTiers):
    """Freight by the weight of the shipment: every article then needs a weight."""


class FreightByValue(_Shipment, _ValueTiers):
    """Freight by the value of the goods shipped."""


Freight = TypeAliasType(
    "Freight",
    Annotated[
        FreightByWeight | FreightByValue,
        Field(
            discriminator="basis",
            description="What a supplier asks for one shipment of all that is bought there.",
        ),
    ],
)
