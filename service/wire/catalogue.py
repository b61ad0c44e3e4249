"""The catalogue of the order: what one supplier offers, in one currency."""

from typing import Annotated, Any

from pydantic import Discriminator, Field, Strict, StringConstraints, Tag
from typing_extensions import TypeAliasType

from optimiser.domain.catalogue import PackRounding
from service.wire import limits
from service.wire.base import WireModel
from service.wire.scalars import (
    NO_CONTROL_CHARACTERS,
    CountPerWeight,
    CurrencyCode,
    Length,
    Money,
    Name,
    PercentBelow100,
    Sku,
)

Multiple = Annotated[int, Field(ge=1, le=limits.MULTIPLE)]

Weight = TypeAliasType(
    "Weight",
    Annotated[
        str,
        StringConstraints(
            pattern=NO_CONTROL_CHARACTERS, min_length=1, max_length=limits.QUANTITY_CHARACTERS
        ),
        Field(
            description="A weight with its unit: oz, lb, g or kg.",
            examples=["1 lb", "1 oz", "250 g"],
        ),
    ],
)


class ContentsByCount(WireModel):
    """The contents of a pack as a count."""

    count: Annotated[int, Field(ge=1, le=limits.IN_ONE_PACK, examples=[65])]
    """Fasteners in one pack."""
    tolerance_percent: PercentBelow100 = "0"
    """How many per cent fewer a pack may hold; the plan buys for that low end."""


class ContentsByWeight(WireModel):
    """The contents of a pack as a count to a weight, and the weight of one pack."""

    count_per_weight: CountPerWeight
    """Fasteners to the weight that `weight` states."""
    weight: Weight
    """The weight that `count_per_weight` counts."""
    pack_weight: Weight
    """The weight of one pack."""
    tolerance_percent: PercentBelow100 = "0"
    """How many per cent fewer a pack may hold; the plan buys for that low end."""


def _form_of_contents(value: Any) -> str | None:
    if isinstance(value, ContentsByCount | ContentsByWeight):
        return "count" if isinstance(value, ContentsByCount) else "weight"
    if not isinstance(value, dict):
        return None
    by_weight = value.keys() & {"count_per_weight", "weight", "pack_weight"}
    return "weight" if by_weight and "count" not in value else "count"


Contents = TypeAliasType(
    "Contents",
    Annotated[
        Annotated[ContentsByCount, Tag("count")] | Annotated[ContentsByWeight, Tag("weight")],
        Discriminator(
            _form_of_contents,
            custom_error_type="wrong-type",
            custom_error_message="is not the contents of a pack; send an object with count, or "
            "with count_per_weight, weight and pack_weight",
        ),
        Field(description="How many fasteners one pack holds: a count, or a count to a weight."),
    ],
)


class StockLength(WireModel):
    """A length as sold, to be cut at the bench."""

    sku: Sku
    product: Annotated[Name, Field(examples=["interlocking-strip"])]
    """The product; openings ask for it through their rule set."""
    finish: Annotated[Name, Field(examples=["zinc"])]
    length: Length
    price: Money
    """The price of one length."""
    sold_in_multiples_of: Multiple = 1
    """Lengths are sold in whole multiples of this number."""


class PricePerLength(WireModel):
    """A price for a length of strip."""

    price: Money
    """The price of `length` of strip."""
    length: Length
    """The length that the price is for, such as 1 ft."""


class KitPrice(WireModel):
    """The price of a kit by its size: base + per length + per piece + per pack of fasteners."""

    base: Money = "0"
    """What every kit costs, whatever its size."""
    per_length: PricePerLength | None = None
    """What the running length of the kit's pieces costs. Null is nothing."""
    per_piece: Money = "0"
    """What each piece of the kit costs."""
    per_pack: Money = "0"
    """What each pack of fasteners in the kit costs."""


class KitFasteners(WireModel):
    """The fasteners in a kit: whole packs, counted by running length."""

    fastener: Annotated[Name, Field(examples=["strip-nail"])]
    """The type of fastener."""
    spacing: Length
    """The supplier's spacing, centre to centre, by which the kit's fasteners are counted."""
    contents: Contents
    """What one of the kit's packs holds."""
    rounding: Annotated[PackRounding, Strict(False)] = PackRounding.UP
    """How the supplier turns the count into whole packs."""


class Kit(WireModel):
    """An offer of made-to-measure kits: every piece of one material for one opening."""

    sku: Sku
    product: Annotated[Name, Field(examples=["interlocking-strip"])]
    finish: Annotated[Name, Field(examples=["zinc"])]
    price: KitPrice
    fasteners: KitFasteners | None = None
    """The fasteners in the kit. Null is a bare kit."""
    longest_piece: Length | None = None
    """The longest piece that the supplier makes. Null states no limit."""


class FastenerPack(WireModel):
    """A pack of loose fasteners."""

    sku: Sku
    fastener: Annotated[Name, Field(examples=["strip-nail"])]
    """The type of fastener; the rule set names the types that pieces take."""
    finish: Annotated[Name, Field(examples=["zinc"])] | None = None
    """The finish of the fasteners, where the pack states one."""
    contents: Contents
    price: Money
    """The price of one pack."""
    sold_in_multiples_of: Multiple = 1
    """Packs are sold in whole multiples of this number."""


_UP_TO_THE_LIMIT = Field(max_length=limits.CATALOGUE_ENTRIES, json_schema_extra={"default": []})


class Catalogue(WireModel):
    """What one supplier offers. A SKU stands once in all three lists together."""

    supplier: Annotated[Name, Field(examples=["Larkmoor Strip & Seal"])]
    currency: CurrencyCode
    """The currency of every price."""
    stock_lengths: Annotated[list[StockLength], _UP_TO_THE_LIMIT] = Field(default_factory=list)
    """Lengths to be cut."""
    kits: Annotated[list[Kit], _UP_TO_THE_LIMIT] = Field(default_factory=list)
    """Made-to-measure kits, bare or with fasteners."""
    fastener_packs: Annotated[list[FastenerPack], _UP_TO_THE_LIMIT] = Field(default_factory=list)
    """Loose fasteners."""
