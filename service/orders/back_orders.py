"""Which openings of an order can be finished with what has arrived.

An order that was changed has openings that are kept, by kits that are bought for just their pieces
or by pieces that are cut, and openings of the plan that was made for the rest, which takes what
was bought before as goods of its own. Kept openings are served first: nothing else can use their
kits. Of fasteners the plan has what those of them do not need that can be finished.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from optimiser.domain.back_orders import BackOrders, Readiness, ShortFasteners, ShortGoods
from optimiser.domain.deliveries import OpenLine, OpenPurchase
from optimiser.domain.difference import ALREADY_BOUGHT, Holdings, KeptOpenings
from optimiser.domain.takeoff import FastenerPool, OpeningTakeoff
from optimiser.fulfilment import allot_goods, hold_goods, open_purchase, put_in_order
from optimiser.fulfilment.back_orders import late_lines
from optimiser.fulfilment.goods import Goods
from optimiser.fulfilment.holdings import name_kits, named_already_bought
from optimiser.fulfilment.lines import key_of
from optimiser.takeoff import take_off
from optimiser.takeoff.fasteners import sum_needs
from optimiser.takeoff.piece_sets import gather_piece_sets
from service.jobs.rebuilding import Planned
from service.jobs.settled import read_kept_request
from service.json_text import read_json
from service.orders.account import Account
from service.store.rows import StoredRow

_Lengths = tuple[tuple[int, int], ...]


def allot(order: StoredRow, account: Account, plans: Sequence[Planned]) -> BackOrders:
    """Return how many openings can be finished now, in the priority of the order."""
    stated = tuple(read_json(order.terms.encode()).get("priority", []))
    last = plans[-1]
    if account.changed_request is None:
        known = {opening.mark for opening in last.order.openings}
        priority = tuple(mark for mark in stated if mark in known)
        return allot_goods(last.order, last.plan, account.last.purchase, priority)
    changed = read_kept_request(account.changed_request.encode())
    takeoffs = {
        taken.opening.mark: taken
        for taken in take_off(changed.order, rule_sets=changed.rule_sets).openings
    }
    priority = tuple(mark for mark in stated if mark in takeoffs)
    marks = put_in_order([o.mark for o in changed.order.openings], priority)
    there = _what_is_there(account, plans)
    kept = _Kept(account, plans, takeoffs, there)
    readiness = {item.mark: item for item in map(kept.ready, _sorted(account.kept, marks))}
    if account.reserves:
        for item in _of_plan(account, last, there, kept.nailed, marks):
            readiness[item.mark] = _join(readiness.get(item.mark), item)
    names = _names_of_held(account, there)
    openings = tuple(_renamed(readiness[mark], names) for mark in marks if mark in readiness)
    goods = {
        key_of(line): Goods(planned.order, planned.plan)
        for stage, planned in zip(account.stages, plans, strict=True)
        for line in stage.purchase.lines
    }
    late = late_lines(
        account.purchase.lines, lambda line: goods[key_of(line)].fasteners(line), openings
    )
    return BackOrders(openings=openings, late_lines=tuple(late))


def _what_is_there(account: Account, plans: Sequence[Planned]) -> Holdings:
    """Return what has arrived and has not gone back, of all that the last plan found bought."""
    pairs = list(zip(account.stages, plans, strict=True))
    held = Holdings()
    for stage, planned in pairs[:-1] if account.reserves else pairs:
        arrived = OpenPurchase(
            lines=tuple(replace(line, ordered=line.received) for line in stage.purchase.lines)
        )
        held = hold_goods(planned.order, planned.plan, arrived, stage.cut, before=held)
    return held


def _sorted(kept: tuple[KeptOpenings, ...], marks: tuple[str, ...]) -> list[KeptOpenings]:
    return sorted((item for item in kept if item.quantity), key=lambda item: marks.index(item.mark))


class _Kept:
    """Hands kits and fasteners that are there to the openings that a change keeps."""

    def __init__(
        self,
        account: Account,
        plans: Sequence[Planned],
        takeoffs: dict[str, OpeningTakeoff],
        there: Holdings,
    ) -> None:
        self._account = account
        self._policy = plans[0].order.policy
        self._takeoffs = takeoffs
        self._kits: Counter[tuple[str, _Lengths]] = Counter()
        for held in there.kits:
            self._kits[held.sku, held.lengths] += held.kits
        self._fasteners = {held.pool: held.count for held in there.fasteners}
        self._served: list[OpeningTakeoff] = []
        self.nailed: dict[FastenerPool, int] = {}
        """Fasteners that the openings need which can be finished."""

    def ready(self, item: KeptOpenings) -> Readiness:
        """Return how many kept openings of a mark can be finished."""
        taken = self._takeoffs[item.mark]
        sets = {pieces.material: pieces.lengths for pieces in gather_piece_sets(taken.pieces)}
        ready = item.quantity
        goods: list[ShortGoods] = []
        for supply in item.supplies:
            lengths = sets[supply.material]
            there = supply.cut
            for sku, wanted in supply.kits:
                found = min(wanted, self._kits[sku, lengths])
                there += found
                if found < wanted:
                    goods.append(self._short(sku, lengths, wanted - found))
            ready = min(ready, there)
        fasteners: list[ShortFasteners] = []
        while ready and (fasteners := self._lacking(taken, ready)):
            ready -= 1
        if ready:
            self._serve(taken, ready)
            for supply in item.supplies:
                left = ready - supply.cut
                for sku, wanted in supply.kits:
                    used = max(min(left, wanted, self._kits[sku, sets[supply.material]]), 0)
                    self._kits[sku, sets[supply.material]] -= used
                    left -= used
        return Readiness(
            mark=item.mark,
            quantity=item.quantity,
            ready=ready,
            goods=tuple(goods),
            fasteners=tuple(fasteners) if ready < item.quantity else (),
        )

    def _serve(self, taken: OpeningTakeoff, ready: int) -> None:
        self._served.append(replace(taken, opening=replace(taken.opening, quantity=ready)))
        self.nailed = {need.pool: need.needed for need in sum_needs(self._served, self._policy)}

    def _lacking(self, taken: OpeningTakeoff, ready: int) -> list[ShortFasteners]:
        wanted = replace(taken, opening=replace(taken.opening, quantity=ready))
        return [
            ShortFasteners(pool=need.pool, count=need.needed - self._fasteners.get(need.pool, 0))
            for need in sum_needs([*self._served, wanted], self._policy)
            if need.needed > self._fasteners.get(need.pool, 0)
        ]

    def _short(self, sku: str, lengths: _Lengths, quantity: int) -> ShortGoods:
        for stage in self._account.stages:
            for line in stage.purchase.lines:
                if (line.sku, line.lengths) == (sku, lengths):
                    return ShortGoods(
                        supplier=line.supplier,
                        sku=sku,
                        quantity=quantity,
                        made_for=line.made_for,
                    )
        return ShortGoods(supplier=ALREADY_BOUGHT, sku=sku, quantity=quantity)


def _of_plan(
    account: Account,
    last: Planned,
    there: Holdings,
    nailed: dict[FastenerPool, int],
    marks: tuple[str, ...],
) -> tuple[Readiness, ...]:
    """Return the readiness of the openings of the plan that was made for the rest."""
    arrived = {named_already_bought(held.sku): held.bars for held in there.bars}
    arrived |= {
        name: held.kits for held, name in zip(there.kits, name_kits(there.kits), strict=True)
    }
    arrived |= {
        named_already_bought(str(held.pool)): max(held.count - nailed.get(held.pool, 0), 0)
        for held in there.fasteners
    }
    received = {key_of(line): line for line in account.last.purchase.lines}
    lines = tuple(
        replace(line, received=min(line.ordered, arrived.get(line.sku, 0)))
        if line.supplier == ALREADY_BOUGHT
        else received.get(key_of(line), line)
        for line in open_purchase(last.plan, already_bought=True).lines
    )
    planned = {opening.mark for opening in last.order.openings}
    priority = tuple(mark for mark in marks if mark in planned)
    return allot_goods(last.order, last.plan, OpenPurchase(lines=lines), priority).openings


def _join(kept: Readiness | None, planned: Readiness) -> Readiness:
    if kept is None:
        return planned
    return Readiness(
        mark=kept.mark,
        quantity=kept.quantity + planned.quantity,
        ready=kept.ready + planned.ready,
        goods=(*kept.goods, *planned.goods),
        fasteners=(*kept.fasteners, *planned.fasteners),
    )


def _names_of_held(account: Account, there: Holdings) -> dict[str, OpenLine]:
    """Return the lines that the goods are of which a plan finds bought, by their names there."""
    lines = {}
    for line in account.purchase.lines:
        lines[named_already_bought(line.sku)] = line
    for held, name in zip(there.kits, name_kits(there.kits), strict=True):
        for line in account.purchase.lines:
            if (line.sku, line.lengths) == (held.sku, held.lengths):
                lines[name] = line
    return lines


def _renamed(opening: Readiness, names: dict[str, OpenLine]) -> Readiness:
    """Return what openings lack, by the supplier and the SKU that it was bought as."""
    lacks: Counter[tuple[str, str, tuple[str, ...]]] = Counter()
    for short in opening.goods:
        line = names.get(short.sku) if short.supplier == ALREADY_BOUGHT else None
        key = (short.supplier, short.sku, short.made_for) if line is None else key_of(line)
        lacks[key] += short.quantity
    goods = tuple(
        ShortGoods(supplier=supplier, sku=sku, quantity=quantity, made_for=made_for)
        for (supplier, sku, made_for), quantity in lacks.items()
    )
    return replace(opening, goods=goods)
