"""What one made-to-measure kit costs and brings: the only place with the formula."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor

from optimiser.domain.catalogue import Kit, KitFasteners, PackRounding
from optimiser.domain.takeoff import PieceSet
from optimiser.units.counts import ceil_div, fasteners_by_running_length
from optimiser.units.money import round_to_minor


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
