"""The account of a plan: what is paid, and what is weighed beside it, kind by kind."""

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.account import AccountKind, AccountLine
from optimiser.domain.decision import Decision
from optimiser.domain.order import Order
from optimiser.domain.plan import PatternSheet, PurchaseLine, UsedOffcut
from optimiser.domain.shipment import Shipment
from optimiser.domain.standing_in import count_stand_ins
from optimiser.domain.takeoff import Takeoff
from optimiser.planning.patterns import fill_next_rack

ALWAYS_SHOWN = (AccountKind.STOCK_LENGTH, AccountKind.KIT, AccountKind.FASTENER_PACK)


@dataclass(frozen=True, slots=True)
class Tables:
    """The tables of a plan that cost anything."""

    purchases: tuple[PurchaseLine, ...]
    shipments: tuple[Shipment, ...]
    patterns: tuple[PatternSheet, ...]
    offcuts: tuple[UsedOffcut, ...]


def draw_account(
    order: Order, takeoff: Takeoff, decision: Decision, tables: Tables
) -> tuple[AccountLine, ...]:
    """Return a line for each kind that costs or credits anything, or that is bought for nothing.

    See `AccountKind`.
    """
    amounts: dict[AccountKind, Decimal] = defaultdict(Decimal)
    for line in tables.purchases:
        amounts[AccountKind(line.kind)] += line.amount
    for shipment in tables.shipments:
        amounts[AccountKind.FREIGHT] += shipment.charge
        amounts[AccountKind.OVER_LENGTH] += sum(
            (paid for _, paid in shipment.over_length), Decimal(0)
        )
    pieces = sum(sheet.bars * count for sheet in tables.patterns for _, count in sheet.cuts)
    amounts[AccountKind.CUT_CHARGE] += pieces * order.policy.cut_charge
    costs = {rule.product: rule.cost for rule in order.policy.splices}
    for splice in decision.splices:
        amounts[AccountKind.SPLICE] += splice.pieces * costs[splice.material.product]
    for offcut in tables.offcuts:
        amounts[AccountKind.RACK] += offcut.used * offcut.value
    values = {(f.fastener, f.finish): f.value for f in order.rack.fasteners}
    for fastener, finish, count in decision.fasteners_on_hand:
        amounts[AccountKind.RACK] += count * values[fastener, finish]
    for kept in fill_next_rack(order, decision, tables.patterns):
        amounts[AccountKind.DROP_CREDIT] -= kept.quantity * kept.credit
    amounts[AccountKind.PREFERENCE] += _weigh_substitutions(order, takeoff, decision)
    shown = {*ALWAYS_SHOWN, *(AccountKind(line.kind) for line in tables.purchases)}
    return tuple(
        AccountLine(kind=kind, amount=amounts[kind])
        for kind in AccountKind
        if kind in shown or amounts[kind]
    )


def _weigh_substitutions(order: Order, takeoff: Takeoff, decision: Decision) -> Decimal:
    preference = {
        (rule.wanted, rule.instead): rule.preference for rule in order.policy.substitutions
    }
    return sum(
        (
            openings * preference[demand.piece_set.material, material]
            for demand, material, openings in count_stand_ins(order, takeoff, decision)
        ),
        Decimal(0),
    )
