"""Making the plans of an order again from what is kept of them."""

import asyncio
from collections.abc import Sequence

from service.jobs.rebuilding import Planned, rebuild_plan
from service.orders.account import Account
from service.store import rows
from service.store.store import Store, Transaction
from service.store.tables import PLANS


async def recall(store: Store, tenant: str, plan_ids: Sequence[str]) -> tuple[Planned, ...]:
    """Return the plans with these identifiers; they are made again without a solver."""
    async with store.reading() as transaction:
        kept = [await _read(transaction, tenant, plan_id) for plan_id in plan_ids]

    def rebuild() -> tuple[Planned, ...]:
        return tuple(rebuild_plan(request, solution) for request, solution in kept)

    return await asyncio.to_thread(rebuild)


async def recall_all(store: Store, tenant: str, account: Account) -> tuple[Planned, ...]:
    """Return the plans of all stages of an account."""
    return await recall(store, tenant, [stage.plan_id for stage in account.stages])


async def _read(transaction: Transaction, tenant: str, plan_id: str) -> tuple[bytes, bytes]:
    row = await rows.find(transaction, PLANS, tenant, id=plan_id)
    assert row is not None, plan_id
    return row.request.encode(), row.solution.encode()
