"""What the whole bars that are held are priced at in the order of a difference.

They are to cost nothing, and yet not to be wasted: what is left whole may go back. So each has a
price by its length that is too small for all of them together to come to the smallest step
between two costs of the order. A plan of least cost is then one that buys least beside, and among
those one that uses the least length of held bars.

Where the policy credits drops, a bar is priced at what it credits for a bar left whole, and no
more: to use a bar costs that credit, as it would to leave it.
"""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import KeptDrops
from optimiser.domain.catalogue import Catalogue, Kit
from optimiser.domain.difference import HeldBars
from optimiser.domain.order import Order, articles_of
from optimiser.domain.rack import Rack
from optimiser.units.counts import ceil_div
from optimiser.units.money import minor_digits

SHARES = 16
"""Steps of length that prices tell apart: the longest bar has the price of so many."""


def price_bars(order: Order, rack: Rack, bars: tuple[HeldBars, ...]) -> tuple[Decimal, ...]:
    """Return the price of one bar of each kind that is held; `rack` is that of the order."""
    keep = order.policy.keep_drops
    if keep is not None:
        return tuple(_credit(held.length_nm, keep, order.catalogue.currency) for held in bars)
    longest_nm = max((held.length_nm for held in bars), default=1)
    shares = [ceil_div(SHARES * held.length_nm, longest_nm) for held in bars]
    total = sum(share * held.bars for share, held in zip(shares, bars, strict=True))
    digits = _decimals(order, rack) + len(str(total))
    return tuple(Decimal(share).scaleb(-digits) for share in shares)


def _credit(length_nm: int, keep: KeptDrops, currency: str) -> Decimal:
    """Return what a bar left whole is credited at, in whole minor units, rounded up."""
    digits = minor_digits(currency)
    credit = Fraction(keep.credit.price) * length_nm / keep.credit.per_nm * 10**digits
    return Decimal(ceil_div(credit.numerator, credit.denominator)).scaleb(-digits)


def _decimals(order: Order, rack: Rack) -> int:
    """Return the decimals of the finest amount of money that a plan's cost may hold."""
    return max(
        minor_digits(order.catalogue.currency),
        *(-int(amount.as_tuple().exponent) for amount in _amounts(order, rack)),
    )


def _amounts(order: Order, rack: Rack) -> Iterator[Decimal]:
    policy = order.policy
    yield policy.cut_charge
    yield from (rule.cost for rule in policy.splices)
    yield from (rule.preference for rule in policy.substitutions)
    yield from (offcut.value for offcut in rack.offcuts)
    yield from (held.value for held in rack.fasteners)
    for catalogue in order.catalogues:
        yield from _amounts_of(catalogue)


def _amounts_of(catalogue: Catalogue) -> Iterator[Decimal]:
    for article in articles_of(catalogue):
        # The price of a made-to-measure kit is rounded to the minor unit.
        if not isinstance(article, Kit):
            yield article.price
            yield from (step.price for step in article.breaks)
    if catalogue.freight is not None:
        yield from (tier.charge for tier in catalogue.freight.tiers)
        yield from (limit.surcharge for limit in catalogue.freight.over_length)
