"""Writing orders that the service keeps."""

import json
from typing import Any

from optimiser.domain.deliveries import OpenLine
from optimiser.domain.order_states import OrderState
from optimiser.fulfilment import allowed_in
from service.json_text import read_json
from service.mapping.jobs import plan_address
from service.mapping.stored import write_moment
from service.orders.account import read_account
from service.orders.change import ChangeInWaiting, read_change
from service.store.rows import StoredRow
from service.wire import orders as wire
from service.wire.order_effects import Movement


def order_address(order_id: str) -> str:
    """Return where an order is."""
    return f"/v1/orders/{order_id}"


def write_order_summary(row: StoredRow) -> wire.OrderSummary:
    """Return an order in short."""
    return wire.OrderSummary(
        id=row.id,
        reference=row.reference,
        state=OrderState(row.state),
        plan_id=row.plan_id,
        created_at=write_moment(row.created_at),
        changed_at=write_moment(row.changed_at),
    )


def write_order(row: StoredRow, rack: str | None) -> wire.KeptOrder:
    """Return an order as it was sent, with how far it has come; `rack` is its rack's name."""
    account = None if row.account is None else read_account(row.account)
    change = None if row.pending_change is None else read_change(row.pending_change)
    facts: dict[str, Any] = {
        "reference": row.reference,
        "order": read_json(row.body.encode()),
        "rack": rack,
        **read_json(row.terms.encode()),
        "id": row.id,
        "state": OrderState(row.state).value,
        "allowed": [action.value for action in allowed_in(OrderState(row.state))],
        "job_id": row.asked,
        "plan_id": row.plan_id,
        "plan": None if row.plan_id is None else plan_address(row.plan_id),
        "accepted_plan_ids": [s.plan_id for s in account.stages] if account else [],
        "pending_change": _write_change(change),
        "receipt": None if account is None else account.receipt.value,
        "lines": [_write_line(line) for line in account.purchase.lines] if account else [],
        "created_at": write_moment(row.created_at),
        "changed_at": write_moment(row.changed_at),
    }
    return wire.KeptOrder.model_validate(facts)


def write_movement(row: StoredRow) -> Movement:
    """Return a delivery, a cutting or a return."""
    return Movement(
        id=row.id,
        kind=row.kind,
        content=json.loads(row.body),
        created_at=write_moment(row.created_at),
        created_by=row.created_by,
    )


def _write_change(change: ChangeInWaiting | None) -> dict[str, Any] | None:
    if change is None:
        return None
    return {"job_id": change.job_id, "plan_id": change.plan_id, "ready": change.ready}


def _write_line(line: OpenLine) -> dict[str, Any]:
    return {
        "supplier": line.supplier,
        "sku": line.sku,
        "kind": line.kind.value,
        "made_for": list(line.made_for),
        "ordered": line.ordered,
        "received": line.received,
        "returned": line.returned,
        "open": line.open,
    }
