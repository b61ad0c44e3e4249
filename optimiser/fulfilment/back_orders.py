"""Which openings can be finished with what has arrived, by a priority, and what holds others up.

Openings are tried one after the other, mark by mark in the order of priority. One is ready when
for each of its materials its kit is there, or all its pieces come out of bars that are there by
the cut list of the plan, and its fasteners are covered by what is left of those that are there.
One that is not ready takes nothing, so that those after it may be: the plan gives each opening
pieces of its own, and nobody waits longer for it. An opening is supplied in this order: by kit,
by standard kit, cut from its own material, cut from another.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence

from optimiser.domain.back_orders import BackOrders, LateLine, Readiness, ShortFasteners, ShortGoods
from optimiser.domain.deliveries import OpenLine, OpenPurchase
from optimiser.domain.faults import Fault, PriorityRejected
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan, PurchaseKind
from optimiser.domain.takeoff import FastenerPool
from optimiser.fulfilment.bench import Bench, Key
from optimiser.fulfilment.goods import Goods
from optimiser.fulfilment.lines import key_of
from optimiser.units.counts import ceil_div
from optimiser.units.faults import quote


def allot_goods(
    order: Order, plan: Plan, purchase: OpenPurchase, priority: tuple[str, ...] = ()
) -> BackOrders:
    """Return how many openings of each mark can be finished now, and what the others wait for.

    `priority` names marks, those to serve first in front; marks that it does not name follow in
    the order of the schedule, which is that of `order.openings`.

    Raises:
        PriorityRejected: a mark is unknown or stands twice; every fault is named.
    """
    takeoffs = {item.takeoff.opening.mark: item.takeoff for item in plan.openings}
    in_order = put_in_order([opening.mark for opening in order.openings], priority)
    bench = Bench(order, plan, purchase)
    ready = Counter[str]()
    for mark in in_order:
        takeoff = takeoffs[mark]
        while ready[mark] < takeoff.opening.quantity and bench.finish_one(takeoff):
            ready[mark] += 1
    goods = Goods(order, plan)
    openings = []
    for mark in in_order:
        waiting = takeoffs[mark].opening.quantity - ready[mark]
        bench.lacking = lacking = Counter[Key]()
        start = bench.mark()
        for _ in range(waiting):
            bench.finish_one(takeoffs[mark])
        bench.undo(start)
        openings.append(
            Readiness(
                mark=mark,
                quantity=takeoffs[mark].opening.quantity,
                ready=ready[mark],
                goods=tuple(_short_goods(purchase, goods, lacking)),
                fasteners=tuple(_short_fasteners(plan, lacking)),
            )
        )
    late = tuple(late_lines(purchase.lines, goods.fasteners, openings))
    return BackOrders(openings=tuple(openings), late_lines=late)


def put_in_order(schedule: list[str], priority: tuple[str, ...]) -> tuple[str, ...]:
    """Return the marks of a schedule, those of the priority in front.

    Raises:
        PriorityRejected: a mark is unknown or stands twice; every fault is named.
    """
    faults = []
    seen: set[str] = set()
    for position, mark in enumerate(priority):
        if mark not in schedule:
            faults.append(
                Fault(
                    ("priority", position),
                    "unknown-mark",
                    f"{quote(mark)} is not a mark of the order; correct it, or leave it out.",
                )
            )
        elif mark in seen:
            faults.append(
                Fault(
                    ("priority", position),
                    "repeated-mark",
                    f"{quote(mark)} stands twice in the priority; leave it once.",
                )
            )
        seen.add(mark)
    if faults:
        raise PriorityRejected(tuple(faults))
    return tuple(dict.fromkeys((*priority, *schedule)))


def _short_goods(
    purchase: OpenPurchase, goods: Goods, lacking: Counter[Key]
) -> Iterator[ShortGoods]:
    for line in purchase.lines:
        if line.kind is PurchaseKind.STOCK_LENGTH:
            units = ceil_div(lacking["bars", line.sku], goods.bars(line))
        else:
            units = lacking["kit", key_of(line)]
        if units:
            yield ShortGoods(
                supplier=line.supplier, sku=line.sku, quantity=units, made_for=line.made_for
            )


def _short_fasteners(plan: Plan, lacking: Counter[Key]) -> Iterator[ShortFasteners]:
    for supply in plan.fasteners:
        if lacking["fasteners", supply.pool]:
            yield ShortFasteners(pool=supply.pool, count=lacking["fasteners", supply.pool])


def late_lines(
    lines: Iterable[OpenLine],
    fasteners: Callable[[OpenLine], tuple[FastenerPool, int] | None],
    openings: Sequence[Readiness],
) -> Iterator[LateLine]:
    """Yield the lines that have not wholly arrived, with the openings that lack some of them.

    `fasteners` returns the pool that one unit of a line brings fasteners of, and how many.
    """
    for line in lines:
        if not line.open:
            continue
        brought = fasteners(line)
        pool = None if brought is None else brought[0]
        yield LateLine(
            supplier=line.supplier,
            sku=line.sku,
            open=line.open,
            made_for=line.made_for,
            holds_up=tuple(
                (opening.mark, opening.waiting)
                for opening in openings
                if opening.waiting and _waits_for(opening, line, pool)
            ),
        )


def _waits_for(opening: Readiness, line: OpenLine, pool: FastenerPool | None) -> bool:
    lacks = {(short.supplier, short.sku, short.made_for) for short in opening.goods}
    pools = {short.pool for short in opening.fasteners}
    return key_of(line) in lacks or pool in pools
