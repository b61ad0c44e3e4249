"""Turn a decision into the plan's tables: purchases, supply by mark, cut list, patterns."""

from collections import defaultdict
from dataclasses import replace
from decimal import Decimal

from optimiser.domain.decision import Aim, Decision, Solution
from optimiser.domain.kit_offer import quote_kit
from optimiser.domain.order import Order
from optimiser.domain.plan import FastenerSupply, Plan
from optimiser.domain.takeoff import FastenerPool, Takeoff, pool_of
from optimiser.planning.account import Tables, draw_account
from optimiser.planning.cut_lists import plan_openings
from optimiser.planning.patterns import (
    fill_next_rack,
    leave_fasteners,
    name_patterns,
    use_fasteners,
    use_offcuts,
)
from optimiser.planning.purchases import bought_kits, list_purchases, list_shipments


def assemble_plan(order: Order, takeoff: Takeoff, solution: Solution) -> Plan:
    """Return the plan of a solution, without alternatives, reasons, notices and cautions."""
    decision = solution.decision
    purchases = list_purchases(order, takeoff, decision)
    shipments = list_shipments(order, purchases)
    patterns = name_patterns(order, decision)
    offcuts = use_offcuts(order, decision)
    account = draw_account(
        order, takeoff, decision, Tables(purchases, shipments, patterns, offcuts)
    )
    return Plan(
        reference=order.reference,
        supplier=order.catalogue.supplier,
        currency=order.catalogue.currency,
        unit=order.unit,
        purchases=purchases,
        openings=plan_openings(order, takeoff, decision, patterns),
        patterns=patterns,
        fasteners=_supply_fasteners(order, takeoff, decision),
        account=account,
        total=sum((line.amount for line in account), Decimal(0)),
        certificate=solution.certificate,
        decision=decision,
        alternatives=(),
        reasons=(),
        notices=(),
        cautions=(),
        payable=sum((shipment.total for shipment in shipments), Decimal(0)),
        shipments=shipments,
        offcuts_used=offcuts,
        fasteners_used=use_fasteners(order, decision),
        next_rack=fill_next_rack(order, decision, patterns),
        next_fasteners=leave_fasteners(order, decision),
    )


def settle_cost(solution: Solution, total: Decimal) -> Solution:
    """Return a solution with the cost that its decision really comes to.

    A point that was found under way may pay for more than its decision asks for, such as the
    freight of a tier above the one that is reached. The bound holds for every plan and stays.
    A total above the cost is a defect, and is left for the check to find.
    """
    certificate = solution.certificate
    if total >= certificate.cost:
        return solution
    aims = tuple(
        replace(proof, proved=certificate.lower_bound == total) if proof.aim is Aim.COST else proof
        for proof in certificate.aims
    )
    return replace(solution, certificate=replace(certificate, cost=total, aims=aims))


def _supply_fasteners(
    order: Order, takeoff: Takeoff, decision: Decision
) -> tuple[FastenerSupply, ...]:
    catalogue = order.catalogue
    match = order.policy.fasteners_match_finish
    kits: dict[FastenerPool, dict[tuple[str, int], int]] = defaultdict(lambda: defaultdict(int))
    kit_by_sku = {kit.sku: kit for kit in catalogue.kits}
    for sku, set_demand, quantity in bought_kits(takeoff, decision):
        kit = kit_by_sku[sku]
        if kit.fasteners is None:
            continue
        each = quote_kit(kit, set_demand.piece_set, catalogue.currency).fasteners_low
        pool = pool_of(kit.fasteners.fastener, kit.material.finish, order.policy)
        kits[pool][sku, each] += quantity
    held = {kit.sku: kit for kit in catalogue.standard_kits}
    for sku, quantity in decision.standard_kits:
        fasteners = held[sku].fasteners
        if fasteners is not None:
            pool = pool_of(fasteners.fastener, held[sku].material.finish, order.policy)
            each = fasteners.packs * fasteners.contents.low_count
            kits[pool][sku, each] += quantity
    on_hand: dict[FastenerPool, int] = defaultdict(int)
    for fastener, of_finish, count in decision.fasteners_on_hand:
        on_hand[pool_of(fastener, of_finish, order.policy)] += count
    bought = dict(decision.packs)
    return tuple(
        FastenerSupply(
            pool=need.pool,
            need=need,
            kits=tuple((sku, n, each) for (sku, each), n in sorted(kits[need.pool].items())),
            packs=tuple(
                (pack.sku, bought[pack.sku], pack.contents.low_count)
                for pack in sorted(catalogue.fastener_packs, key=lambda p: p.sku)
                if pack.sku in bought
                and pack.fastener == need.pool.fastener
                and (not match or pack.finish == need.pool.finish)
            ),
            on_hand=on_hand[need.pool],
        )
        for need in takeoff.demand.fasteners
    )
