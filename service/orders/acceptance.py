"""Accepting the plan of an order, withdrawing the order, and closing it: with what it holds."""

import re
from dataclasses import replace

from optimiser.domain.deliveries import Receipt
from optimiser.domain.faults import RackRejected
from optimiser.domain.order_states import TRANSITIONS, OrderAction, OrderState
from optimiser.domain.rack import Rack
from optimiser.fulfilment import give_back, leave, open_purchase, put_on, take
from service.jobs.rebuilding import Planned
from service.mapping.kept_racks import read_kept_rack
from service.orders.account import Account, Stage, plan_from_rack, read_account, write_account
from service.orders.effects import Done, put_rack, rack_changed, write_effect
from service.orders.keeping import Step, after_action, change_order, rack_of
from service.problems import Problem
from service.resource_problems import NOT_ALLOWED_NOW
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.wire.webhooks import WebhookEvent

_UNFIT = re.compile(r"[^A-Za-z0-9 ._/+#-]")
SKU_CHARACTERS = 64


async def accept(
    transaction: Transaction, actor: Actor, order: StoredRow, plan_id: str, planned: Planned
) -> Done:
    """Accept the plan of an order that is locked; what it takes from the rack is taken.

    Raises:
        Problem: the state does not allow it, the plan is not the order's, or the rack no longer
            holds what the plan takes.
    """
    state = after_action(order, OrderAction.ACCEPT)
    require_plan(order, plan_id)
    change = None
    kept = await rack_of(transaction, actor.tenant, order, lock=True)
    if kept is not None:
        try:
            rack = take(read_kept_rack(kept.body), planned.plan)
        except RackRejected as rejected:
            raise rack_changed(rejected) from None
        change = await put_rack(transaction, actor, kept, rack, "rack-taken-from")
    purchase = open_purchase(planned.plan)
    account = Account(stages=(Stage(plan_id=plan_id, purchase=purchase),))
    if account.receipt is Receipt.WHOLLY:
        # Nothing is bought, so that nothing has to arrive.
        state = TRANSITIONS[state][OrderAction.RECEIVE_REST]
    step = Step(
        action="accepted",
        values={
            "state": state.value,
            "accepted_plan_id": plan_id,
            "account": write_account(account),
            "asked": None,
        },
        event=WebhookEvent.ORDER_ACCEPTED,
    )
    after = await change_order(transaction, actor, order, step)
    return write_effect(OrderAction.ACCEPT, order, after, rack=change)


def require_plan(order: StoredRow, plan_id: str) -> None:
    """Let only the plan pass that stands for the order now.

    Raises:
        Problem: it is another one.
    """
    if order.plan_id != plan_id:
        raise Problem(
            NOT_ALLOWED_NOW,
            f"The plan {plan_id[:64]!r} is not the one that stands for the order, which is "
            f"{order.plan_id!r}; read the order again, and accept its plan.",
        )


async def withdraw(
    transaction: Transaction,
    actor: Actor,
    order: StoredRow,
    remark: str,
    plans: tuple[Planned, ...],
) -> Done:
    """Withdraw an order that is locked; what its plans took from the rack is back.

    Raises:
        Problem: the state does not allow it, or bars are cut already.
    """
    state = after_action(order, OrderAction.WITHDRAW)
    change = None
    if order.account is not None:
        account = read_account(order.account)
        if any(stage.cut for stage in account.stages):
            raise Problem(
                NOT_ALLOWED_NOW,
                "Bars of the order are cut already, so that it cannot be withdrawn; receive what "
                "has arrived, return what may go back, and close the order.",
            )
        kept = await rack_of(transaction, actor.tenant, order, lock=True)
        if kept is not None:
            try:
                rack = give_back(read_kept_rack(kept.body), plan_from_rack(account, plans))
            except RackRejected as rejected:
                raise rack_changed(rejected) from None
            change = await put_rack(transaction, actor, kept, rack, "rack-given-back")
    step = Step(
        action="withdrawn",
        values={"state": state.value, "asked": None, "pending_change": None},
        event=WebhookEvent.ORDER_WITHDRAWN,
        told={"remark": remark},
    )
    after = await change_order(transaction, actor, order, step)
    return write_effect(OrderAction.WITHDRAW, order, after, rack=change)


async def close(
    transaction: Transaction,
    actor: Actor,
    order: StoredRow,
    plans: tuple[Planned, ...],
    *,
    leave_on_rack: bool,
    remark: str,
) -> Done:
    """Close an order that is locked; what is left of it goes on its rack, where it is to.

    Raises:
        Problem: the state does not allow it, or the rack holds something else by a name.
    """
    state = after_action(order, OrderAction.CLOSE)
    change = None
    kept = await rack_of(transaction, actor.tenant, order, lock=True)
    if kept is not None and leave_on_rack:
        try:
            rack = put_on(read_kept_rack(kept.body), _left_by(order, plans))
        except RackRejected as rejected:
            raise rack_changed(rejected) from None
        change = await put_rack(transaction, actor, kept, rack, "rack-added-to")
    step = Step(
        action="closed",
        values={"state": state.value, "asked": None, "pending_change": None},
        event=WebhookEvent.ORDER_CLOSED,
        told={"remark": remark},
    )
    after = await change_order(transaction, actor, order, step)
    return write_effect(OrderAction.CLOSE, order, after, rack=change)


def _left_by(order: StoredRow, plans: tuple[Planned, ...]) -> Rack:
    """Return what the last plan leaves: of all its bars, or of those that are cut."""
    assert order.account is not None
    account = read_account(order.account)
    whole = order.state == OrderState.WHOLLY_RECEIVED
    left = leave(plans[-1].plan, name_on_rack(order), None if whole else account.last.cut)
    # Goods that a change found bought have names that no article may have.
    named = (replace(o, id=_UNFIT.sub("", o.id)[:SKU_CHARACTERS].rstrip()) for o in left.offcuts)
    return replace(left, offcuts=tuple(named))


def name_on_rack(order: StoredRow) -> str:
    """Return how the ids of offcuts begin that an order leaves on the rack."""
    return f"order {order.id[:8]}"
