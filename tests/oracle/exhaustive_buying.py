"""The least cost of a tiny order with any terms of buying, by trying everything.

No model and no solver, and no code shared with the library or with the models beside it but the
arithmetic of `SmallOrder`. Every way to serve the openings, to splice and to lay the pieces on
bars is tried with every quantity of every article that can serve an opening. A branch is left
only where what is paid so far, and the least that each article left can cost, already reach a
plan that was found.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import combinations_with_replacement, product

from tests.oracle.buying_orders import BuyingOrder, FreightTerms, Terms
from tests.oracle.small_orders import Door

MOST_UNITS = 60
"""No plan of a tiny order buys more of one article: it would cost several times the order."""

Used = tuple[int, ...]
"""Bars used per stock length and then offcuts used per entry of the rack."""


@dataclass(frozen=True)
class _Service:
    """How one opening is served: a kit, a standard kit, or cut in a finish."""

    door: Door
    finish: str
    preference: int
    kit: int | None = None
    standard: int | None = None


@dataclass(frozen=True)
class _Article:
    """An article on offer: the price of each quantity is `prices[quantity]`, `None` if not sold.

    A unit brings `nails` and `bars`, of which each one left whole is worth `whole`.
    """

    prices: tuple[int | None, ...]
    supplier: int
    grams: int
    longest: int
    nails: int = 0
    bars: int = 0
    whole: int = 0


@dataclass(frozen=True)
class _Lot:
    """A quantity of an article, with what it costs less the worth of what is left whole."""

    net: int
    paid: int
    units: int


def least_buying_cents(order: BuyingOrder) -> int | None:
    """Return the least cost in cents, or `None` where no plan exists.

    Takes orders of one or two openings, few articles and thresholds that few units reach.
    """
    return _Search(order).run()


class _Search:
    def __init__(self, order: BuyingOrder) -> None:
        self.order, self.base = order, order.base
        self.best: int | None = None
        self.articles = [*self._bars(), *self._standard(), *self._packs()]
        self.needed = order.base.nails_needed()
        self._lay = cache(self._lay_out)
        self._lots = cache(self._lots_of)

    def run(self) -> int | None:
        openings = [door for door in self.base.doors for _ in range(door.quantity)]
        for services in product(*map(self._services, openings)):
            self._try_services(services)
        return self.best

    # What is on offer.

    def _bars(self) -> Iterator[_Article]:
        shortest = {
            finish: min(door.pieces()[-1] for door in self.base.doors)
            for door in self.base.doors
            for finish, _ in self._finishes(door)
        }
        for bar, terms in zip(self.base.bars, self.order.bar_terms, strict=True):
            serves = shortest.get(bar.finish, 10**6) <= bar.length - 2 * self.base.trim
            yield _Article(
                prices=_prices(terms, bar.cents, bar.multiple) if serves else (0,),
                supplier=terms.supplier,
                grams=terms.grams,
                longest=bar.length,
                bars=terms.bars,
                whole=self._worth(bar.length, None),
            )

    def _standard(self) -> Iterator[_Article]:
        for number, kit in enumerate(self.order.standard):
            serves = kit.nails or any(
                service.standard == number
                for door in self.base.doors
                for service in self._services(door)
            )
            yield _Article(
                prices=_prices(kit.terms, kit.cents, 1) if serves else (0,),
                supplier=kit.terms.supplier,
                grams=kit.terms.grams,
                longest=max(kit.lengths),
                nails=kit.nails,
            )

    def _packs(self) -> Iterator[_Article]:
        for pack, terms in zip(self.base.packs, self.order.pack_terms, strict=True):
            yield _Article(
                prices=_prices(terms, pack.cents, pack.multiple),
                supplier=terms.supplier,
                grams=terms.grams,
                longest=0,
                nails=pack.low,
            )

    def _finishes(self, door: Door) -> list[tuple[str, int]]:
        ways = [(door.finish, 0)]
        return ways + [
            (to, cents) for of, to, cents in self.order.substitutions if of == door.finish
        ]

    def _services(self, door: Door) -> Iterator[_Service]:
        for finish, preference in self._finishes(door):
            yield _Service(door, finish, preference)
            for number, kit in enumerate(self.base.kits):
                if kit.finish == finish and (kit.longest or 10**6) >= max(door.pieces()):
                    yield _Service(door, finish, preference, kit=number)
            for number, standard in enumerate(self.order.standard):
                pairs = zip(
                    sorted(standard.lengths)[::-1], sorted(door.pieces())[::-1], strict=True
                )
                if standard.finish == finish and all(held >= wanted for held, wanted in pairs):
                    yield _Service(door, finish, preference, standard=number)

    # How the pieces are cut.

    def _try_services(self, services: tuple[_Service, ...]) -> None:
        kits = self._buy_kits(services)
        if kits is None:
            return
        cost, nails, shipped = kits
        cost += sum(service.preference for service in services)
        pieces: dict[str, list[int]] = {}
        for service in services:
            if service.kit is None and service.standard is None:
                pieces.setdefault(service.finish, []).extend(service.door.pieces())
        ways: list[dict[Used, int]] = [{self._nothing(): 0}]
        for finish, wanted in pieces.items():
            ways.append(self._cut(finish, wanted))
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
            self._buy(least, cost + of_rack + sum(net for _, net in layouts), nails, shipped)

    def _nothing(self) -> Used:
        return (0,) * (len(self.base.bars) + len(self.order.rack))

    def _cut(self, finish: str, pieces: list[int]) -> dict[Used, int]:
        """Return the least of cuts, splices and credits for each way to use up bars."""
        found: dict[Used, int] = {}
        for spliced, cents in self._splice(pieces):
            for used, net in self._lay(finish, tuple(sorted(spliced, reverse=True))).items():
                found[used] = min(found.get(used, net + cents), net + cents)
        return found

    def _splice(self, pieces: list[int]) -> Iterator[tuple[list[int], int]]:
        """Yield what is cut and what the splices cost, for single doors."""
        rule = self.order.splices
        heights = {door.height for door in self.base.doors}
        choices = []
        for length, count in Counter(pieces).items():
            ways: list[tuple[int, ...]] = [(length,)]
            if rule is not None and (length in heights or length >= rule.least_head):
                for first in range(rule.least_segment, length - rule.least_segment + 1):
                    second = length - first
                    if first <= second and (first % rule.step == 0 or second % rule.step == 0):
                        ways.append((first, second))
            choices.append(list(combinations_with_replacement(ways, count)))
        for chosen in product(*choices):
            made = [way for ways in chosen for way in ways]
            cents = rule.cents if rule is not None else 0
            yield [n for way in made for n in way], cents * sum(len(way) == 2 for way in made)

    def _lay_out(self, finish: str, left: tuple[int, ...]) -> dict[Used, int]:
        """Return the least of cut charges less credits for each number of bars used."""
        if not left:
            return {self._nothing(): 0}
        found: dict[Used, int] = {}
        first, others = left[0], left[1:]
        for companions in _subsets(others):
            remaining = list(others)
            for length in companions:
                remaining.remove(length)
            cuts = len(companions) + 1
            weight = first + sum(companions) + self.base.kerf * cuts
            places = list(self._places(finish, weight))
            if not places:
                continue
            for used, net in self._lay(finish, tuple(remaining)).items():
                for place, credit in places:
                    more = (*used[:place], used[place] + 1, *used[place + 1 :])
                    cost = net + cuts * self.order.cut_cents - credit
                    found[more] = min(found.get(more, cost), cost)
        return found

    def _places(self, finish: str, weight: int) -> Iterator[tuple[int, int]]:
        """Yield where a weight fits, each with the credit of its drop."""
        for place, bar in enumerate(self.base.bars):
            drop = bar.length - 2 * self.base.trim - weight
            if bar.finish == finish and drop + self.base.kerf >= 0:
                yield place, self._worth(drop, None)
        for place, rest in enumerate(self.order.rack, start=len(self.base.bars)):
            drop = rest.length - weight
            if rest.finish == finish and drop + self.base.kerf >= 0:
                yield place, self._worth(drop, (rest.cents, rest.length))

    def _worth(self, drop: int, offcut: tuple[int, int] | None) -> int:
        if self.order.keep is None or drop < max(1, self.order.keep[0]):
            return 0
        _, cents, per = self.order.keep
        worth = cents * drop // per
        if offcut is not None:
            worth = min(worth, offcut[0] * drop // offcut[1])
        return worth

    # What is bought.

    def _buy_kits(
        self, services: tuple[_Service, ...]
    ) -> tuple[int, int, list[tuple[int, int, int, int]]] | None:
        """Return cost, nails and (supplier, goods, 256ths of a gram, longest) of the kits."""
        cost, nails, shipped = 0, 0, []
        for number, terms in enumerate(self.order.kit_terms):
            doors = [s.door for s in services if s.kit == number]
            if not doors:
                continue
            count = len(doors)
            if count < terms.least or (terms.available is not None and count > terms.available):
                return None
            percent = max((s for s in terms.steps if s[0] <= count), default=(0, 0))[1]
            kit = self.base.kits[number]
            for door in doors:
                of_finish = Door(door.width, door.height, 1, kit.finish, door.spacing)
                offer = self.base.kit_terms(of_finish, kit)
                assert offer is not None
                whole, part = divmod(offer[0] * (100 - percent), 100)
                price = whole + (part >= 50)
                cost, nails = cost + price, nails + offer[1]
                weight = 40 * sum(door.pieces())
                shipped.append((terms.supplier, price, weight, max(door.pieces())))
        return cost, nails, shipped

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

    def _buy(
        self, least: list[int], cost: int, nails: int, shipped: list[tuple[int, int, int, int]]
    ) -> None:
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
                if self.best is not None and total + to_come[number + 1] >= self.best:
                    break
                choose(number + 1, total, (*chosen, lot))

        choose(0, cost, ())

    def _settle(
        self,
        cost: int,
        nails: int,
        chosen: tuple[_Lot, ...],
        shipped: list[tuple[int, int, int, int]],
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
            lines += [line[1:] for line in shipped if line[0] == supplier]
            if not lines:
                continue
            goods = sum(paid for paid, _, _ in lines)
            if goods < self.order.least_order[supplier]:
                return
            if freight is not None:
                total += _freight(freight, goods, lines)
        if self.best is None or total < self.best:
            self.best = total


def _freight(freight: FreightTerms, goods: int, lines: list[tuple[int, int, int]]) -> int:
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


def _prices(terms: Terms, cents: int, multiple: int) -> tuple[int | None, ...]:
    """Return the price of each quantity, `None` where it is not sold."""
    prices: list[int | None] = [0]
    steps = ((1, cents), *terms.steps)
    added = 0
    for quantity in range(1, MOST_UNITS + 1):
        at = max(step for step in steps if step[0] <= quantity)[1]
        added += at
        sold = quantity % multiple == 0 and quantity >= terms.least
        if terms.available is not None and quantity > terms.available:
            sold = False
        paid = added if terms.incremental else at * quantity
        prices.append(paid if sold else None)
    return tuple(prices)


def _subsets(pieces: tuple[int, ...]) -> set[tuple[int, ...]]:
    found: set[tuple[int, ...]] = {()}
    for length in pieces:
        found |= {(*subset, length) for subset in found}
    return found
