"""Plans as they are kept: added once, never changed."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from service.store import rows
from service.store.store import Transaction
from service.store.tables import PLANS


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPlan:
    """A plan to keep. `request` is the order by value; `adds_to` the plan that it only adds to."""

    order_id: str | None
    adds_to: str | None
    request: str
    document: str
    text: str
    solution: str
    currency: str
    total: Decimal
    proved: bool
    solve_seconds: float


async def add_plan(transaction: Transaction, tenant: str, plan: NewPlan, now: datetime) -> str:
    """Keep a plan; return its identifier."""
    plan_id = rows.new_identifier()
    values = {
        "id": plan_id,
        "order_id": plan.order_id,
        "adds_to": plan.adds_to,
        "request": plan.request,
        "document": plan.document,
        "text": plan.text,
        "solution": plan.solution,
        "currency": plan.currency,
        "total": f"{plan.total:f}",
        "proved": plan.proved,
        "solve_seconds": plan.solve_seconds,
        "created_at": now,
    }
    await rows.add(transaction, PLANS, tenant, values)
    return plan_id
