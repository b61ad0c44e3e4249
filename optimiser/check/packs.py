"""The fasteners that arrive are those that the purchase brings, and they are enough."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from optimiser.check.kit_arithmetic import low_contents, packs_in_kit
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.takeoff import FastenerPool, Takeoff

Arriving = Counter[tuple[str, int]]
"""How many of each (SKU, fasteners that one brings)."""


def check_packs(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    """Yield pools that are not filled, or whose account differs from what is bought."""
    needs = {need.pool: need for need in takeoff.demand.fasteners}
    shown = Counter(supply.pool for supply in plan.fasteners)
    for pool in sorted({*needs, *shown}, key=str):
        expected = 1 if pool in needs else 0
        if shown[pool] != expected:
            yield f"Fasteners {pool}: they stand {shown[pool]} times, expected {expected}."
    kits = _kits_by_pool(order, takeoff, plan)
    packs = dict(_packs_by_pool(order, plan, tuple(needs)))
    on_hand = _on_hand_by_pool(order, plan)
    for supply in plan.fasteners:
        if supply.on_hand != on_hand[supply.pool]:
            yield (
                f"Fasteners {supply.pool}, on hand: {supply.on_hand}, "
                f"expected {on_hand[supply.pool]} as decided."
            )
        need = needs.get(supply.pool)
        if need is not None and supply.need != need:
            yield f"Fasteners {supply.pool}: the need shown is not that of the takeoff."
        yield from _compare(f"{supply.pool}, kits", supply.kits, kits[supply.pool])
        yield from _compare(
            f"{supply.pool}, loose packs", supply.packs, packs.get(supply.pool, Counter())
        )
    for pool, need in needs.items():
        arriving = kits[pool] + packs.get(pool, Counter())
        held = sum(number * each for (_, each), number in arriving.items()) + on_hand[pool]
        needed = need.counted + need.allowance + need.spares
        if held < needed:
            yield f"Fasteners {pool}: {held} arrive, expected {needed} or more."
    used = {sku for arriving in packs.values() for sku, _ in arriving}
    for sku, number in plan.decision.packs:
        if number and sku not in used:
            yield f"Loose pack {sku}: {number} bought, expected 0, since no opening needs them."


def _kits_by_pool(order: Order, takeoff: Takeoff, plan: Plan) -> dict[FastenerPool, Arriving]:
    kits = {kit.sku: kit for kit in order.catalogue.kits}
    arriving: dict[FastenerPool, Arriving] = defaultdict(Counter)
    for demand, decided in zip(takeoff.demand.sets, plan.decision.supplies, strict=False):
        for sku, number in decided.kits:
            kit = kits.get(sku)
            if kit is None or kit.fasteners is None or not number:
                continue
            each = packs_in_kit(kit, demand.piece_set) * low_contents(kit.fasteners.contents)
            finish = kit.material.finish if order.policy.fasteners_match_finish else None
            arriving[FastenerPool(kit.fasteners.fastener, finish)][sku, each] += number
    standard = {kit.sku: kit for kit in order.catalogue.standard_kits}
    for sku, number in plan.decision.standard_kits:
        offered = standard.get(sku)
        if offered is None or offered.fasteners is None or not number:
            continue
        each = offered.fasteners.packs * low_contents(offered.fasteners.contents)
        finish = offered.material.finish if order.policy.fasteners_match_finish else None
        arriving[FastenerPool(offered.fasteners.fastener, finish)][sku, each] += number
    return arriving


def _on_hand_by_pool(order: Order, plan: Plan) -> Counter[FastenerPool]:
    used: Counter[FastenerPool] = Counter()
    for fastener, finish, count in plan.decision.fasteners_on_hand:
        matched = finish if order.policy.fasteners_match_finish else None
        used[FastenerPool(fastener, matched)] += count
    return used


def _packs_by_pool(
    order: Order, plan: Plan, pools: tuple[FastenerPool, ...]
) -> Iterator[tuple[FastenerPool, Arriving]]:
    offered = {pack.sku: pack for pack in order.catalogue.fastener_packs}
    for pool in pools:
        arriving: Arriving = Counter()
        for sku, number in plan.decision.packs:
            pack = offered.get(sku)
            if pack is None or pack.fastener != pool.fastener or not number:
                continue
            if pool.finish is None or pack.finish == pool.finish:
                arriving[sku, low_contents(pack.contents)] += number
        yield pool, arriving


def _compare(
    where: str, shown: tuple[tuple[str, int, int], ...], expected: Arriving
) -> Iterator[str]:
    found: Arriving = Counter()
    for sku, number, each in shown:
        found[sku, each] += number
    for sku, each in sorted({*found, *expected}):
        if found[sku, each] != expected[sku, each]:
            yield (
                f"Fasteners {where}: {found[sku, each]} of {sku} with {each} each, "
                f"expected {expected[sku, each]}."
            )
