"""Planning an order that is kept: a job is queued for it, and its plan is attached to it."""

from dataclasses import replace

from optimiser.domain.order_states import OrderAction, OrderState
from service.orders.change import read_change, write_change
from service.orders.keeping import Step, after_action, change_order
from service.queue.queue import JobQueue
from service.store import rows
from service.store.audit import Actor
from service.store.jobs import Claimed
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import ORDERS
from service.wire.webhooks import WebhookEvent


async def queue_planning(
    transaction: Transaction,
    actor: Actor,
    jobs: JobQueue,
    order: StoredRow,
    *,
    request: bytes,
    openings: int,
) -> str:
    """Queue the planning of an order that is locked; return the identifier of the job.

    Raises:
        Problem: the order's state does not allow it.
        ChangedMeanwhile: it was changed since it was read.
    """
    after_action(order, OrderAction.PLAN)
    job_id = await jobs.add(
        transaction, actor, order_id=order.id, openings=openings, request=request.decode()
    )
    step = Step(action="planning-asked", values={"asked": job_id}, told={"job_id": job_id})
    await change_order(transaction, actor, order, step)
    return job_id


async def attach_plan(transaction: Transaction, actor: Actor, mine: Claimed, plan_id: str) -> None:
    """Attach the plan of a job to the order that waits for it.

    An order that was edited, withdrawn or asked to be planned again waits for it no longer: the
    plan is kept, and nothing else happens.
    """
    assert mine.order_id is not None
    order = await rows.find(transaction, ORDERS, actor.tenant, lock=True, id=mine.order_id)
    if order is None:
        return
    if order.asked == mine.job_id and order.state in {OrderState.DRAFT, OrderState.PLANNED}:
        state = after_action(order, OrderAction.PLAN)
        step = Step(
            action="planned",
            values={"state": state.value, "plan_id": plan_id},
            event=WebhookEvent.ORDER_PLANNED,
        )
        await change_order(transaction, actor, order, step)
    elif order.pending_change is not None:
        change = read_change(order.pending_change)
        if change.job_id != mine.job_id:
            return
        kept = write_change(replace(change, plan_id=plan_id))
        step = Step(
            action="change-planned",
            values={"pending_change": kept},
            event=WebhookEvent.ORDER_PLANNED,
            told={"plan_of_change": plan_id},
        )
        await change_order(transaction, actor, order, step)
