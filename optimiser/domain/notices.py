"""Notices: what the reader should know before ordering. Worded in `explain.wording` alone."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import ClassVar

from optimiser.domain.opening import SizeOf
from optimiser.domain.reasons import Notice


@dataclass(frozen=True, slots=True, kw_only=True)
class KitShortOfFasteners(Notice):
    """A kit alone holds fewer fasteners than its supplier's own spacing asks for."""

    code: ClassVar[str] = "kit-short-of-fasteners"
    sku: str
    kits: int
    fastener: str
    spacing_nm: int
    fasteners: int
    packs: int
    held: int
    short: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ThinFastenerMargin(Notice):
    """The fasteners are enough only while the packs hold about what they state.

    Fields as in `FastenersSupplied`, except that what stays on hand is `spare`, too.
    """

    code: ClassVar[str] = "thin-fastener-margin"
    fastener: str
    finish: str | None
    spare: int
    least_percent: Decimal
    least_per_pack: int | None
    stated_per_pack: Fraction | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenersPooledOverFinishes(Notice):
    """Fasteners of one type are counted together though the strip has several finishes."""

    code: ClassVar[str] = "fasteners-pooled-over-finishes"
    fastener: str
    finishes: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PriceOfZero(Notice):
    """Something that is bought has a price of zero."""

    code: ClassVar[str] = "price-of-zero"
    sku: str
    quantity: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BoughtBeyondUse(Notice):
    """More stock lengths are bought than are cut, since they are sold in multiples."""

    code: ClassVar[str] = "bought-beyond-use"
    sku: str
    bought: int
    cut: int
    sold_in_multiples_of: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeReadWithCare(Notice):
    """A size was read from a shorthand that is easily misread; `remark` is the reader's."""

    code: ClassVar[str] = "size-read-with-care"
    width_nm: int
    height_nm: int
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SizeTakenForBoth(Notice):
    """The leaf and the opening were taken as the same size; `size_of` is the one stated."""

    code: ClassVar[str] = "size-taken-for-both"
    size_of: SizeOf


@dataclass(frozen=True, slots=True, kw_only=True)
class CostNotProved(Notice):
    """The plan is good, but a cheaper one is not ruled out: the gap says how much cheaper."""

    code: ClassVar[str] = "cost-not-proved"
    cost: Decimal
    lower_bound: Decimal
    gap: Decimal
