"""Changing an accepted order: what is kept, what is bought beside, and accepting the change.

A change is worked out against what is held. Until it is accepted, the order stands as it was.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from optimiser.domain.deliveries import OpenPurchase, Receipt
from optimiser.domain.difference import DifferenceAccount
from optimiser.domain.faults import FulfilmentRejected, RackRejected
from optimiser.domain.order_states import OrderAction
from optimiser.fulfilment import (
    difference_order,
    hold_goods,
    open_purchase,
    retake,
    settle_difference,
)
from service.jobs.rebuilding import Planned
from service.jobs.settled import write_settled
from service.json_text import read_json, write_json
from service.mapping.kept_racks import read_kept_rack
from service.mapping.orders_in import invalid_content
from service.mapping.reading import read_request
from service.orders.account import (
    Account,
    Stage,
    as_it_reserves,
    holdings_before_last,
    paid_so_far,
    read_account,
    write_account,
)
from service.orders.change import ChangeInWaiting, read_change, write_change
from service.orders.effects import Done, put_rack, rack_changed, write_effect
from service.orders.keeping import Step, after_action, change_order, rack_of
from service.orders.returns import narrow_terms, terms_of
from service.problems import NOT_FOUND, Problem
from service.queue.queue import JobQueue
from service.resource_problems import NOT_ALLOWED_NOW
from service.settings import Settings
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.use_cases import take_off_settled
from service.wire import limits
from service.wire.order import Order as WireOrder
from service.wire.webhooks import WebhookEvent


def work_out_change(
    order: StoredRow,
    openings: list[dict[str, Any]],
    plans: Sequence[Planned],
    rack: StoredRow | None,
    settings: Settings,
) -> ChangeInWaiting:
    """Return what an accepted order is to become, and what that keeps and needs.

    `openings` are all openings that it is to have, as they were sent; `rack` is its rack now.

    Raises:
        Problem: the openings are wrong, or cannot stand beside what is held; every fault.
    """
    request = write_json({**read_json(plans[0].request), "openings": openings}).encode()
    try:
        stated = read_request(
            request, WireOrder, longest_time_limit_seconds=settings.longest_time_limit_seconds
        )
        take_off_settled(stated, request, buys=True)
    except Problem as problem:
        raise invalid_content(problem.faults) from None
    account, last = account_of(order), plans[-1]
    try:
        difference = difference_order(
            last.order,
            as_it_reserves(account, last.plan),
            stated.order.openings,
            purchase=account.last.purchase,
            cut=account.last.cut,
            rack=None if rack is None else read_kept_rack(rack.body),
            before=holdings_before_last(account, plans),
            rule_sets=last.rule_sets,
            most_offcuts=limits.OFFCUTS,
        )
    except FulfilmentRejected as rejected:
        raise invalid_content(rejected.faults) from None
    return ChangeInWaiting(
        body=write_json({**read_json(order.body.encode()), "openings": openings}),
        request=request.decode(),
        difference=difference,
    )


def may_change(order: StoredRow) -> None:
    """Let only an order pass that may be changed.

    Raises:
        Problem: its state does not allow it.
    """
    after_action(order, OrderAction.CHANGE)


async def keep_change(
    transaction: Transaction,
    actor: Actor,
    jobs: JobQueue,
    order: StoredRow,
    change: ChangeInWaiting,
) -> StoredRow:
    """Keep a change of an order that is locked, and queue the planning of what it needs.

    Raises:
        Problem: the state does not allow it.
        ChangedMeanwhile: the order was changed since it was read.
    """
    may_change(order)
    needed = change.difference.order
    if needed is not None:
        job_id = await jobs.add(
            transaction,
            actor,
            order_id=order.id,
            openings=sum(opening.quantity for opening in needed.openings),
            request=write_settled(needed, change.request.encode()),
        )
        change = replace(change, job_id=job_id)
    step = Step(
        action="change-asked",
        values={"pending_change": write_change(change)},
        told={"job_id": change.job_id},
    )
    return await change_order(transaction, actor, order, step)


async def drop_change(transaction: Transaction, actor: Actor, order: StoredRow) -> StoredRow:
    """Drop the change of an order that is locked; the order stands as it was."""
    step = Step(action="change-dropped", values={"pending_change": None})
    return await change_order(transaction, actor, order, step)


def settle_change(
    order: StoredRow,
    change: ChangeInWaiting,
    plans: Sequence[Planned],
    additional: Planned | None,
) -> DifferenceAccount:
    """Return what a change comes to; `additional` is the plan of what is bought beside."""
    account, last = account_of(order), plans[-1]
    return settle_difference(
        last.order,
        last.plan,
        account.last.purchase,
        change.difference,
        None if additional is None else additional.plan,
        terms=narrow_terms(terms_of(order), account.last.purchase),
        accepted=paid_so_far(account, plans),
    )


def require_ready(change: ChangeInWaiting) -> None:
    """Let only a change pass that can be accepted.

    Raises:
        Problem: what is bought beside is not planned yet.
    """
    if not change.ready:
        raise Problem(
            NOT_ALLOWED_NOW,
            f"The change is not planned yet; follow its job, /v1/jobs/{change.job_id}, or ask for "
            "the change again where the job has failed.",
        )


async def accept_change(
    transaction: Transaction,
    actor: Actor,
    order: StoredRow,
    plans: Sequence[Planned],
    additional: Planned | None,
) -> Done:
    """Accept the change of an order that is locked.

    Raises:
        Problem: the state does not allow it, what is held or the rack has changed since.
    """
    change = change_of(order)
    require_ready(change)
    account = account_of(order)
    _require_same_holdings(account, plans, change)
    beside = OpenPurchase(lines=()) if additional is None else open_purchase(additional.plan)
    buys = beside.state is not Receipt.WHOLLY
    action = OrderAction.CHANGE_AND_BUY if buys else OrderAction.CHANGE
    state = after_action(order, action)
    rack_change = None
    kept = await rack_of(transaction, actor.tenant, order, lock=True)
    if kept is not None:
        plan = None if additional is None else additional.plan
        try:
            rack = retake(read_kept_rack(kept.body), change.difference, plan)
        except RackRejected as rejected:
            raise rack_changed(rejected) from None
        rack_change = await put_rack(transaction, actor, kept, rack, "rack-changed-by-order")
    step = Step(
        action="changed",
        values={
            "state": state.value,
            "body": change.body,
            "account": write_account(_with_change(account, change, beside)),
            "pending_change": None,
            **({"plan_id": change.plan_id} if change.plan_id else {}),
        },
        event=WebhookEvent.ORDER_CHANGED,
    )
    after = await change_order(transaction, actor, order, step)
    return write_effect(action, order, after, rack=rack_change)


def account_of(order: StoredRow) -> Account:
    """Return the account of an order of which a plan is accepted."""
    assert order.account is not None
    return read_account(order.account)


def change_of(order: StoredRow) -> ChangeInWaiting:
    """Return the change of an order that waits to be accepted.

    Raises:
        Problem: there is none.
    """
    if order.pending_change is None:
        raise Problem(NOT_FOUND, "No change of this order waits to be accepted.")
    return read_change(order.pending_change)


def _with_change(account: Account, change: ChangeInWaiting, beside: OpenPurchase) -> Account:
    if change.difference.unchanged:
        return account
    changed = replace(account, changed_request=change.request, kept=change.difference.kept)
    if change.plan_id is None:
        return replace(changed, reserves=False)
    stage = Stage(plan_id=change.plan_id, purchase=beside)
    return replace(changed, stages=(*account.stages, stage), reserves=True)


def _require_same_holdings(
    account: Account, plans: Sequence[Planned], change: ChangeInWaiting
) -> None:
    last = plans[-1]
    held = hold_goods(
        last.order,
        as_it_reserves(account, last.plan),
        account.last.purchase,
        account.last.cut,
        before=holdings_before_last(account, plans),
    )
    if held != change.difference.holdings:
        raise Problem(
            NOT_ALLOWED_NOW,
            "What is held for the order has changed since the change was worked out: something "
            "was cut or went back. Ask for the change again.",
        )
