"""What one kit costs, brings and serves: the only place with the formulas."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import floor

from optimiser.domain.catalogue import Kit, KitFasteners, PackRounding, StandardKit
from optimiser.domain.takeoff import PieceSet
from optimiser.units.counts import ceil_div, fasteners_by_running_length
from optimiser.units.money import round_to_minor

MOST_QUOTES = 16_384
"""Quotes that are kept: orders like one another ask for the same ones again and again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KitQuote:
    """The offer for one kit of one piece set.

    `fastener_count` is the supplier's count at the supplier's spacing and `packs` the whole
    packs in the kit; `fasteners_low` is what they hold at the low end of their tolerance.
    A bare kit has zeros.
    """

    unit_price: Decimal
    fastener_count: int
    packs: int
    fasteners_low: int


@lru_cache(maxsize=MOST_QUOTES)
def quote_kit(kit: Kit, piece_set: PieceSet, currency: str) -> KitQuote:
    """Return the price of one kit of the piece set and the fasteners that come with it.

    Price = base + per length × running length + per piece × pieces + per pack × packs, in
    whole minor units, half a unit up. Fasteners are counted by the running length that takes
    the kit's fastener, at the supplier's spacing, and packed whole as the supplier rounds.

    Raises:
        CurrencyError: `currency` is not the code of a currency.

    Source: made-to-measure kits are sold so; common practice, no source.
    """
    count, packs = (0, 0) if kit.fasteners is None else _count_packs(kit.fasteners, piece_set)
    amount = (
        Fraction(kit.price.base)
        + Fraction(kit.price.per_length) * piece_set.running_length_nm / kit.price.per_length_nm
        + Fraction(kit.price.per_piece) * piece_set.piece_count
        + Fraction(kit.price.per_pack) * packs
    )
    return KitQuote(
        unit_price=round_to_minor(amount, currency),
        fastener_count=count,
        packs=packs,
        fasteners_low=packs * (kit.fasteners.contents.low_count if kit.fasteners else 0),
    )


def discount_kit(unit_price: Decimal, percent: Decimal, currency: str) -> Decimal:
    """Return a kit's price less a discount, in whole minor units, half a unit up."""
    if not percent:
        return unit_price
    return round_to_minor(Fraction(unit_price) * (100 - Fraction(percent)) / 100, currency)


def discount_reached(kit: Kit, quantity: int) -> Decimal:
    """Return the percentage off every kit of a SKU when so many of it are bought."""
    reached = [step.percent for step in kit.discounts if quantity >= step.from_quantity]
    return reached[-1] if reached else Decimal(0)


def serves_from_standard(kit: StandardKit, piece_set: PieceSet) -> bool:
    """Return whether each piece of the set can be trimmed from a piece of its own of the kit.

    Longest to longest is enough to try: if that does not do, no other pairing does.
    """
    held = sorted((nm for nm, count in kit.lengths for _ in range(count)), reverse=True)
    wanted = sorted((nm for nm, count in piece_set.lengths for _ in range(count)), reverse=True)
    return len(wanted) <= len(held) and all(
        needed <= given for needed, given in zip(wanted, held, strict=False)
    )


def _count_packs(fasteners: KitFasteners, piece_set: PieceSet) -> tuple[int, int]:
    nailed_nm = dict(piece_set.nailed_nm).get(fasteners.fastener, 0)
    count = fasteners_by_running_length(nailed_nm, fasteners.spacing_nm)
    nominal = fasteners.contents.nominal
    match fasteners.rounding:
        case PackRounding.UP:
            packs = ceil_div(count * nominal.denominator, nominal.numerator)
        case PackRounding.DOWN:
            packs = floor(count / nominal)
        case PackRounding.NEAREST:
            packs = floor(count / nominal + Fraction(1, 2))
    return count, packs
