"""Typed reasons of the terms of buying. They are worded in `explain` alone."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import ClassVar

from optimiser.domain.buying import BreakKind, FreightBasis
from optimiser.domain.catalogue import Material
from optimiser.domain.reasons import Reason


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
    """The kits of one SKU, of every size together, reach a discount."""

    code: ClassVar[str] = "discount-reached"
    sku: str
    kits: int
    from_quantity: int
    percent: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ShipmentPriced(Reason):
    """What a supplier's shipment costs.

    goods + `charge` + every surcharge = `total`. `weight_g` is given where freight goes by
    weight. `over_length` pairs each limit passed, in nanometres, with its surcharge. `least_order`
    is zero where none is asked for; `free_from` is the threshold where the shipment is free.
    """

    code: ClassVar[str] = "shipment-priced"
    supplier: str
    goods: Decimal
    basis: FreightBasis | None
    weight_g: Fraction | None
    charge: Decimal
    free_from: Decimal | None
    over_length: tuple[tuple[int, Decimal], ...]
    least_order: Decimal
    total: Decimal


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
