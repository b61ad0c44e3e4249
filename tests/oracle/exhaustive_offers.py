"""What a tiny order may be served by and what may be bought, as exhaustive search tries it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tests.oracle.buying_orders import BuyingOrder, Terms
from tests.oracle.exhaustive_cuts import worth_of_drop
from tests.oracle.small_orders import Door

MOST_UNITS = 60
"""No plan of a tiny order buys more of one article: it would cost several times the order."""

Line = tuple[int, int, int]
"""What stands on a shipment: goods in cents, weight in 256ths of a gram, longest piece."""


@dataclass(frozen=True)
class Service:
    """How one opening is served: a kit, a standard kit, or cut in a finish."""

    door: Door
    finish: str
    preference: int
    kit: int | None = None
    standard: int | None = None

    @property
    def is_cut(self) -> bool:
        return self.kit is None and self.standard is None


@dataclass(frozen=True)
class Article:
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
class Forbidden:
    """What a re-solve may not do: kits of a kind, cutting, other suppliers, other numbers."""

    bare_kits: bool = False
    kits_with_nails: bool = False
    cutting: bool = False
    all_but_supplier: int | None = None
    all_but_so_many_kits: int | None = None


class Offers:
    """All that is not forbidden of what an order's suppliers offer."""

    def __init__(self, order: BuyingOrder, forbidden: Forbidden) -> None:
        self.order, self.base, self.forbidden = order, order.base, forbidden

    def articles(self) -> list[Article]:
        """Return the stock lengths, then the standard kits, then the packs."""
        return [*self._bars(), *self._standard(), *self._packs()]

    def _sells(self, terms: Terms, nails: bool | None) -> bool:
        """Return whether an article may be bought; `nails` says what kind of kit it is, if any."""
        only, forbidden = self.forbidden.all_but_supplier, self.forbidden
        if nails is not None and (forbidden.kits_with_nails if nails else forbidden.bare_kits):
            return False
        return only is None or terms.supplier == only

    def _bars(self) -> Iterator[Article]:
        shortest = {
            finish: min(door.pieces()[-1] for door in self.base.doors)
            for door in self.base.doors
            for finish, _ in self._finishes(door)
        }
        for bar, terms in zip(self.base.bars, self.order.bar_terms, strict=True):
            serves = shortest.get(bar.finish, 10**6) <= bar.length - 2 * self.base.trim
            serves = serves and self._sells(terms, None) and not self.forbidden.cutting
            yield Article(
                prices=_prices(terms, bar.cents, bar.multiple) if serves else (0,),
                supplier=terms.supplier,
                grams=terms.grams,
                longest=bar.length,
                bars=terms.bars,
                whole=worth_of_drop(self.order, bar.length),
            )

    def _standard(self) -> Iterator[Article]:
        for number, kit in enumerate(self.order.standard):
            serves = self._sells(kit.terms, kit.nails > 0) and (
                kit.nails > 0
                or any(
                    service.standard == number
                    for door in self.base.doors
                    for service in self.services(door)
                )
            )
            yield Article(
                prices=_prices(kit.terms, kit.cents, 1) if serves else (0,),
                supplier=kit.terms.supplier,
                grams=kit.terms.grams,
                longest=max(kit.lengths),
                nails=kit.nails,
            )

    def _packs(self) -> Iterator[Article]:
        for pack, terms in zip(self.base.packs, self.order.pack_terms, strict=True):
            yield Article(
                prices=_prices(terms, pack.cents, pack.multiple)
                if self._sells(terms, None)
                else (0,),
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

    def services(self, door: Door) -> Iterator[Service]:
        """Yield the ways to serve one opening."""
        for finish, preference in self._finishes(door):
            if not self.forbidden.cutting:
                yield Service(door, finish, preference)
            for number, kit in enumerate(self.base.kits):
                sold = self._sells(self.order.kit_terms[number], kit.spacing is not None)
                if sold and kit.finish == finish and (kit.longest or 10**6) >= max(door.pieces()):
                    yield Service(door, finish, preference, kit=number)
            for number, standard in enumerate(self.order.standard):
                pairs = zip(
                    sorted(standard.lengths)[::-1], sorted(door.pieces())[::-1], strict=True
                )
                sold = self._sells(standard.terms, standard.nails > 0)
                if (
                    sold
                    and standard.finish == finish
                    and all(held >= wanted for held, wanted in pairs)
                ):
                    yield Service(door, finish, preference, standard=number)

    def buy_kits(
        self, services: Sequence[Service]
    ) -> tuple[int, int, list[tuple[int, Line]]] | None:
        """Return cost, nails and each kit's supplier and line; `None` if they are not sold so."""
        cost, nails, shipped = 0, 0, []
        for number, terms in enumerate(self.order.kit_terms):
            doors = [s.door for s in services if s.kit == number]
            if not doors:
                continue
            count = len(doors)
            if count < terms.least or (terms.available is not None and count > terms.available):
                return None
            paid = 0
            percent = max((s for s in terms.steps if s[0] <= count), default=(0, 0))[1]
            kit = self.base.kits[number]
            for door in doors:
                of_finish = Door(door.width, door.height, 1, kit.finish, door.spacing)
                offer = self.base.kit_terms(of_finish, kit)
                assert offer is not None
                whole, part = divmod(offer[0] * (100 - percent), 100)
                price = whole + (part >= 50)
                cost, nails = cost + price, nails + offer[1]
                paid += price
                weight = 40 * sum(door.pieces())
                shipped.append((terms.supplier, (price, weight, max(door.pieces()))))
            if paid < terms.least_cents:
                return None
        return cost, nails, shipped


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
        prices.append(paid if sold and paid >= terms.least_cents else None)
    return tuple(prices)
