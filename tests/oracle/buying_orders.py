"""Small orders with every term of buying, in plain integers.

Lengths are whole sixteenths of an inch, prices whole cents, weights whole grams.
"""

from dataclasses import dataclass, field

from tests.oracle.small_orders import SmallOrder

FEATURES = (
    "breaks",
    "least",
    "available",
    "bundles",
    "discounts",
    "standard",
    "suppliers",
    "least-order",
    "freight",
    "free",
    "over-length",
    "rack",
    "on-hand",
    "credit",
    "cut-charge",
    "substitution",
    "splices",
    "least-value",
)


@dataclass(frozen=True)
class Terms:
    """How an article is sold: steps are (from quantity, cents), rising."""

    least: int = 1
    least_cents: int = 0
    available: int | None = None
    incremental: bool = False
    steps: tuple[tuple[int, int], ...] = ()
    grams: int = 0
    bars: int = 1
    supplier: int = 0


@dataclass(frozen=True)
class Standard:
    """A standard kit; `nails` is what it brings at least."""

    finish: str
    lengths: tuple[int, ...]
    cents: int
    nails: int = 0
    terms: Terms = Terms()


@dataclass(frozen=True)
class FreightTerms:
    """Tiers of (from amount, cents), by grams or by cents of goods; the first from zero."""

    by_value: bool
    tiers: tuple[tuple[int, int], ...]
    over: tuple[tuple[int, int], ...] = ()
    free_from: int | None = None


@dataclass(frozen=True)
class Rest:
    """An offcut on the rack."""

    finish: str
    length: int
    quantity: int
    cents: int


@dataclass(frozen=True)
class SpliceTerms:
    """Jambs may be spliced; a head from `least_head` on."""

    least_segment: int
    step: int
    least_head: int
    cents: int


@dataclass(frozen=True)
class BuyingOrder:
    """A small order with its terms; the lists of terms align with those of `base`."""

    base: SmallOrder
    bar_terms: tuple[Terms, ...]
    pack_terms: tuple[Terms, ...]
    kit_terms: tuple[Terms, ...]
    standard: tuple[Standard, ...] = ()
    freight: tuple[FreightTerms | None, ...] = (None,)
    least_order: tuple[int, ...] = (0,)
    rack: tuple[Rest, ...] = ()
    on_hand: tuple[int, int] = (0, 0)
    keep: tuple[int, int, int] | None = None
    cut_cents: int = 0
    substitutions: tuple[tuple[str, str, int], ...] = ()
    splices: SpliceTerms | None = None
    on: frozenset[str] = field(default_factory=frozenset)
