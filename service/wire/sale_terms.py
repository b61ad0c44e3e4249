"""The terms on which an article is sold: multiples, limits, price breaks, weight."""

from typing import Annotated

from pydantic import Field, Strict, StringConstraints
from typing_extensions import TypeAliasType

from optimiser.domain.buying import BreakKind
from service.wire import limits
from service.wire.base import WireModel
from service.wire.scalars import NO_CONTROL_CHARACTERS, Length, Money, Percent

_UnitsBought = Annotated[int, Field(ge=1, le=limits.UNITS)]
_BreakQuantity = Annotated[int, Field(ge=2, le=limits.UNITS, examples=[12])]

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


class PricePerLength(WireModel):
    """A price for a length of strip."""

    price: Money
    """The price of `length` of strip."""
    length: Length
    """The length that the price is for, such as 1 ft."""


class WeightPerLength(WireModel):
    """A weight for a length of strip."""

    weight: Weight
    """The weight of `length` of strip."""
    length: Length
    """The length that the weight is for, such as 1 ft."""


class PriceBreak(WireModel):
    """A price from a quantity on."""

    from_quantity: _BreakQuantity
    """The least units as sold, on one line, that have the price."""
    price: Money
    """The price of one unit."""


class KitDiscount(WireModel):
    """A percentage off every kit of a SKU from a number of them on."""

    from_quantity: _BreakQuantity
    """The least kits of the SKU, of every size together, that have the discount."""
    percent: Percent
    """What each of those kits costs less; the reduced price of one kit is rounded to the
    currency's minor unit, half a unit up."""


class SaleTerms(WireModel):
    """How an article is sold. Quantities are in units as sold."""

    sold_in_multiples_of: _UnitsBought = 1
    """Units are sold in whole multiples of this number."""
    least_quantity: _UnitsBought = 1
    """The least that is sold on one line, if the line is bought at all."""
    least_value: Money = "0"
    """The least that the article comes to, at all its prices together, if it is bought at all."""
    available: Annotated[int, Field(ge=0, le=limits.UNITS)] | None = None
    """The most that can be bought. Null states no limit; 0 is sold out."""
    break_kind: Annotated[BreakKind, Strict(False)] = BreakKind.ALL_UNITS
    """What `breaks` apply to: `all-units`, every unit has the price of the highest break that the
    line reaches; `incremental`, each unit has the price of the break within which it falls."""
    breaks: Annotated[
        list[PriceBreak],
        Field(max_length=limits.PRICE_BREAKS, json_schema_extra={"default": []}),
    ] = Field(default_factory=list)
    """Price breaks in rising quantity; below the first, `price` holds."""
    unit_weight: Weight | None = None
    """The weight of one unit as sold, for freight. Needed where freight goes by weight."""
