"""Every opening is supplied exactly once per material, by offers that fit and are allowed."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from optimiser.domain.catalogue import Kit, Material, StandardKit
from optimiser.domain.decision import Supply
from optimiser.domain.order import Order
from optimiser.domain.plan import OpeningPlan, Plan, SetSupply
from optimiser.domain.takeoff import SetDemand, Takeoff

CUT = "cut"


def _services(supply: SetSupply | Supply) -> Iterator[tuple[str, int]]:
    """Yield each way in which openings are served, by name, with their number."""
    yield from ((f"kit {sku}", number) for sku, number in supply.kits)
    yield from ((f"standard kit {sku}", number) for sku, number in supply.standard_kits)
    yield from ((f"cutting {material}", number) for material, number in supply.cut_instead)
    yield CUT, supply.cut


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
        for name, number in _services(supply):
            if number < 0:
                yield f"Supply of {supply.material} to {mark}: {name} {number}, expected 0 or more."
        supplied[supply.material] += sum(number for _, number in _services(supply))
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
            for name, number in _services(supply):
                shared[name] += number
    for demand, decided in zip(takeoff.demand.sets, plan.decision.supplies, strict=True):
        shared = Counter()
        for mark, _ in demand.marks:
            shared.update(by_mark[mark, demand.piece_set.material])
        expected: Counter[str] = Counter()
        for name, number in _services(decided):
            expected[name] += number
        for name in sorted({*shared, *expected}):
            if shared[name] != expected[name]:
                yield (
                    f"Supply of {_name(demand)} by {'cutting' if name == CUT else name}: "
                    f"{shared[name]} openings over its marks, expected {expected[name]} as decided."
                )


def _check_decision(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    """Yield the piece sets that the decision serves wrongly."""
    kits = {kit.sku: kit for kit in order.catalogue.kits}
    for demand, decided in zip(takeoff.demand.sets, plan.decision.supplies, strict=False):
        served = sum(number for _, number in _services(decided))
        if served != demand.quantity:
            yield f"Decision on {_name(demand)}: {served} served, expected {demand.quantity}."
        if any(number < 0 for _, number in _services(decided)):
            yield f"Decision on {_name(demand)}: a number below 0, expected 0 or more."
        cut = decided.cut + sum(number for _, number in decided.cut_instead)
        if cut and not order.policy.allow_cutting:
            yield (
                f"Decision on {_name(demand)}: {cut} cut, expected 0, since cutting is not allowed."
            )
        for sku, number in decided.kits:
            if number:
                yield from _check_kit(order, demand, sku, number, kits.get(sku))
        for material, number in decided.cut_instead:
            if number and material not in _stand_ins(order, demand):
                yield (
                    f"Decision on {_name(demand)}: {number} cut from {material}, expected 0, "
                    "since it may not stand in."
                )
    yield from _check_standard_kits(order, takeoff, plan)


def _stand_ins(order: Order, demand: SetDemand) -> set[Material]:
    wanted = demand.piece_set.material
    return {rule.instead for rule in order.policy.substitutions if rule.wanted == wanted}


def _check_standard_kits(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    offered = {kit.sku: kit for kit in order.catalogue.standard_kits}
    used: Counter[str] = Counter()
    for demand, decided in zip(takeoff.demand.sets, plan.decision.supplies, strict=False):
        for sku, number in decided.standard_kits:
            used[sku] += number
            kit = offered.get(sku)
            if kit is None:
                yield f"Standard kit {sku} for {_name(demand)}: not in the catalogue."
                continue
            if number and not order.policy.allow_kits:
                yield (
                    f"Standard kit {sku} for {_name(demand)}: {number} used, expected 0, "
                    "since kits are not allowed."
                )
            if kit.material not in {demand.piece_set.material, *_stand_ins(order, demand)}:
                yield f"Standard kit {sku} for {_name(demand)}: it is of {kit.material}."
            if not _can_be_trimmed(kit, demand):
                yield f"Standard kit {sku} for {_name(demand)}: its lengths do not give the pieces."
    bought = Counter(dict(plan.decision.standard_kits))
    for sku, number in sorted(used.items()):
        if number > bought[sku]:
            yield f"Standard kit {sku}: {number} used, expected {bought[sku]} at most, as bought."


def _can_be_trimmed(kit: StandardKit, demand: SetDemand) -> bool:
    """Return whether, for every length, the kit holds as many at least as long as are needed."""
    return all(
        sum(count for held_nm, count in kit.lengths if held_nm >= length_nm)
        >= sum(count for needed_nm, count in demand.piece_set.lengths if needed_nm >= length_nm)
        for length_nm, _ in demand.piece_set.lengths
    )


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
    if kit.material not in {demand.piece_set.material, *_stand_ins(order, demand)}:
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
