"""Goods of an accepted order: received, cut, and given back."""

import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from optimiser.domain.deliveries import CutBars, OpenLine, Receipt, Units
from optimiser.domain.faults import CutRejected, DeliveryRejected, Fault
from optimiser.domain.order_states import OrderAction, OrderState
from optimiser.fulfilment import count_cut, receive
from service.jobs.rebuilding import Planned
from service.mapping.orders_in import invalid_content, to_cut, to_units
from service.orders.account import (
    Account,
    opened_units,
    read_account,
    share_out,
    write_account,
)
from service.orders.effects import Done, write_effect
from service.orders.keeping import Step, add_movement, after_action, change_order
from service.problems import Problem
from service.resource_problems import NOT_ALLOWED_NOW
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.wire import orders as wire
from service.wire.webhooks import WebhookEvent

MAY_CUT = frozenset({OrderState.ACCEPTED, OrderState.PARTLY_RECEIVED, OrderState.WHOLLY_RECEIVED})


async def receive_delivery(
    transaction: Transaction, actor: Actor, order: StoredRow, delivery: wire.Delivery
) -> Done:
    """Receive what has arrived for an order that is locked.

    Raises:
        Problem: the state does not allow it, or more has arrived than is open; every fault.
    """
    account = account_for(order, OrderAction.RECEIVE_PART)
    units = to_units(delivery.lines)
    try:
        receive(account.purchase, units)
    except DeliveryRejected as rejected:
        raise invalid_content(rejected.faults) from None
    shares = share_out(account, units, lambda _, line: line.open)
    stages = tuple(
        replace(stage, purchase=receive(stage.purchase, share))
        for stage, share in zip(account.stages, shares, strict=True)
    )
    account = replace(account, stages=stages)
    whole = account.receipt is Receipt.WHOLLY
    action = OrderAction.RECEIVE_REST if whole else OrderAction.RECEIVE_PART
    step = Step(
        action="received",
        values={
            "state": after_action(order, action).value,
            "account": write_account(account),
        },
        event=WebhookEvent.ORDER_RECEIVED,
        told={"lines": as_sent(delivery)["lines"]},
    )
    after = await change_order(transaction, actor, order, step)
    await add_movement(transaction, actor, order, "delivery", json.dumps(as_sent(delivery)))
    return write_effect(action, order, after)


def may_cut(order: StoredRow) -> None:
    """Let only an order pass of which bars may be cut.

    Raises:
        Problem: its state does not allow it.
    """
    if order.state not in MAY_CUT:
        allowed = ", ".join(sorted(MAY_CUT))
        raise Problem(
            NOT_ALLOWED_NOW,
            f"Nothing of an order that is {order.state} is cut, only of one that is {allowed}.",
        )


async def cut_bars(
    transaction: Transaction,
    actor: Actor,
    order: StoredRow,
    cutting: wire.Cutting,
    plans: tuple[Planned, ...],
) -> Done:
    """Note that bars of an order that is locked are cut, by patterns of its last plan.

    Raises:
        Problem: nothing is accepted, a pattern is not the plan's, or more bars are cut than the
            plan cuts or than have arrived; every fault is named.
    """
    may_cut(order)
    account = read_account(order.account)
    cut = to_cut(cutting.cut)
    try:
        counted = count_cut(plans[-1].plan, (*account.last.cut, *cut))
    except CutRejected as rejected:
        # What was cut before stands in front, and is sound.
        known = len(account.last.cut)
        raise invalid_content(_less(rejected.faults, known)) from None
    total = tuple(CutBars(pattern=sheet.name, bars=bars) for sheet, bars in counted)
    last = replace(account.last, cut=total)
    account = replace(account, stages=(*account.stages[:-1], last))
    faults = list(_find_uncut(account, plans))
    if faults:
        raise invalid_content(faults)
    sent = as_sent(cutting)
    step = Step(action="cut", values={"account": write_account(account)}, told={"cut": sent["cut"]})
    after = await change_order(transaction, actor, order, step)
    await add_movement(transaction, actor, order, "cutting", json.dumps(sent))
    return write_effect("cut", order, after)


def account_for(order: StoredRow, action: OrderAction) -> Account:
    """Return the account of an order whose state allows an action.

    Raises:
        Problem: it does not.
    """
    after_action(order, action)
    assert order.account is not None
    return read_account(order.account)


def _find_uncut(account: Account, plans: tuple[Planned, ...]) -> Iterator[Fault]:
    """Yield a fault for each line of which more is cut than has arrived."""
    for stage, opened in zip(account.stages, opened_units(account, plans), strict=True):
        there = {line_name(line): line.received - line.returned for line in stage.purchase.lines}
        for units in opened:
            arrived = there.get(name_of(units), 0)
            if units.quantity > arrived:
                yield Fault(
                    ("cut",),
                    "more-cut-than-there",
                    f"{units.sku}: {units.quantity:,} are cut, and {arrived:,} are there; receive "
                    "what has arrived first.",
                )


def _less(faults: tuple[Fault, ...], known: int) -> Iterator[Fault]:
    for fault in faults:
        root, position, *rest = fault.path
        assert isinstance(position, int)
        yield Fault((root, max(position - known, 0), *rest), fault.code, fault.message)


def name_of(units: Units) -> tuple[str, str]:
    """Return supplier and SKU of units."""
    return units.supplier, units.sku


def line_name(line: OpenLine) -> tuple[str, str]:
    """Return supplier and SKU of a line."""
    return line.supplier, line.sku


def as_sent(stated: wire.Delivery | wire.Cutting | wire.Return) -> dict[str, Any]:
    """Return what was stated, to keep."""
    return stated.model_dump(mode="json", exclude_unset=True)
