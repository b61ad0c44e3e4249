"""Every opening is supplied exactly once per material, by offers that fit and are allowed."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from optimiser.domain.catalogue import Kit, Material
from optimiser.domain.order import Order
from optimiser.domain.plan import OpeningPlan, Plan
from optimiser.domain.takeoff import SetDemand, Takeoff


def check_coverage(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    """Yield openings that are supplied too often, too seldom, or by what cannot serve them."""
    yield from _check_openings(takeoff, plan)
    yield from _check_supplies(takeoff, plan)
    yield from _check_decision(order, takeoff, plan)


def _check_openings(takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    planned = Counter(opening.takeoff.opening.mark for opening in plan.openings)
    taken = {item.opening.mark: item for item in takeoff.openings}
    for mark in dict.fromkeys((*taken, *planned)):
        expected = 1 if mark in taken else 0
        if planned[mark] != expected:
            yield f"Plan of {mark}: it stands {planned[mark]} times, expected {expected}."
    for opening in plan.openings:
        mark = opening.takeoff.opening.mark
        if mark in taken and opening.takeoff != taken[mark]:
            yield f"Plan of {mark}: its takeoff is not the one that was made."
        yield from _check_opening(opening)


def _check_opening(opening: OpeningPlan) -> Iterator[str]:
    mark, quantity = opening.takeoff.opening.mark, opening.takeoff.opening.quantity
    supplied: dict[Material, int] = defaultdict(int)
    for supply in opening.supplies:
        for name, number in (*supply.kits, ("cut", supply.cut)):
            if number < 0:
                yield f"Supply of {supply.material} to {mark}: {name} {number}, expected 0 or more."
        supplied[supply.material] += supply.cut + sum(number for _, number in supply.kits)
    wanted = {piece.material for piece in opening.takeoff.pieces}
    for material in sorted(wanted | set(supplied)):
        expected = quantity if material in wanted else 0
        if supplied[material] != expected:
            yield (
                f"Supply of {material} to {mark}: {supplied[material]} openings, "
                f"expected {expected}."
            )


def _check_supplies(takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    """Yield the piece sets whose supply by mark does not add up to the decision."""
    if len(plan.decision.supplies) != len(takeoff.demand.sets):
        yield (
            f"Decision: it supplies {len(plan.decision.supplies)} piece sets, "
            f"expected {len(takeoff.demand.sets)}."
        )
        return
    by_mark: dict[tuple[str, Material], Counter[str]] = defaultdict(Counter)
    for opening in plan.openings:
        for supply in opening.supplies:
            shared = by_mark[opening.takeoff.opening.mark, supply.material]
            shared[""] += supply.cut
            for sku, number in supply.kits:
                shared[sku] += number
    for demand, decided in zip(takeoff.demand.sets, plan.decision.supplies, strict=True):
        shared = Counter()
        for mark, _ in demand.marks:
            shared.update(by_mark[mark, demand.piece_set.material])
        expected = Counter({"": decided.cut})
        for sku, number in decided.kits:
            expected[sku] += number
        for sku in sorted({*shared, *expected}):
            if shared[sku] != expected[sku]:
                yield (
                    f"Supply of {_name(demand)} by {f'kit {sku}' if sku else 'cutting'}: "
                    f"{shared[sku]} openings over its marks, expected {expected[sku]} as decided."
                )


def _check_decision(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    """Yield the piece sets that the decision serves wrongly."""
    kits = {kit.sku: kit for kit in order.catalogue.kits}
    for demand, decided in zip(takeoff.demand.sets, plan.decision.supplies, strict=False):
        served = decided.cut + sum(number for _, number in decided.kits)
        if served != demand.quantity:
            yield f"Decision on {_name(demand)}: {served} served, expected {demand.quantity}."
        if decided.cut < 0 or any(number < 0 for _, number in decided.kits):
            yield f"Decision on {_name(demand)}: a number below 0, expected 0 or more."
        if decided.cut and not order.policy.allow_cutting:
            yield (
                f"Decision on {_name(demand)}: {decided.cut} cut, expected 0, "
                "since cutting is not allowed."
            )
        for sku, number in decided.kits:
            if number:
                yield from _check_kit(order, demand, sku, number, kits.get(sku))


def _check_kit(
    order: Order, demand: SetDemand, sku: str, number: int, kit: Kit | None
) -> Iterator[str]:
    if kit is None:
        yield f"Kit {sku} for {_name(demand)}: not in the catalogue."
        return
    if not order.policy.allow_kits:
        yield (
            f"Kit {sku} for {_name(demand)}: {number} bought, expected 0, "
            "since kits are not allowed."
        )
    if kit.material != demand.piece_set.material:
        yield (
            f"Kit {sku} for {_name(demand)}: it is of {kit.material}, "
            f"expected {demand.piece_set.material}."
        )
    longest_nm = max((length_nm for length_nm, _ in demand.piece_set.lengths), default=0)
    if kit.longest_piece_nm is not None and longest_nm > kit.longest_piece_nm:
        yield (
            f"Kit {sku} for {_name(demand)}: a piece of {longest_nm} nm, "
            f"expected {kit.longest_piece_nm} nm at most."
        )


def _name(demand: SetDemand) -> str:
    return f"{demand.piece_set.material} for {demand.marks[0][0] if demand.marks else 'no mark'}"
