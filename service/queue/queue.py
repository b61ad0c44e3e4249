"""The queue as those see it who put jobs into it."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass

from service.store.audit import Actor, record
from service.store.job_kinds import JobKind
from service.store.jobs import add_job
from service.store.store import Transaction

Defer = Callable[[Transaction, str, int], Awaitable[None]]
"""Takes the transaction, the job's identifier and the number of its openings."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobQueue:
    """Puts jobs into the queue.

    `defer` tells of a job in the transaction that writes it, where workers take the jobs; `call`
    says that there is something new once that is committed, where this process takes them.
    `carrier` returns what a job carries of the trace of its request.
    """

    call: Callable[[], None]
    defer: Defer | None = None
    carrier: Callable[[], str | None] = lambda: None

    async def add(
        self,
        transaction: Transaction,
        actor: Actor,
        *,
        order_id: str | None,
        openings: int,
        request: str,
        kind: JobKind = JobKind.PLAN,
        points: int = 1,
    ) -> str:
        """Queue the planning of an order, or a study, by value; return the job's identifier."""
        job_id = await add_job(
            transaction,
            actor.tenant,
            order_id=order_id,
            openings=openings,
            request=request,
            trace_context=self.carrier(),
            now=actor.now,
            kind=kind,
            points=points,
        )
        await record(
            transaction,
            actor,
            action="queued",
            kind="job",
            resource_id=job_id,
            after={"openings": openings, "order_id": order_id},
        )
        if self.defer is not None:
            await self.defer(transaction, job_id, openings * points)
        return job_id
