"""The least cost of a tiny order with any terms of buying, and the least drop at that cost.

By trying everything: no model and no solver, and no code shared with the library or with the models
beside it but the arithmetic of `SmallOrder`. Every way to serve the openings, to splice and to lay
the pieces on bars is tried with every quantity of every article that can serve an opening. A branch
is left only where what is paid so far, and the least that each article left can cost, already reach
a plan that was found.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import product

from tests.oracle.buying_orders import BuyingOrder, FreightTerms
from tests.oracle.exhaustive_cuts import Layouts, Used
from tests.oracle.exhaustive_offers import Forbidden, Line, Offers, Service

Shipped = Sequence[tuple[int, Line]]
"""Suppliers, each with a line of its shipment."""

NOTHING = Forbidden()


@dataclass(frozen=True)
class _Lot:
    """A quantity of an article, with what it costs less the worth of what is left whole."""

    net: int
    paid: int
    units: int


def least_buying_cents(order: BuyingOrder, forbidden: Forbidden = NOTHING) -> int | None:
    """Return the least cost in cents, or `None` where no plan exists.

    Takes orders of one or two openings, few articles and thresholds that few units reach.
    """
    found = _Search(order, forbidden).run()
    return None if found is None else found[0]


def least_cents_and_drop(order: BuyingOrder) -> tuple[int, int] | None:
    """Return the least cost in cents and the least drop at that cost; `None` without a plan.

    Drop is the length of the bars bought and of the offcuts cut less that of the pieces, in
    sixteenths of an inch: kerfs and whole bars count as drop.
    """
    return _Search(order, NOTHING, with_drop=True).run()


class _Search:
    """With `with_drop` plans of equal cost are all looked at, and the least drop is kept."""

    def __init__(
        self, order: BuyingOrder, forbidden: Forbidden, *, with_drop: bool = False
    ) -> None:
        self.order, self.base, self.forbidden = order, order.base, forbidden
        self.with_drop = with_drop
        self.best: tuple[int, int] | None = None
        self.offers, self.layouts = Offers(order, forbidden), Layouts(order)
        self.articles = self.offers.articles()
        self.needed = order.base.nails_needed()
        self._lots = cache(self._lots_of)

    def run(self) -> tuple[int, int] | None:
        """Return the least cost, and the least drop found at that cost."""
        openings = [door for door in self.base.doors for _ in range(door.quantity)]
        kits = self.forbidden.all_but_so_many_kits
        for services in product(*map(self.offers.services, openings)):
            if kits is None or kits == sum(not service.is_cut for service in services):
                self._try_services(services)
        return self.best

    def _try_services(self, services: Sequence[Service]) -> None:
        kits = self.offers.buy_kits(services)
        if kits is None:
            return
        cost, nails, shipped = kits
        cost += sum(service.preference for service in services)
        pieces: dict[str, list[int]] = {}
        for service in services:
            if service.is_cut:
                pieces.setdefault(service.finish, []).extend(service.door.pieces())
        ways: list[dict[Used, int]] = [{self.layouts.nothing: 0}]
        for finish, wanted in pieces.items():
            ways.append(self.layouts.cut(finish, wanted))
        taken = Counter(s.standard for s in services if s.standard is not None)
        for layouts in product(*(way.items() for way in ways)):
            used = tuple(map(sum, zip(*(u for u, _ in layouts), strict=True)))
            rest = used[len(self.base.bars) :]
            if any(n > r.quantity for n, r in zip(rest, self.order.rack, strict=True)):
                continue
            of_rack = sum(n * r.cents for n, r in zip(rest, self.order.rack, strict=True))
            least = [*used[: len(self.base.bars)]]
            least += [taken[number] for number in range(len(self.order.standard))]
            least += [0] * len(self.base.packs)
            lengths = sum(n * r.length for n, r in zip(rest, self.order.rack, strict=True))
            self.drop_before = lengths - sum(sum(wanted) for wanted in pieces.values())
            self._buy(least, cost + of_rack + sum(net for _, net in layouts), nails, shipped)

    def _lots_of(self, number: int, least: int) -> list[_Lot]:
        """Return the quantities that hold so many bars or kits, cheapest first."""
        article = self.articles[number]
        lots = []
        for units, paid in enumerate(article.prices):
            held = units * article.bars if article.bars else units
            if paid is not None and held >= least:
                whole = article.whole * (held - least) if article.bars else 0
                lots.append(_Lot(paid - whole, paid, units))
        return sorted(lots, key=lambda lot: (lot.net, lot.units))

    def _buy(self, least: list[int], cost: int, nails: int, shipped: Shipped) -> None:
        offers = [self._lots(number, units) for number, units in enumerate(least)]
        if not all(offers):
            return
        to_come = [0]
        for lots in reversed(offers):
            to_come.append(to_come[-1] + lots[0].net)
        to_come.reverse()

        def choose(number: int, so_far: int, chosen: tuple[_Lot, ...]) -> None:
            if number == len(offers):
                self._settle(so_far, nails, chosen, shipped)
                return
            for lot in offers[number]:
                total = so_far + lot.net
                if self.best is not None and self._is_beaten(total + to_come[number + 1]):
                    break
                choose(number + 1, total, (*chosen, lot))

        choose(0, cost, ())

    def _is_beaten(self, cost: int) -> bool:
        assert self.best is not None
        return cost > self.best[0] or (cost == self.best[0] and not self.with_drop)

    def _settle(
        self,
        cost: int,
        nails: int,
        chosen: tuple[_Lot, ...],
        shipped: Shipped,
    ) -> None:
        """Add nails on hand and freight to a purchase, and keep its cost if it is the least."""
        bought = list(zip(self.articles, chosen, strict=True))
        count, cents = self.order.on_hand
        short = max(0, self.needed - nails - sum(a.nails * lot.units for a, lot in bought))
        if short > count:
            return
        total = cost + short * cents
        for supplier, freight in enumerate(self.order.freight):
            lines = [
                (lot.paid, a.grams * 256 * lot.units, a.longest)
                for a, lot in bought
                if lot.units and a.supplier == supplier
            ]
            lines += [line for of, line in shipped if of == supplier]
            if not lines:
                continue
            goods = sum(paid for paid, _, _ in lines)
            if goods < self.order.least_order[supplier]:
                return
            if freight is not None:
                total += _freight(freight, goods, lines)
        bars = zip(self.base.bars, bought, strict=False)
        drop = self.drop_before + sum(bar.length * a.bars * lot.units for bar, (a, lot) in bars)
        if self.best is None or (total, drop) < self.best:
            self.best = (total, drop)


def _freight(freight: FreightTerms, goods: int, lines: Sequence[Line]) -> int:
    charge = 0
    for start, cents in freight.tiers:
        reached = goods if freight.by_value else sum(grams for _, grams, _ in lines)
        if reached >= start * (1 if freight.by_value else 256):
            charge = cents
    if freight.free_from is not None and goods >= freight.free_from:
        charge = 0
    return charge + sum(
        cents for limit, cents in freight.over if any(longest > limit for *_, longest in lines)
    )
