"""The queue as those see it who put jobs into it."""

from collections.abc import Callable
from dataclasses import dataclass

from service.store.audit import Actor, record
from service.store.jobs import add_job
from service.store.store import Transaction


@dataclass(frozen=True, slots=True, kw_only=True)
class JobQueue:
    """Puts jobs into the queue. `call` says that there is something new, once it is committed."""

    call: Callable[[], None]

    async def add(
        self,
        transaction: Transaction,
        actor: Actor,
        *,
        order_id: str | None,
        openings: int,
        request: str,
    ) -> str:
        """Queue the planning of an order by value; return the identifier of the job."""
        job_id = await add_job(
            transaction,
            actor.tenant,
            order_id=order_id,
            openings=openings,
            request=request,
            trace_context=None,
            now=actor.now,
        )
        await record(
            transaction,
            actor,
            action="queued",
            kind="job",
            resource_id=job_id,
            after={"openings": openings, "order_id": order_id},
        )
        return job_id
