"""Why nothing can serve an order: which piece, what limit, what would mend it."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from optimiser.domain.catalogue import Kit, Material
from optimiser.domain.decision import Restriction
from optimiser.domain.faults import Fault
from optimiser.domain.kit_offer import quote_kit
from optimiser.domain.order import Order, articles_of
from optimiser.domain.phrases import write_count, write_marks
from optimiser.domain.takeoff import FastenerNeed, FastenerPool, SetDemand, Takeoff
from optimiser.explain.other_ways import OtherWays
from optimiser.units.lengths import format_length

UNRESTRICTED = Restriction()


def find_obstacles(
    order: Order, takeoff: Takeoff, restriction: Restriction = UNRESTRICTED
) -> tuple[Fault, ...]:
    """Return what keeps the order from being served under the restriction; empty when served.

    Each piece that nothing offered can give is named with its edge, its length, the limit and
    the remedy; openings with the same fault share one. Lengths are compared net: a piece must
    fit into a stock length less both end trims.
    """
    finder = _Finder(_as_offered(order, restriction), takeoff, restriction)
    return (*finder.sets(), *finder.fasteners())


def _as_offered(order: Order, restriction: Restriction) -> Order:
    """Return the order with the catalogues that may be bought from."""
    if restriction.only_supplier is None:
        return order
    chosen = tuple(c for c in order.catalogues if c.supplier == restriction.only_supplier)
    return replace(order, catalogues=chosen)


def find_limits(order: Order, restriction: Restriction = UNRESTRICTED) -> Fault:
    """Return the fault of an order whose pieces all have a supply, but not enough of it.

    It names the limits that are set, since together they leave no purchase.
    """
    order = _as_offered(order, restriction)
    limits = []
    articles = [article for c in order.catalogues for article in articles_of(c)]
    limited = sorted(a.sku for a in articles if a.available is not None)
    if limited:
        limits.append(f"what is available of {', '.join(limited[:5])}")
    least = sorted(a.sku for a in articles if a.least_quantity > 1)
    if least:
        limits.append(f"the least quantity of {', '.join(least[:5])}")
    valued = sorted(a.sku for a in articles if a.least_value > 0)
    if valued:
        limits.append(f"the least value of {', '.join(valued[:5])}")
    ordered = [c.supplier for c in order.catalogues if c.least_order > 0]
    if ordered:
        limits.append(f"the least order of {' and '.join(ordered)}")
    return Fault(
        ("catalogues",),
        "limits-leave-no-plan",
        f"Every piece is offered, but no purchase keeps within "
        f"{'; '.join(limits) or 'the limits of the order'}; "
        "raise one of these, or add another article or supplier.",
    )


@dataclass(frozen=True, slots=True)
class _Barrier:
    """Why one way of supply is shut, and what would open it. `too_long_nm`: only above it."""

    why: str
    remedy: str = ""
    too_long_nm: int | None = None


class _Finder:
    def __init__(self, order: Order, takeoff: Takeoff, restriction: Restriction) -> None:
        self._order = order
        self._policy = order.policy
        self._catalogue = order.catalogue
        self._takeoff = takeoff
        self._restriction = restriction
        self._stock_nm: dict[Material, int] = defaultdict(int)
        for stock in order.catalogue.stock_lengths:
            self._stock_nm[stock.material] = max(self._stock_nm[stock.material], stock.length_nm)
        self._kits: dict[Material, list[Kit]] = defaultdict(list)
        self._ways = OtherWays(order, restriction)
        for kit in order.catalogue.kits:
            self._kits[kit.material].append(kit)
        self._taken = {taken.opening.mark: taken for taken in takeoff.openings}
        self._position = {o.mark: n for n, o in enumerate(order.openings)}

    def sets(self) -> Iterator[Fault]:
        """Yield a fault for each distinct piece, or material, that has no supply."""
        grouped: dict[tuple[Material, int, str, str, str], list[str]] = defaultdict(list)
        for position, demand in enumerate(self._takeoff.demand.sets):
            for finding in self._shut_out(position, demand):
                grouped[finding].extend(mark for mark, _ in demand.marks)
        for (material, length_nm, code, why, remedy), marks in grouped.items():
            in_order = sorted(set(marks), key=self._position.__getitem__)
            yield Fault(
                ("openings", self._position[in_order[0]]),
                code,
                f"{_name_openings(in_order)}: {self._subject(material, length_nm, in_order)}"
                f"{why}{'; ' + remedy if remedy else ''}.",
            )

    def _shut_out(
        self, position: int, demand: SetDemand
    ) -> Iterator[tuple[Material, int, str, str, str]]:
        fixed = self._restriction.kits_per_set
        by_kit = None if fixed is None else fixed[position]
        kit = self._kit_barrier(demand, by_kit)
        cut = self._cut_barrier(demand, by_kit)
        if by_kit is None:
            if kit and cut and not self._stands_in(demand):
                yield from self._describe(demand, (cut, kit))
            return
        if kit and by_kit > 0:
            yield from self._describe(demand, (kit,))
        if cut and by_kit < demand.quantity:
            yield from self._describe(demand, (cut,))

    def _stands_in(self, demand: SetDemand) -> bool:
        """Return whether another material that is allowed instead can serve a set."""
        return any(
            not (self._kit_barrier(instead, None) and self._cut_barrier(instead, None))
            for instead in self._ways.instead(demand)
        )

    def _describe(
        self, demand: SetDemand, barriers: tuple[_Barrier, ...]
    ) -> Iterator[tuple[Material, int, str, str, str]]:
        """Yield the pieces beyond every limit, or the material when no limit is in the way."""
        material = demand.piece_set.material
        limits = [b.too_long_nm for b in barriers if b.too_long_nm is not None]
        # What is said of the piece stands next to it, before what is said of the order.
        barriers = tuple(sorted(barriers, key=lambda barrier: barrier.too_long_nm is None))
        why = ", and ".join(barrier.why for barrier in barriers)
        remedy = ", or ".join(barrier.remedy for barrier in barriers if barrier.remedy)
        if not limits:
            offered = self._stock_nm[material] or self._kits[material]
            yield material, 0, "not-allowed" if offered else "not-offered", why, remedy
            return
        for length_nm, _ in demand.piece_set.lengths:
            if length_nm > max(limits):
                yield material, length_nm, "piece-too-long", why, remedy

    def _kit_barrier(self, demand: SetDemand, by_kit: int | None) -> _Barrier | None:
        if not self._policy.allow_kits:
            return _Barrier("kits are not allowed", "allow kits (policy.allow_kits)")
        bare, with_fasteners = (
            self._restriction.bare_kits,
            self._restriction.kits_with_fasteners,
        )
        if by_kit == 0 or not (bare or with_fasteners):
            return _Barrier("kits are left out")
        if self._ways.trims_standard_kit(demand):
            return None
        what = "kit" if bare and with_fasteners else "bare kit" if bare else "kit with fasteners"
        kits = [k for k in self._kits[demand.piece_set.material] if self._allows(k)]
        if not kits:
            return _Barrier(f"no {what} is offered", f"add a {what}")
        limits = [kit.longest_piece_nm for kit in kits]
        longest_nm = max((limit for limit in limits if limit is not None), default=0)
        if None in limits or demand.piece_set.lengths[0][0] <= longest_nm:
            return None
        return _Barrier(
            f"longer than the longest piece of a {what}, {self._length(longest_nm)}",
            f"add a {what} with longer pieces",
            too_long_nm=longest_nm,
        )

    def _cut_barrier(self, demand: SetDemand, by_kit: int | None) -> _Barrier | None:
        if not self._policy.allow_cutting:
            return _Barrier("cutting is not allowed", "allow cutting (policy.allow_cutting)")
        if not self._restriction.cutting or by_kit == demand.quantity:
            return _Barrier("cutting is left out")
        stock_nm = self._stock_nm[demand.piece_set.material]
        if self._ways.can_cut(demand):
            return None
        if not stock_nm:
            return _Barrier("no stock length is offered", "add a stock length")
        trim_nm = self._policy.end_trim_nm
        usable_nm = self._ways.longest_nm(demand.piece_set.material)
        limit = self._length(stock_nm)
        if trim_nm:
            limit += f", less two end trims of {self._length(trim_nm)}"
        return _Barrier(
            f"longer than the longest stock length, {limit}",
            "add a longer stock length",
            too_long_nm=usable_nm,
        )

    def _allows(self, kit: Kit) -> bool:
        return (
            self._restriction.bare_kits
            if kit.fasteners is None
            else self._restriction.kits_with_fasteners
        )

    def _subject(self, material: Material, length_nm: int, marks: list[str]) -> str:
        """Return the edges that a piece lies on and its length, or the material."""
        if not length_nm:
            return f"{material}: "
        edges = dict.fromkeys(
            piece.edge.value.replace("-", " ")
            for mark in marks
            for piece in self._taken[mark].pieces
            if piece.length_nm == length_nm and piece.material == material
        )
        joined = " and ".join(edges)
        are = "is" if len(edges) == 1 else "are"
        return f"{joined} {self._length(length_nm)} ({material}) {are} "

    def _length(self, length_nm: int) -> str:
        return format_length(length_nm, self._order.unit)

    def fasteners(self) -> Iterator[Fault]:
        """Yield a fault for each pool that neither packs nor kits can fill."""
        for need in self._takeoff.demand.fasteners:
            if need.needed and not self._has_packs(need.pool):
                brought = self._most_from_kits(need.pool)
                on_hand = self._ways.on_hand(need.pool)
                if brought + on_hand < need.needed and not self._ways.standard_kit_brings(
                    need.pool
                ):
                    yield self._fastener_fault(need, brought, on_hand)

    def _has_packs(self, pool: FastenerPool) -> bool:
        return any(
            pack.fastener == pool.fastener and pool.finish in {None, pack.finish}
            for pack in self._catalogue.fastener_packs
        )

    def _most_from_kits(self, pool: FastenerPool) -> int:
        if not (self._policy.allow_kits and self._restriction.kits_with_fasteners):
            return 0
        most = 0
        fixed = self._restriction.kits_per_set
        for position, demand in enumerate(self._takeoff.demand.sets):
            openings = demand.quantity if fixed is None else fixed[position]
            each = max(
                (
                    quote_kit(kit, demand.piece_set, self._catalogue.currency).fasteners_low
                    for kit in self._bringing(pool, demand)
                ),
                default=0,
            )
            most += openings * each
        return most

    def _bringing(self, pool: FastenerPool, demand: SetDemand) -> Iterable[Kit]:
        longest_nm = demand.piece_set.lengths[0][0]
        for kit in self._kits[demand.piece_set.material]:
            if kit.fasteners is None or kit.fasteners.fastener != pool.fastener:
                continue
            if pool.finish not in {None, kit.material.finish}:
                continue
            if kit.longest_piece_nm is None or longest_nm <= kit.longest_piece_nm:
                yield kit

    def _fastener_fault(self, need: FastenerNeed, brought: int, on_hand: int) -> Fault:
        finish = "" if need.pool.finish is None else f" in {need.pool.finish}"
        kits = (
            f"kits with fasteners bring {brought:,} at most"
            if brought
            else "no kit that may be used brings any"
        )
        if on_hand:
            kits += f", and {on_hand:,} are on hand"
        return Fault(
            ("catalogues", 0, "fastener_packs"),
            "fasteners-not-offered",
            f"{write_count(need.needed, need.pool.fastener)}{finish} "
            f"{'is' if need.needed == 1 else 'are'} needed: no loose pack of them is offered, "
            f"and {kits}; add a loose pack.",
        )


def _name_openings(marks: list[str]) -> str:
    return f"{'Opening' if len(marks) == 1 else 'Openings'} {write_marks(marks)}"
