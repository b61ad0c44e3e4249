"""The terms on which goods are bought, shipped, taken from the rack and put back on it."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction


class BreakKind(StrEnum):
    """What a price break applies to.

    `ALL_UNITS`: every unit of the line has the price of the highest break reached.
    `INCREMENTAL`: each unit has the price of the break within which it falls.
    """

    ALL_UNITS = "all-units"
    INCREMENTAL = "incremental"


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceBreak:
    """From `from_quantity` units on, a unit costs `price`."""

    from_quantity: int
    price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class KitDiscount:
    """From `from_quantity` kits of one SKU on, every one of them costs `percent` less.

    The reduced price of one kit is rounded to the minor unit, half a unit up.
    """

    from_quantity: int
    percent: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SaleTerms:
    """How one article is sold; quantities are in units as sold.

    `least_quantity` is the least that is sold of it and `least_value` the least that it may come
    to, over all its breaks, if it is bought at all;
    `available` is the most, `None` for no limit. `breaks` rise in quantity; below the first
    the article's own price holds. `unit_weight_g` is the weight of one unit in grams, for
    freight.
    """

    sold_in_multiples_of: int = 1
    least_quantity: int = 1
    least_value: Decimal = Decimal(0)
    available: int | None = None
    break_kind: BreakKind = BreakKind.ALL_UNITS
    breaks: tuple[PriceBreak, ...] = ()
    unit_weight_g: Fraction | None = None


class FreightBasis(StrEnum):
    """What the freight tiers are counted by."""

    WEIGHT = "weight"
    VALUE = "value"


@dataclass(frozen=True, slots=True, kw_only=True)
class FreightTier:
    """From `from_amount` (grams or money, both exact) on, the shipment costs `charge`."""

    from_amount: Fraction
    charge: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class OverLength:
    """A shipment that holds anything longer than `longer_than_nm` costs `surcharge` more."""

    longer_than_nm: int
    surcharge: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Freight:
    """What a supplier asks for one shipment of the whole order.

    The tiers rise; the first begins at zero. Every over-length surcharge whose limit is
    passed is added. From goods of value `free_from` on, the tier's charge falls away; the
    over-length surcharges stay.
    """

    basis: FreightBasis
    tiers: tuple[FreightTier, ...]
    over_length: tuple[OverLength, ...] = ()
    free_from: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CostRate:
    """An amount of money for a length: `price` for each `per_nm`."""

    price: Decimal
    per_nm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptDrops:
    """Drops of at least `least_nm` are kept for reuse and credited at `credit`.

    The credit of one drop is rounded down to the currency's minor unit.
    """

    least_nm: int
    credit: CostRate


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightRate:
    """A weight for a length: `grams` for each `per_nm`."""

    grams: Fraction
    per_nm: int
