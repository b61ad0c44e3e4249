"""The catalogue of the order: what one supplier offers, in one currency."""

from typing import Annotated, Any

from pydantic import Discriminator, Field, Strict, Tag
from typing_extensions import TypeAliasType

from optimiser.domain.catalogue import PackRounding
from service.wire import limits
from service.wire.base import WireModel
from service.wire.freight import Freight
from service.wire.sale_terms import (
    KitDiscount,
    PricePerLength,
    SaleTerms,
    Weight,
    WeightPerLength,
)
from service.wire.scalars import (
    CountPerWeight,
    CurrencyCode,
    Length,
    Money,
    Name,
    PercentBelow100,
    Sku,
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


class _Bar(WireModel):
    sku: Sku
    product: Annotated[Name, Field(examples=["interlocking-strip"])]
    """The product; openings ask for it through their rule set."""
    finish: Annotated[Name, Field(examples=["zinc"])]
    length: Length
    price: Money
    """The price of one unit as sold: one length, or one bundle of them."""
    bars_per_unit: Annotated[int, Field(ge=1, le=limits.UNITS)] = 1
    """How many lengths one unit holds; above 1 the unit is a bundle."""


class StockLength(SaleTerms, _Bar):
    """A length as sold, to be cut at the bench."""


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
    least_quantity: Annotated[int, Field(ge=1, le=limits.UNITS)] = 1
    """The least kits of this SKU, of every size together, if any is bought."""
    least_value: Money = "0"
    """The least that the kits of this SKU, of every size together, come to, if any is bought."""
    available: Annotated[int, Field(ge=0, le=limits.UNITS)] | None = None
    """The most kits of this SKU, of every size together. Null states no limit."""
    discounts: Annotated[
        list[KitDiscount],
        Field(max_length=limits.PRICE_BREAKS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    """Discounts by quantity in rising quantity; the highest that is reached holds for every kit
    of this SKU."""
    weight: WeightPerLength | None = None
    """The weight by the running length of the pieces. Needed where freight goes by weight."""


class StandardKitLength(WireModel):
    """Pieces of one length in a standard kit."""

    length: Length
    count: Annotated[int, Field(ge=1, le=limits.STANDARD_KIT_PIECES)] = 1
    """How many pieces of this length the kit holds."""


class StandardKitFasteners(WireModel):
    """The fasteners in a standard kit: whole packs, whatever the opening."""

    fastener: Annotated[Name, Field(examples=["strip-nail"])]
    """The type of fastener."""
    contents: Contents
    """What one of the kit's packs holds."""
    packs: Annotated[int, Field(ge=1, le=limits.STANDARD_KIT_PIECES)] = 1
    """How many packs the kit holds."""


class _StandardKit(WireModel):
    sku: Sku
    product: Annotated[Name, Field(examples=["interlocking-strip"])]
    finish: Annotated[Name, Field(examples=["zinc"])]
    lengths: Annotated[
        list[StandardKitLength], Field(min_length=1, max_length=limits.STANDARD_KIT_LENGTHS)
    ]
    """The pieces that the kit holds."""
    price: Money
    """The price of one kit."""
    fasteners: StandardKitFasteners | None = None
    """The fasteners in the kit. Null is a bare kit."""


class StandardKit(SaleTerms, _StandardKit):
    """A kit in a standard size, trimmed on site. It serves an opening where each piece that the
    opening needs of the material can be trimmed from a piece of the kit of its own."""


class _Pack(WireModel):
    sku: Sku
    fastener: Annotated[Name, Field(examples=["strip-nail"])]
    """The type of fastener; the rule set names the types that pieces take."""
    finish: Annotated[Name, Field(examples=["zinc"])] | None = None
    """The finish of the fasteners, where the pack states one."""
    contents: Contents
    price: Money
    """The price of one pack."""


class FastenerPack(SaleTerms, _Pack):
    """A pack of loose fasteners."""


_UP_TO_THE_LIMIT = Field(max_length=limits.CATALOGUE_ENTRIES, json_schema_extra={"default": []})


class Catalogue(WireModel):
    """What one supplier offers. A SKU stands once in all lists of all catalogues together."""

    supplier: Annotated[Name, Field(examples=["Larkmoor Strip & Seal"])]
    currency: CurrencyCode
    """The currency of every price."""
    stock_lengths: Annotated[list[StockLength], _UP_TO_THE_LIMIT] = Field(default_factory=list)
    """Lengths to be cut."""
    kits: Annotated[list[Kit], _UP_TO_THE_LIMIT] = Field(default_factory=list)
    """Made-to-measure kits, bare or with fasteners."""
    fastener_packs: Annotated[list[FastenerPack], _UP_TO_THE_LIMIT] = Field(default_factory=list)
    """Loose fasteners."""
    standard_kits: Annotated[list[StandardKit], _UP_TO_THE_LIMIT] = Field(default_factory=list)
    """Kits in standard sizes, trimmed on site."""
    freight: Freight | None = None
    """What the supplier asks for shipping. Null is nothing."""
    least_order: Money = "0"
    """The least value of goods, before freight, that the supplier takes an order of."""
