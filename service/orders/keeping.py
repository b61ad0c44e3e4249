"""Orders in the store: added, found, and changed with their audit entry and their message."""

from dataclasses import dataclass
from typing import Any

from optimiser.domain.faults import ActionRefused
from optimiser.domain.order_states import OrderAction, OrderState
from optimiser.fulfilment import change as next_state
from service.problems import NOT_FOUND, Problem
from service.resource_problems import NOT_ALLOWED_NOW
from service.store import rows
from service.store.audit import Actor, record
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import ORDER_MOVEMENTS, ORDERS, RACKS
from service.store.webhooks import announce
from service.wire.webhooks import WebhookEvent

KIND = "order"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """What is done to an order: what the audit log calls it, what changes, what is announced."""

    action: str
    values: dict[str, Any]
    event: WebhookEvent | None = None
    told: dict[str, Any] | None = None
    """What the audit entry holds beside the state and the plans."""


async def add_order(transaction: Transaction, actor: Actor, values: dict[str, Any]) -> StoredRow:
    """Keep a draft; return its row."""
    order_id = rows.new_identifier()
    await rows.add(
        transaction,
        ORDERS,
        actor.tenant,
        {
            "id": order_id,
            "state": OrderState.DRAFT.value,
            "revision": 1,
            "created_at": actor.now,
            "changed_at": actor.now,
            **values,
        },
    )
    row = await find_order(transaction, actor.tenant, order_id)
    await record(
        transaction,
        actor,
        action="order-added",
        kind=KIND,
        resource_id=order_id,
        after=_facts_of(row),
    )
    return row


async def find_order(
    transaction: Transaction, tenant: str, order_id: str, *, lock: bool = False
) -> StoredRow:
    """Return an order; `lock` keeps others from it until the transaction ends.

    Raises:
        Problem: there is none.
    """
    row = await rows.find(transaction, ORDERS, tenant, lock=lock, id=order_id)
    if row is None:
        raise Problem(NOT_FOUND, f"There is no order {order_id[:64]!r}.")
    return row


async def change_order(
    transaction: Transaction, actor: Actor, before: StoredRow, step: Step
) -> StoredRow:
    """Change an order that is locked; return its new row.

    Raises:
        ChangedMeanwhile: it was changed since it was read.
    """
    values = {**step.values, "changed_at": actor.now}
    await rows.change(
        transaction, ORDERS, actor.tenant, before.id, revision=before.revision, values=values
    )
    after = await find_order(transaction, actor.tenant, before.id)
    await record(
        transaction,
        actor,
        action=step.action,
        kind=KIND,
        resource_id=before.id,
        before=_facts_of(before),
        after={**_facts_of(after), **(step.told or {})},
    )
    if step.event is not None:
        data = {
            "order_id": after.id,
            "reference": after.reference,
            "state": after.state,
            "plan_id": after.plan_id,
        }
        await announce(transaction, actor.tenant, step.event, data, actor.now)
    return after


async def add_movement(
    transaction: Transaction, actor: Actor, order: StoredRow, kind: str, body: str
) -> None:
    """Keep what was said to have arrived, been cut, or gone back."""
    values = {
        "id": rows.new_identifier(),
        "order_id": order.id,
        "kind": kind,
        "body": body,
        "created_at": actor.now,
        "created_by": actor.who,
    }
    await rows.add(transaction, ORDER_MOVEMENTS, actor.tenant, values)


async def rack_of(
    transaction: Transaction, tenant: str, order: StoredRow, *, lock: bool = False
) -> StoredRow | None:
    """Return the rack that an order takes from; `None` where it names none."""
    if order.rack_id is None:
        return None
    return await rows.find(transaction, RACKS, tenant, lock=lock, id=order.rack_id)


def after_action(order: StoredRow, action: OrderAction) -> OrderState:
    """Return the state that an action leads an order to.

    Raises:
        Problem: its state does not allow it.
    """
    try:
        return next_state(OrderState(order.state), action)
    except ActionRefused as refused:
        raise Problem(NOT_ALLOWED_NOW, str(refused)) from None


def _facts_of(row: StoredRow) -> dict[str, Any]:
    return {
        "reference": row.reference,
        "state": row.state,
        "plan_id": row.plan_id,
        "accepted_plan_id": row.accepted_plan_id,
        "revision": row.revision,
    }
