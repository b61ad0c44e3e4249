"""The price of the order as worked out on paper: each opening on its own, nothing shared.

Each opening is cut by first-fit decreasing from one stock length per material, the one that
costs that opening least. Its fasteners, with the allowance, are rounded up to whole packs of
the cheapest kind, and the spares are packs of their own. Only at the end are the totals of a
SKU rounded up to the multiples in which it is sold.
"""

from collections import Counter
from collections.abc import Iterable
from decimal import Decimal

from optimiser.domain.catalogue import FastenerPack, Material, StockLength
from optimiser.domain.order import FastenerCounting, Order
from optimiser.domain.takeoff import FastenerCount, FastenerPool, Takeoff
from optimiser.units.counts import add_percent, ceil_div


def price_each_on_its_own(order: Order, takeoff: Takeoff) -> Decimal:
    """Return the cost of the order by the paper method.

    Every piece fits a stock length of its material, and every pool has a loose pack: see
    `find_obstacles` under a restriction to no kits.
    """
    bought = _count_bars(order, takeoff) + _count_packs(order, takeoff)
    offered: list[StockLength | FastenerPack] = [
        *order.catalogue.stock_lengths,
        *order.catalogue.fastener_packs,
    ]
    return sum((_price_multiples(item, bought[item.sku]) for item in offered), Decimal(0))


def _price_multiples(item: StockLength | FastenerPack, wanted: int) -> Decimal:
    multiples = ceil_div(wanted, item.sold_in_multiples_of)
    return multiples * item.sold_in_multiples_of * item.price


def _count_bars(order: Order, takeoff: Takeoff) -> Counter[str]:
    offered: dict[Material, list[StockLength]] = {}
    for stock in order.catalogue.stock_lengths:
        offered.setdefault(stock.material, []).append(stock)
    bars: Counter[str] = Counter()
    for demand in takeoff.demand.sets:
        pieces = demand.piece_set.lengths
        _, sku, each = min(
            (stock.price * each, stock.sku, each)
            for stock in offered[demand.piece_set.material]
            if (each := _first_fit(order, stock, pieces)) is not None
        )
        bars[sku] += each * demand.quantity
    return bars


def _first_fit(order: Order, stock: StockLength, pieces: Iterable[tuple[int, int]]) -> int | None:
    """Return the bars that first-fit decreasing takes, or `None` when a piece is too long."""
    # A kerf stands between two pieces: with one for each piece, a bar has room for one more.
    kerf_nm = order.policy.kerf_nm
    room_nm = stock.length_nm - 2 * order.policy.end_trim_nm + kerf_nm
    bars: list[int] = []
    for length_nm, count in sorted(pieces, reverse=True):
        taken_nm = length_nm + kerf_nm
        if taken_nm > room_nm:
            return None
        for _ in range(count):
            for bar, left_nm in enumerate(bars):
                if taken_nm <= left_nm:
                    bars[bar] = left_nm - taken_nm
                    break
            else:
                bars.append(room_nm - taken_nm)
    return len(bars)


def _count_packs(order: Order, takeoff: Takeoff) -> Counter[str]:
    policy = order.policy
    packs: Counter[str] = Counter()
    for taken in takeoff.openings:
        for count in taken.fasteners:
            wanted = add_percent(
                _counted(count, policy.fastener_counting), policy.fastener_allowance_percent
            )
            if wanted:
                sku, each = _cheapest_packs(order, count.pool, wanted)
                packs[sku] += each * taken.opening.quantity
    for need in takeoff.demand.fasteners:
        if need.spares:
            sku, each = _cheapest_packs(order, need.pool, need.spares)
            packs[sku] += each
    return packs


def _counted(count: FastenerCount, rule: FastenerCounting) -> int:
    return count.per_piece if rule is FastenerCounting.PER_PIECE else count.by_running_length


def _cheapest_packs(order: Order, pool: FastenerPool, wanted: int) -> tuple[str, int]:
    """Return the SKU whose whole packs cover the count at least cost, and how many of them."""
    _, sku, each = min(
        (each * pack.price, pack.sku, each)
        for pack in order.catalogue.fastener_packs
        if _fills(pack, pool)
        for each in (ceil_div(wanted, pack.contents.low_count),)
    )
    return sku, each


def _fills(pack: FastenerPack, pool: FastenerPool) -> bool:
    return pack.fastener == pool.fastener and pool.finish in {None, pack.finish}
