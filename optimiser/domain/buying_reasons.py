"""Typed reasons of the terms of buying. They are worded in `explain` alone."""

from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from optimiser.domain.buying import BreakKind
from optimiser.domain.catalogue import Material
from optimiser.domain.reasons import Reason
from optimiser.domain.shipment import Shipment


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakReached(Reason):
    """What an article's price breaks come to.

    `tiers` pairs units with the price of one; together they are `quantity`. `saved` is what the
    same quantity would cost more at `price`, the price of one.
    """

    code: ClassVar[str] = "break-reached"
    sku: str
    quantity: int
    price: Decimal
    break_kind: BreakKind
    tiers: tuple[tuple[int, Decimal], ...]
    saved: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class DiscountReached(Reason):
    """The kits of one SKU, of every size together, reach a discount.

    `prices` pairs the price of one kit of each size with what it costs less the discount.
    """

    code: ClassVar[str] = "discount-reached"
    sku: str
    kits: int
    from_quantity: int
    percent: Decimal
    prices: tuple[tuple[Decimal, Decimal], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class LeastValueReached(Reason):
    """What is bought of one SKU comes to `value`, and is sold from `least_value` on."""

    code: ClassVar[str] = "least-value-reached"
    sku: str
    quantity: int
    value: Decimal
    least_value: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ShipmentPriced(Reason):
    """What a supplier's shipment costs: goods, freight and surcharges."""

    code: ClassVar[str] = "shipment-priced"
    shipment: Shipment


@dataclass(frozen=True, slots=True, kw_only=True)
class OffcutUsed(Reason):
    """An offcut on the rack is cut: `used` × `value` = `amount`."""

    code: ClassVar[str] = "offcut-used"
    id: str
    material: Material
    length_nm: int
    used: int
    there: int
    value: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenersOnHandUsed(Reason):
    """Fasteners on hand are used: `used` × `value` = `amount`."""

    code: ClassVar[str] = "fasteners-on-hand-used"
    fastener: str
    finish: str | None
    used: int
    there: int
    value: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class DropsKept(Reason):
    """Drops and whole bars are kept: `lengths` holds length, quantity and credit of each."""

    code: ClassVar[str] = "drops-kept"
    material: Material
    least_nm: int
    rate: Decimal
    per_nm: int
    lengths: tuple[tuple[int, int, Decimal], ...]
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class CutsCharged(Reason):
    """The pieces cut × `charge` = `amount`."""

    code: ClassVar[str] = "cuts-charged"
    pieces: int
    charge: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class PiecesSpliced(Reason):
    """`pieces` of one length are each made of two segments; `pieces` × `cost` = `amount`."""

    code: ClassVar[str] = "pieces-spliced"
    material: Material
    length_nm: int
    segments_nm: tuple[int, int]
    pieces: int
    cost: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSubstituted(Reason):
    """`openings` have `instead` of `wanted`; `openings` × `preference` = `amount`, not paid."""

    code: ClassVar[str] = "set-substituted"
    wanted: Material
    instead: Material
    openings: int
    preference: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class StandardKitsTrimmed(Reason):
    """Standard kits serve `used` openings, trimmed on site; `bought` are bought."""

    code: ClassVar[str] = "standard-kits-trimmed"
    sku: str
    lengths: tuple[tuple[int, int], ...]
    used: int
    bought: int
    trimmed_nm: int
    """What is cut off over all of them: their length less that of the pieces."""
