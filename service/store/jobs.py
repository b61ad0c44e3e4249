"""Jobs: the row is the truth. One claims it under an attempt; a result counts only under it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Any

from sqlalchemy import ColumnElement, case, func, select, update

from service.store import rows
from service.store.job_kinds import JobKind
from service.store.leases import ended
from service.store.rows import StoredRow
from service.store.store import Store, Transaction
from service.store.tables import JOBS, TENANTS

LEASE = timedelta(seconds=15)
"""How long a job stays with a worker that says nothing more."""

PATIENCE = timedelta(minutes=2)
"""How long a large order lets smaller ones go first, however many come."""

MOST_ATTEMPTS = 5
"""Of a job whose worker or solver ended in the middle of it; several may end by no fault of it."""


class JobStatus(StrEnum):
    """Where a job stands."""

    QUEUED = "queued"
    RUNNING = "running"
    FINISHED = "finished"
    FAILED = "failed"
    CANCELLED = "cancelled"


AT_AN_END = frozenset({JobStatus.FINISHED, JobStatus.FAILED, JobStatus.CANCELLED})


@dataclass(frozen=True, slots=True, kw_only=True)
class Claimed:
    """A job that a worker has taken, and the attempt under which it may say what came of it."""

    job_id: str
    tenant: str
    order_id: str | None
    attempt: int
    request: str
    cancel_requested: bool
    trace_context: str | None
    created_at: datetime
    kind: JobKind = JobKind.PLAN


class AttemptLost(Exception):
    """The job has gone to another worker, or has come to an end; nothing of it may be kept."""


def priority_of(openings: int) -> int:
    """Return the priority of a job: the fewer openings, the sooner.

    Orders are ranked by powers of ten, so that those of about one size go by their age.
    """
    return len(str(max(1, openings)))


async def add_job(
    transaction: Transaction,
    tenant: str,
    *,
    order_id: str | None,
    openings: int,
    request: str,
    trace_context: str | None,
    now: datetime,
    kind: JobKind = JobKind.PLAN,
    points: int = 1,
) -> str:
    """Queue a job; return its identifier. A study plans its order for each of its `points`."""
    job_id = rows.new_identifier()
    values = {
        "id": job_id,
        "order_id": order_id,
        "status": JobStatus.QUEUED.value,
        "kind": kind.value,
        "priority": priority_of(openings * points),
        "openings": openings,
        "attempt": 0,
        "cancel_requested": False,
        "request": request,
        "trace_context": trace_context,
        "revision": 1,
        "created_at": now,
    }
    await rows.add(transaction, JOBS, tenant, values)
    return job_id


async def next_queued(
    store: Store, limit: int, now: datetime, *, of_a_tenant: int = 0
) -> Sequence[str]:
    """Return the identifiers of the jobs that are next, the most urgent first.

    Those that have waited longer than `PATIENCE` come before all others, the oldest first. A
    tenant with `of_a_tenant` jobs that run has none that is next; 0 sets no limit.
    """
    async with store.reading() as transaction:
        overdue = JOBS.c.created_at <= now - PATIENCE
        statement = (
            select(JOBS.c.id)
            .where(JOBS.c.status == JobStatus.QUEUED.value, *_below(of_a_tenant))
            .order_by(case((overdue, 0), else_=JOBS.c.priority + 1), JOBS.c.created_at, JOBS.c.id)
            .limit(limit)
        )
        return list((await transaction.execute(statement)).scalars())


async def first_overdue(store: Store, now: datetime, *, of_a_tenant: int = 0) -> str | None:
    """Return the job that has waited longest, where that is longer than `PATIENCE`."""
    async with store.reading() as transaction:
        statement = (
            select(JOBS.c.id)
            .where(
                JOBS.c.status == JobStatus.QUEUED.value,
                JOBS.c.created_at <= now - PATIENCE,
                *_below(of_a_tenant),
            )
            .order_by(JOBS.c.created_at, JOBS.c.id)
            .limit(1)
        )
        return (await transaction.execute(statement)).scalar_one_or_none()


async def claim_job(
    store: Store, job_id: str, worker: str, now: datetime, *, of_a_tenant: int = 0
) -> Claimed | None:
    """Take a queued job; return nothing where somebody else has taken it, or it has ended.

    Nor is it taken where its tenant has `of_a_tenant` jobs that run; 0 sets no limit.
    """
    async with store.writing() as transaction:
        if of_a_tenant:
            await _hold_tenant_of(transaction, job_id)
        statement = (
            update(JOBS)
            .where(
                JOBS.c.id == job_id,
                JOBS.c.status == JobStatus.QUEUED.value,
                *_below(of_a_tenant),
            )
            .values(
                status=JobStatus.RUNNING.value,
                attempt=JOBS.c.attempt + 1,
                worker=worker,
                lease_until=now + LEASE,
                started_at=now,
                revision=JOBS.c.revision + 1,
            )
        )
        if (await transaction.execute(statement)).rowcount != 1:
            return None
        row = (await transaction.execute(select(JOBS).where(JOBS.c.id == job_id))).one()
    return _to_claimed(row)


async def renew_job(store: Store, mine: Claimed, now: datetime, progress: str | None) -> bool:
    """Hold a job for longer and note how far it is; return whether it is to be cancelled.

    Raises:
        AttemptLost: it has gone to another worker.
    """
    values: dict[str, Any] = {"lease_until": now + LEASE}
    if progress is not None:
        values |= {"progress": progress}
    async with store.writing() as transaction:
        await _change_mine(transaction, mine, values)
        row = await rows.find(transaction, JOBS, mine.tenant, id=mine.job_id)
    return bool(row and row.cancel_requested)


async def end_job(
    transaction: Transaction,
    mine: Claimed,
    status: JobStatus,
    now: datetime,
    *,
    plan_id: str | None = None,
    study_id: str | None = None,
    failure: str | None = None,
) -> None:
    """Write down what came of a job, in the transaction of what it changes.

    Raises:
        AttemptLost: it has gone to another worker.
    """
    values = {
        "status": status.value,
        "plan_id": plan_id,
        "study_id": study_id,
        "failure": failure,
        "finished_at": now,
        "lease_until": None,
    }
    await _change_mine(transaction, mine, values)


async def hand_back(store: Store, mine: Claimed) -> None:
    """Give a job back to the queue unharmed: the worker stops, and the attempt does not count."""
    async with store.writing() as transaction:
        values = {
            "status": JobStatus.QUEUED.value,
            "attempt": mine.attempt - 1,
            "worker": None,
            "lease_until": None,
        }
        await _change_mine(transaction, mine, values)


async def retry_job(store: Store, mine: Claimed) -> None:
    """Put a job back in the queue: a process died over it, and it may go well another time."""
    async with store.writing() as transaction:
        values = {"status": JobStatus.QUEUED.value, "worker": None, "lease_until": None}
        await _change_mine(transaction, mine, values)


async def find_stalled(store: Store, now: datetime) -> Sequence[Claimed]:
    """Return the running jobs whose worker has said nothing for longer than a lease."""
    async with store.reading() as transaction:
        statement = select(JOBS).where(
            JOBS.c.status == JobStatus.RUNNING.value, ended(JOBS.c.lease_until, now, LEASE)
        )
        found = (await transaction.execute(statement)).all()
    return [_to_claimed(row) for row in found]


async def ask_to_cancel(
    transaction: Transaction, tenant: str, row: StoredRow, now: datetime
) -> None:
    """Cancel a queued job at once; ask the worker of a running one to stop.

    Raises:
        ChangedMeanwhile: the job has moved on since it was read.
    """
    values: dict[str, Any] = {"cancel_requested": True}
    if row.status == JobStatus.QUEUED.value:
        values |= {"status": JobStatus.CANCELLED.value, "finished_at": now}
    await rows.change(transaction, JOBS, tenant, row.id, revision=row.revision, values=values)


def _to_claimed(row: StoredRow) -> Claimed:
    return Claimed(
        job_id=row.id,
        tenant=row.tenant_id,
        order_id=row.order_id,
        attempt=row.attempt,
        request=row.request,
        cancel_requested=row.cancel_requested,
        trace_context=row.trace_context,
        created_at=row.created_at,
        kind=JobKind(row.kind),
    )


async def _change_mine(transaction: Transaction, mine: Claimed, values: dict[str, Any]) -> None:
    changed = await rows.change_where(
        transaction,
        JOBS,
        mine.tenant,
        values={**values, "revision": JOBS.c.revision + 1},
        id=mine.job_id,
        attempt=mine.attempt,
        status=JobStatus.RUNNING.value,
    )
    if changed != 1:
        raise AttemptLost(mine.job_id)


def _below(of_a_tenant: int) -> tuple[ColumnElement[bool], ...]:
    """Return the condition that the tenant of a job has fewer jobs than that which run."""
    if not of_a_tenant:
        return ()
    running = JOBS.alias("running")
    busy = (
        select(running.c.tenant_id)
        .where(running.c.status == JobStatus.RUNNING.value)
        .group_by(running.c.tenant_id)
        .having(func.count() >= of_a_tenant)
    )
    return (JOBS.c.tenant_id.not_in(busy),)


async def _hold_tenant_of(transaction: Transaction, job_id: str) -> None:
    """Let nobody else take a job of the same tenant before the transaction ends."""
    tenant = select(JOBS.c.tenant_id).where(JOBS.c.id == job_id).scalar_subquery()
    held = select(TENANTS.c.id).where(TENANTS.c.id == tenant).with_for_update()
    await transaction.execute(held)
