"""What one thing that is done to an order does to it, to its rack, and to what is open."""

from dataclasses import dataclass
from typing import Literal

from optimiser.domain.deliveries import OpenPurchase
from optimiser.domain.faults import Fault, RackRejected
from optimiser.domain.order_states import OrderAction
from optimiser.domain.rack import Rack
from optimiser.domain.returns import ReturnCredit
from service.mapping.kept_racks import read_kept_rack, write_kept_rack
from service.mapping.order_effects_out import (
    write_line_changes,
    write_rack_change,
    write_return_credit,
)
from service.orders.account import read_account
from service.orders.racks import change_rack
from service.problems import Problem, count_faults
from service.resource_problems import RACK_CHANGED
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.wire.order_effects import OrderEffect, RackChange

NOTHING = OpenPurchase(lines=())


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """An order after something was done to it, and what that did."""

    row: StoredRow
    effect: OrderEffect


def write_effect(
    action: OrderAction | Literal["cut"],
    before: StoredRow,
    after: StoredRow,
    *,
    rack: RackChange | None = None,
    credit: ReturnCredit | None = None,
) -> Done:
    """Return what was done to an order."""
    effect = OrderEffect(
        order_id=after.id,
        action=action,
        state_before=before.state,
        state_after=after.state,
        rack=rack,
        lines=write_line_changes(purchase_of(before), purchase_of(after)),
        credit=None if credit is None else write_return_credit(credit),
    )
    return Done(row=after, effect=effect)


def purchase_of(order: StoredRow) -> OpenPurchase:
    """Return all that is bought for an order; nothing before a plan is accepted."""
    return NOTHING if order.account is None else read_account(order.account).purchase


async def put_rack(
    transaction: Transaction, actor: Actor, kept: StoredRow, rack: Rack, action: str
) -> RackChange:
    """Keep a rack, locked before, as it is after a change; return what changed.

    Raises:
        ChangedMeanwhile: it was changed since it was read.
    """
    before = read_kept_rack(kept.body)
    if rack != before:
        await change_rack(transaction, actor, kept, write_kept_rack(rack, kept.body), action)
    return write_rack_change(kept.name, before, rack)


def rack_changed(rejected: RackRejected) -> Problem:
    """Return the problem of a rack that does not hold what an order takes or gives back."""
    faults = tuple(Fault(("rack", *f.path), f.code, f.message) for f in rejected.faults)
    return Problem(RACK_CHANGED, count_faults(faults), faults=faults)
