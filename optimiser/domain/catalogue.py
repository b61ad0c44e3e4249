"""A supplier's catalogue: stock lengths, made-to-measure kits, fastener packs."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction

from optimiser.domain.buying import Freight, KitDiscount, SaleTerms, WeightRate


@dataclass(frozen=True, slots=True, order=True)
class Material:
    """What is cut: a product in a finish. Pieces are cut only from their own material."""

    product: str
    finish: str

    def __str__(self) -> str:
        return f"{self.product}, {self.finish}"


@dataclass(frozen=True, slots=True, kw_only=True)
class StockLength(SaleTerms):
    """A length as sold. `price` is for one unit, which is a bundle of `bars_per_unit` bars."""

    sku: str
    material: Material
    length_nm: int
    price: Decimal
    bars_per_unit: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class PackContents:
    """How many fasteners one pack holds.

    `nominal` is the stated count, exact: a count by weight gives a fraction. A pack may hold
    up to `tolerance_percent` fewer. `basis` says how the count was stated, for the reader.
    """

    nominal: Fraction
    tolerance_percent: Decimal = Decimal(0)
    basis: str = ""

    @property
    def low_count(self) -> int:
        """Return the whole fasteners that a pack holds at the low end of its tolerance."""
        return int(self.nominal * (1 - Fraction(self.tolerance_percent) / 100))


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerPack(SaleTerms):
    """A pack of loose fasteners. A pack without a finish states none."""

    sku: str
    fastener: str
    contents: PackContents
    price: Decimal
    finish: str | None = None


class PackRounding(StrEnum):
    """How a kit's supplier turns a fastener count into whole packs."""

    UP = "up"
    DOWN = "down"
    NEAREST = "nearest"


@dataclass(frozen=True, slots=True, kw_only=True)
class KitFasteners:
    """The fasteners in a kit: whole packs, counted by running length at the supplier's spacing."""

    fastener: str
    spacing_nm: int
    contents: PackContents
    rounding: PackRounding = PackRounding.UP


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPrice:
    """A made-to-measure price: base + per length + per piece + per pack of fasteners.

    `per_length` is the price of `per_length_nm` of running length.
    """

    base: Decimal = Decimal(0)
    per_length: Decimal = Decimal(0)
    per_length_nm: int = 304_800_000
    per_piece: Decimal = Decimal(0)
    per_pack: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kit:
    """An offer of made-to-measure kits of one material, bare or with fasteners.

    A kit holds every piece of the material that one opening needs. `longest_piece_nm` is the
    longest piece that the supplier makes; `None` states no limit. `least_quantity`, `least_value`,
    `available` and `discounts`, which rise in quantity, count the kits of this SKU of every size
    together.
    `weight` is by the running length of the pieces, for freight. A kit is bought for an opening,
    never as surplus.
    """

    sku: str
    material: Material
    price: KitPrice
    fasteners: KitFasteners | None = None
    longest_piece_nm: int | None = None
    least_quantity: int = 1
    least_value: Decimal = Decimal(0)
    available: int | None = None
    discounts: tuple[KitDiscount, ...] = ()
    weight: WeightRate | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardKitFasteners:
    """The fasteners in a standard kit: `packs` whole packs of `contents`."""

    fastener: str
    contents: PackContents
    packs: int


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardKit(SaleTerms):
    """A kit in a standard size, trimmed on site. `price` is for one.

    `lengths` pairs each length in nanometres with its count. It serves an opening whose pieces
    of the material can each be cut from a piece of the kit of their own.
    """

    sku: str
    material: Material
    lengths: tuple[tuple[int, int], ...]
    price: Decimal
    fasteners: StandardKitFasteners | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Catalogue:
    """All that one supplier offers, in one currency (ISO 4217).

    `least_order` is the least value of goods, before freight, that the supplier takes an order
    of. `freight` is `None` where nothing is charged for it.
    """

    supplier: str
    currency: str
    stock_lengths: tuple[StockLength, ...] = ()
    kits: tuple[Kit, ...] = ()
    fastener_packs: tuple[FastenerPack, ...] = ()
    standard_kits: tuple[StandardKit, ...] = ()
    freight: Freight | None = None
    least_order: Decimal = Decimal(0)
