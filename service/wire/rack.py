"""What is on hand before anything is bought."""

from typing import Annotated

from pydantic import Field

from service.wire import limits
from service.wire.base import WireModel
from service.wire.scalars import Length, Money, Name, Sku


class Offcut(WireModel):
    """Offcuts of one length. Pieces are cut from them as from a bar, without an end trim."""

    id: Annotated[Sku, Field(examples=["R-01"])]
    """What the plan calls it: unlike every SKU and every other offcut of the order."""
    product: Annotated[Name, Field(examples=["interlocking-strip"])]
    finish: Annotated[Name, Field(examples=["zinc"])]
    length: Length
    quantity: Annotated[int, Field(ge=0, le=limits.UNITS)] = 1
    """How many there are of this length."""
    value: Money = "0"
    """What using one of them is counted at. At 0 it is used wherever that saves anything."""


class FastenersOnHand(WireModel):
    """Loose fasteners of one type on hand, of which the plan uses as many as it pays to use."""

    fastener: Annotated[Name, Field(examples=["strip-nail"])]
    """The type of fastener."""
    finish: Annotated[Name, Field(examples=["zinc"])] | None = None
    """Their finish. Needed where the policy asks for fasteners that match the strip."""
    count: Annotated[int, Field(ge=0, le=limits.IN_ONE_PACK)]
    """How many there are."""
    value: Money = "0"
    """What using one of them is counted at."""


class Rack(WireModel):
    """What is on hand. It is used before buying where that costs less at the values stated here;
    values are weighed in the plan's cost, not paid."""

    offcuts: Annotated[
        list[Offcut], Field(max_length=limits.OFFCUTS, json_schema_extra={"default": []})
    ] = Field(default_factory=list)
    """Offcuts of strip."""
    fasteners: Annotated[
        list[FastenersOnHand],
        Field(max_length=limits.FASTENERS_ON_HAND, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    """Loose fasteners, one entry for each type and finish."""
