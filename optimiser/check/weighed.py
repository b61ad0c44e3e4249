"""What the account holds beside purchases: freight, charges, rack, credits, preferences."""

from fractions import Fraction

from optimiser.domain.account import AccountKind
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.takeoff import Takeoff


def amounts_by_kind(order: Order, takeoff: Takeoff, plan: Plan) -> dict[AccountKind, Fraction]:
    """Return what each kind of the account comes to, from the tables of the plan."""
    amounts = dict.fromkeys(AccountKind, Fraction(0))
    for line in plan.purchases:
        amounts[AccountKind(line.kind)] += line.quantity * Fraction(line.unit_price)
    for shipment in plan.shipments:
        amounts[AccountKind.FREIGHT] += Fraction(shipment.charge)
        for _, extra in shipment.over_length:
            amounts[AccountKind.OVER_LENGTH] += Fraction(extra)
    for sheet in plan.patterns:
        pieces = sum(count for _, count in sheet.cuts) * sheet.bars
        amounts[AccountKind.CUT_CHARGE] += pieces * Fraction(order.policy.cut_charge)
    for splice in plan.decision.splices:
        for rule in order.policy.splices:
            if rule.product == splice.material.product:
                amounts[AccountKind.SPLICE] += splice.pieces * Fraction(rule.cost)
    for used in plan.offcuts_used:
        amounts[AccountKind.RACK] += used.used * Fraction(used.value)
    for held in order.rack.fasteners:
        for fastener, finish, count in plan.decision.fasteners_on_hand:
            if (fastener, finish) == (held.fastener, held.finish):
                amounts[AccountKind.RACK] += count * Fraction(held.value)
    for kept in plan.next_rack:
        amounts[AccountKind.DROP_CREDIT] -= kept.quantity * Fraction(kept.credit)
    amounts[AccountKind.PREFERENCE] = _preferences(order, takeoff, plan)
    return amounts


def _preferences(order: Order, takeoff: Takeoff, plan: Plan) -> Fraction:
    made_of = {kit.sku: kit.material for kit in order.catalogue.kits}
    for standard in order.catalogue.standard_kits:
        made_of[standard.sku] = standard.material
    total = Fraction(0)
    for demand, decided in zip(takeoff.demand.sets, plan.decision.supplies, strict=False):
        for rule in order.policy.substitutions:
            if rule.wanted != demand.piece_set.material:
                continue
            served = sum(n for material, n in decided.cut_instead if material == rule.instead)
            for sku, number in (*decided.kits, *decided.standard_kits):
                if made_of.get(sku) == rule.instead:
                    served += number
            total += served * Fraction(rule.preference)
    return total
