"""Reasons and notices for fasteners: counted, needed, brought by kits, supplied, left over."""

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.catalogue import KitFasteners, PackContents, StandardKitFasteners
from optimiser.domain.notices import FastenersPooledOverFinishes, ThinFastenerMargin
from optimiser.domain.order import Order
from optimiser.domain.plan import FastenerSupply, Plan
from optimiser.domain.reasons import FastenersCounted, FastenersNeeded, FastenersSupplied
from optimiser.domain.takeoff import FastenerCount, OpeningTakeoff, Takeoff, pool_of
from optimiser.units.counts import ceil_div, fasteners_per_piece

THIN_MARGIN_PERCENT = 10
"""A margin below this is thin: wire within its usual tolerance changes the count by so much.

Source: δn/n ≈ 2·δd/d + δL/L; ±0.002 in on a 0.072 in nail is ±5.6 %, computed; an allowance of
5 to 10 % is common practice, no source.
"""


def give_fastener_counts(order: Order, takeoff: Takeoff) -> Iterator[FastenersCounted]:
    """Yield the count of each kind of opening, by both rules; alike openings share one."""
    marks: dict[tuple[FastenerCount, tuple[tuple[int, int, int], ...]], list[str]] = defaultdict(
        list
    )
    for taken in takeoff.openings:
        for count in taken.fasteners:
            marks[count, _per_length(taken, count)].append(taken.opening.mark)
    for (count, pieces), counted in marks.items():
        yield FastenersCounted(
            marks=tuple(counted),
            fastener=count.pool.fastener,
            finish=count.pool.finish,
            spacing_nm=count.spacing_nm,
            end_distance_nm=count.end_distance_nm,
            least_fasteners=count.least_fasteners,
            running_length_nm=count.running_length_nm,
            by_running_length=count.by_running_length,
            per_piece=count.per_piece,
            pieces=pieces,
            bought_by=order.policy.fastener_counting,
        )


def _per_length(taken: OpeningTakeoff, count: FastenerCount) -> tuple[tuple[int, int, int], ...]:
    """Return (length, pieces, fasteners each) of the pieces that the count is of."""
    fixing = count.spacing_nm, count.end_distance_nm, count.least_fasteners
    pieces: dict[int, int] = defaultdict(int)
    for piece in taken.pieces:
        if (
            piece.fastener == count.pool.fastener
            and count.pool.finish in {None, piece.material.finish}
            and (piece.spacing_nm, piece.end_distance_nm, piece.least_fasteners) == fixing
        ):
            pieces[piece.length_nm] += piece.count
    return tuple(
        (length_nm, number, fasteners_per_piece(length_nm, *fixing))
        for length_nm, number in sorted(pieces.items(), reverse=True)
    )


def give_fastener_needs(order: Order, takeoff: Takeoff) -> Iterator[FastenersNeeded]:
    """Yield the need of each pool over the order, with allowance and spares."""
    for need in takeoff.demand.fasteners:
        yield FastenersNeeded(
            fastener=need.pool.fastener,
            finish=need.pool.finish,
            by_running_length=need.by_running_length,
            per_piece=need.per_piece,
            bought_by=order.policy.fastener_counting,
            counted=need.counted,
            allowance_percent=order.policy.fastener_allowance_percent,
            allowance=need.allowance,
            spares=need.spares,
            needed=need.needed,
        )


def give_supplies(order: Order, plan: Plan) -> Iterator[FastenersSupplied]:
    """Yield how each pool is filled, what is left, and how much less a pack may hold."""
    for supply in plan.fasteners:
        arriving = _arriving_packs(order, plan, supply)
        stated = {contents.nominal for contents, _ in arriving}
        one_stated = stated.pop() if len(stated) == 1 else None
        there = _count_on_hand(order, supply)
        from_packs = max(0, supply.need.needed - there - _count_single(order, supply))
        yield FastenersSupplied(
            fastener=supply.pool.fastener,
            finish=supply.pool.finish,
            needed=supply.need.needed,
            kits=supply.kits,
            packs=supply.packs,
            supplied=supply.supplied,
            spare=supply.spare,
            least_percent=_least_percent(arriving, from_packs),
            least_per_pack=None
            if one_stated is None
            else ceil_div(from_packs, sum(packs for _, packs in arriving)),
            stated_per_pack=one_stated,
            on_hand=supply.on_hand,
            left_on_hand=there - supply.on_hand,
        )


def _count_on_hand(order: Order, supply: FastenerSupply) -> int:
    return sum(
        held.count
        for held in order.rack.fasteners
        if pool_of(held.fastener, held.finish, order.policy) == supply.pool
    )


def _arriving_packs(
    order: Order, plan: Plan, supply: FastenerSupply
) -> list[tuple[PackContents, int]]:
    """Return the contents and number of all packs of a pool, in kits and loose.

    A pack of one is no pack: it never holds less.
    """
    held: dict[str, KitFasteners | StandardKitFasteners | None] = {
        kit.sku: kit.fasteners for kit in order.catalogue.kits
    }
    held |= {kit.sku: kit.fasteners for kit in order.catalogue.standard_kits}
    packs = {pack.sku: pack for pack in order.catalogue.fastener_packs}
    in_kits: dict[str, int] = defaultdict(int)
    for line in plan.purchases:
        if line.packs_per_kit:
            in_kits[line.sku] += line.quantity * line.packs_per_kit
    arriving = []
    for sku in dict.fromkeys(sku for sku, _, _ in supply.kits):
        fasteners = held[sku]
        if fasteners is not None and in_kits[sku]:
            arriving.append((fasteners.contents, in_kits[sku]))
    arriving.extend((packs[sku].contents, number) for sku, number, _ in supply.packs if number)
    return [(contents, number) for contents, number in arriving if contents.nominal != 1]


def _count_single(order: Order, supply: FastenerSupply) -> int:
    """Return the fasteners of a pool that come one by one."""
    contents = {pack.sku: pack.contents for pack in order.catalogue.fastener_packs}
    return sum(number for sku, number, _ in supply.packs if contents[sku].nominal == 1)


def _least_percent(arriving: list[tuple[PackContents, int]], needed: int) -> Decimal:
    """Return the least share of the stated counts, in tenths of a per cent, that is enough."""
    low, high = 0, 1000
    while low < high:
        tenths = (low + high) // 2
        held = sum(
            packs * int(contents.nominal * Fraction(tenths, 1000)) for contents, packs in arriving
        )
        low, high = (low, tenths) if held >= needed else (tenths + 1, high)
    return Decimal(low).scaleb(-1)


def find_thin_margins(
    order: Order, plan: Plan, supplies: tuple[FastenersSupplied, ...]
) -> Iterator[ThinFastenerMargin]:
    """Yield the pools that no tolerance guards and that are barely enough as stated.

    What is left on hand is left over, too: it makes up for packs that hold less.
    """
    for supply, reason in zip(plan.fasteners, supplies, strict=True):
        arriving = _arriving_packs(order, plan, supply)
        if all(contents.tolerance_percent for contents, _ in arriving):
            continue
        if reason.least_percent > 100 - THIN_MARGIN_PERCENT:
            yield ThinFastenerMargin(
                fastener=reason.fastener,
                finish=reason.finish,
                spare=reason.spare + reason.left_on_hand,
                least_percent=reason.least_percent,
                least_per_pack=reason.least_per_pack,
                stated_per_pack=reason.stated_per_pack,
            )


def find_pooled_finishes(takeoff: Takeoff) -> Iterator[FastenersPooledOverFinishes]:
    """Yield the fasteners that are counted together for strip of several finishes."""
    finishes: dict[str, set[str]] = defaultdict(set)
    pooled = {n.pool.fastener for n in takeoff.demand.fasteners if n.pool.finish is None}
    for demand in takeoff.demand.sets:
        for fastener, nailed_nm in demand.piece_set.nailed_nm:
            if nailed_nm and fastener in pooled:
                finishes[fastener].add(demand.piece_set.material.finish)
    for fastener, several in sorted(finishes.items()):
        if len(several) > 1:
            yield FastenersPooledOverFinishes(fastener=fastener, finishes=tuple(sorted(several)))
