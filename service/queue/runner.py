"""Carrying out one job of the store: the same for the embedded dispatcher and for workers.

A job is claimed under an attempt, solved in a process of the pool, and ended together with what
came of it in one transaction. Whoever has lost the attempt keeps nothing.
"""

import asyncio
import json
import os
import secrets
import socket
from collections.abc import Awaitable, Callable
from contextlib import suppress
from dataclasses import dataclass, field, replace
from datetime import datetime

import structlog

from service.jobs.outcomes import (
    PlanDocument,
    PlanJob,
    PlannedToKeep,
    SolverJob,
    Studied,
    StudyJob,
)
from service.jobs.pool import Done, SolverPool
from service.jobs.settled import is_settled, read_kept_request, stated_part
from service.problems import BUSY, INTERNAL_ERROR, NOT_READY, Problem, problem_document
from service.queue.news import News
from service.settings import Settings
from service.store.audit import Actor
from service.store.job_kinds import JobKind
from service.store.jobs import (
    LEASE,
    MOST_ATTEMPTS,
    AttemptLost,
    Claimed,
    JobStatus,
    claim_job,
    end_job,
    find_stalled,
    hand_back,
    renew_job,
    retry_job,
)
from service.store.plans import NewPlan, add_plan
from service.store.store import Store, StoreError, Transaction
from service.store.studies import NewStudy, add_study
from service.store.webhooks import announce
from service.studies.reading import read_study
from service.telemetry.traces import Traces
from service.use_cases import prepare_plan, settle_outcome, settle_study
from service.wire.webhooks import WebhookEvent

WATCHED_EVERY = LEASE.total_seconds() / 5
"""Seconds between two looks at a running job: its lease is renewed, its cancelling noticed."""

OWN_NAME = "jobs"
"""Who makes the changes that a job makes, in the audit log."""

log = structlog.stdlib.get_logger("service.jobs")

Attach = Callable[[Transaction, Actor, Claimed, str], Awaitable[None]]
"""Attaches a plan, by its identifier, to the order that the job was for."""


def name_process() -> str:
    """Return a name for this process that no other one has."""
    return f"{socket.gethostname()[:32]}-{os.getpid()}-{secrets.token_hex(4)}"


class Cancelled(Exception):
    """The job is to be cancelled."""


@dataclass(frozen=True, slots=True, kw_only=True)
class JobRunner:
    """Carries out jobs. `worker` names the process; `attach` is for plans of orders."""

    store: Store
    pool: SolverPool
    settings: Settings
    clock: Callable[[], datetime]
    worker: str
    attach: Attach | None = None
    traces: Traces = field(default_factory=Traces)

    async def run(self, job_id: str) -> bool:
        """Carry out a job, unless somebody else does; return whether it was this one's.

        When cancelled itself, as when the process stops, the job goes back to the queue.
        """
        mine = await claim_job(
            self.store, job_id, self.worker, self.clock(), of_a_tenant=self.of_a_tenant
        )
        if mine is None:
            return False
        with (
            structlog.contextvars.bound_contextvars(job_id=job_id, attempt=mine.attempt),
            self.traces.part("job", mine.trace_context) as span,
        ):
            span.note(job_id=job_id, attempt=mine.attempt)
            try:
                await self._carry_out(mine)
            except AttemptLost:
                log.warning("job went to another worker; nothing of this attempt is kept")
            except asyncio.CancelledError:
                with suppress(AttemptLost, StoreError):
                    await asyncio.shield(hand_back(self.store, mine))
                raise
            except StoreError as error:
                # Whoever finds the lease run out takes the job up again.
                log.error("job left to its lease: the store failed", reason=str(error))
        return True

    @property
    def of_a_tenant(self) -> int:
        """Return how many jobs of one tenant may run at a time; 0 sets no limit."""
        return self.settings.solves_per_tenant

    async def rescue(self) -> int:
        """Put jobs back in the queue whose workers are gone; return how many there were.

        One that has been tried often enough has failed.
        """
        stalled = await find_stalled(self.store, self.clock())
        for mine in stalled:
            with suppress(AttemptLost):
                log.warning("job rescued: its worker is gone", job_id=mine.job_id)
                if mine.cancel_requested:
                    await self._end(mine, JobStatus.CANCELLED)
                else:
                    await self._try_again(mine, "the worker ended in the middle of the job")
        return len(stalled)

    async def _carry_out(self, mine: Claimed) -> None:
        body = mine.request.encode()
        try:
            if mine.kind is JobKind.STUDY:
                await self._study(mine, body)
                return
            job = await asyncio.to_thread(prepare_job, body, self.settings)
            job = replace(job, watched=True)
            done = await self._solve_watched(mine, job)
            outcome = done.outcome
            planned = await asyncio.to_thread(settle_outcome, outcome, stated_part(body))
        except Cancelled:
            await self._end(mine, JobStatus.CANCELLED)
            return
        except Problem as problem:
            await self._end_with(mine, problem)
            return
        assert isinstance(planned, PlannedToKeep)
        await self._keep(mine, planned)

    async def _study(self, mine: Claimed, body: bytes) -> None:
        limit = self.settings.longest_time_limit_seconds
        study = await asyncio.to_thread(read_study, body, longest_time_limit_seconds=limit)
        done = await self._solve_watched(mine, StudyJob(study=study, watched=True))
        studied = await asyncio.to_thread(settle_study, done.outcome, study)
        async with self.store.writing() as transaction:
            now = self.clock()
            study_id = await add_study(transaction, mine.tenant, _to_keep(mine, studied), now)
            await end_job(transaction, mine, JobStatus.FINISHED, now, study_id=study_id)
            await _announce(transaction, mine, WebhookEvent.JOB_FINISHED, now, study_id=study_id)
        log.info("job finished", seconds=round(studied.seconds, 3), points=studied.points)

    async def _solve_watched(self, mine: Claimed, job: SolverJob) -> Done:
        """Return what comes of the job; its lease is renewed meanwhile.

        Raises:
            Cancelled: somebody asked for it.
            AttemptLost: another worker has taken the job.
            Problem: no solver came free.
        """
        news = News(job.currency)
        solving = asyncio.ensure_future(self.pool.run(job, news.hear))
        try:
            while True:
                hearing = asyncio.ensure_future(news.of_a_phase())
                await asyncio.wait(
                    {solving, hearing},
                    timeout=WATCHED_EVERY,
                    return_when=asyncio.FIRST_COMPLETED,
                )
                hearing.cancel()
                if solving.done():
                    return solving.result()
                if await renew_job(self.store, mine, self.clock(), news.written):
                    raise Cancelled
        finally:
            solving.cancel()
            await asyncio.gather(solving, return_exceptions=True)

    async def _keep(self, mine: Claimed, planned: PlannedToKeep) -> None:
        now = self.clock()
        actor = Actor(tenant=mine.tenant, who=OWN_NAME, request_id=mine.job_id, now=now)
        plan = NewPlan(
            order_id=mine.order_id,
            adds_to=None,
            request=mine.request,
            document=planned.document.decode(),
            text=planned.text,
            solution=planned.solution,
            currency=planned.currency,
            total=planned.total,
            proved=planned.proved,
            solve_seconds=planned.seconds,
        )
        async with self.store.writing() as transaction:
            plan_id = await add_plan(transaction, mine.tenant, plan, now)
            await end_job(transaction, mine, JobStatus.FINISHED, now, plan_id=plan_id)
            await _announce(transaction, mine, WebhookEvent.JOB_FINISHED, now, plan_id=plan_id)
            if self.attach is not None and mine.order_id is not None:
                await self.attach(transaction, actor, mine, plan_id)
        log.info("job finished", seconds=round(planned.seconds, 3), proved=planned.proved)

    async def _end_with(self, mine: Claimed, problem: Problem) -> None:
        if problem.kind in {BUSY, NOT_READY}:
            # Nothing was tried: the queue keeps the job.
            await hand_back(self.store, mine)
        elif problem.kind is INTERNAL_ERROR:
            await self._try_again(mine, "the solver ended in the middle of the job")
        else:
            await self._end(mine, JobStatus.FAILED, problem)

    async def _try_again(self, mine: Claimed, why: str) -> None:
        if mine.attempt < MOST_ATTEMPTS:
            await retry_job(self.store, mine)
            return
        detail = f"Tried {mine.attempt} times; the last time {why}."
        await self._end(mine, JobStatus.FAILED, Problem(INTERNAL_ERROR, detail))

    async def _end(self, mine: Claimed, status: JobStatus, problem: Problem | None = None) -> None:
        failure = None
        if problem is not None:
            document = problem_document(problem, mine.job_id)
            failure = json.dumps(document, ensure_ascii=False)
        async with self.store.writing() as transaction:
            now = self.clock()
            await end_job(transaction, mine, status, now, failure=failure)
            await _announce(transaction, mine, _EVENT_OF[status], now)
        log.info("job ended", status=status.value)


def prepare_job(body: bytes, settings: Settings) -> PlanJob:
    """Return the job of planning an order that is kept, in either form.

    Raises:
        Problem: the order cannot be read; all faults are listed.
    """
    if not is_settled(body):
        return prepare_plan(body, settings, False, document=PlanDocument.KEPT)
    request = read_kept_request(body)
    return PlanJob(
        order=request.order,
        rule_sets=request.rule_sets,
        as_text=False,
        document=PlanDocument.KEPT,
    )


def _to_keep(mine: Claimed, studied: Studied) -> NewStudy:
    return NewStudy(
        request=mine.request,
        document=studied.document.decode(),
        text=studied.text,
        table=studied.table,
        currency=studied.currency,
        points=studied.points,
        proved=studied.proved,
        solve_seconds=studied.seconds,
    )


_EVENT_OF = {
    JobStatus.FAILED: WebhookEvent.JOB_FAILED,
    JobStatus.CANCELLED: WebhookEvent.JOB_CANCELLED,
}


async def _announce(
    transaction: Transaction,
    mine: Claimed,
    event: WebhookEvent,
    now: datetime,
    *,
    plan_id: str | None = None,
    study_id: str | None = None,
) -> None:
    data = {"job_id": mine.job_id, "order_id": mine.order_id, "plan_id": plan_id}
    if study_id is not None:
        data["study_id"] = study_id
    await announce(transaction, mine.tenant, event, data, now)
