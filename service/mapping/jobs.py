"""Writing jobs and kept plans."""

import json
from datetime import datetime
from decimal import Decimal

from optimiser.domain import progress as domain
from optimiser.units.lengths import LengthUnit
from service.mapping.shown import ValueWriter
from service.mapping.stored import write_moment
from service.store.rows import StoredRow
from service.wire.answers import Problem
from service.wire.jobs import Job, PlanSummary, Progress
from service.wire.study_answers import StudySummary


def write_job(row: StoredRow) -> Job:
    """Return a job as it is read."""
    return Job(
        id=row.id,
        status=row.status,
        openings=row.openings,
        attempt=row.attempt,
        order_id=row.order_id,
        plan_id=row.plan_id,
        plan=None if row.plan_id is None else plan_address(row.plan_id),
        kind=row.kind,
        study_id=row.study_id,
        study=None if row.study_id is None else study_address(row.study_id),
        progress=None if row.progress is None else _read_progress(row.progress),
        failure=None if row.failure is None else Problem(**json.loads(row.failure)),
        created_at=write_moment(row.created_at),
        started_at=_write_optional(row.started_at),
        finished_at=_write_optional(row.finished_at),
    )


def _read_progress(kept: str) -> Progress:
    # What an earlier version kept tells of no points.
    return Progress(**{"points_done": None, "points": None, **json.loads(kept)})


def write_progress(progress: domain.Progress, currency: str) -> Progress:
    """Return how far a job is, with the gap between cost and bound."""
    money = ValueWriter(LengthUnit.INCH, currency)
    cost, bound = progress.best_cost, progress.lower_bound
    return Progress(
        phase=progress.phase,
        best_cost=None if cost is None else money.amount(cost),
        lower_bound=None if bound is None else money.amount(bound),
        gap=None if cost is None or bound is None else money.amount(cost - bound),
        points_done=progress.points_done,
        points=progress.points,
    )


def write_plan_summary(row: StoredRow) -> PlanSummary:
    """Return a kept plan in short."""
    return PlanSummary(
        id=row.id,
        plan=plan_address(row.id),
        order_id=row.order_id,
        adds_to=row.adds_to,
        total=ValueWriter(LengthUnit.INCH, row.currency).amount(Decimal(row.total)),
        currency=row.currency,
        proved=row.proved,
        created_at=write_moment(row.created_at),
    )


def write_study_summary(row: StoredRow) -> StudySummary:
    """Return a kept study in short."""
    return StudySummary(
        id=row.id,
        study=study_address(row.id),
        currency=row.currency,
        points=row.points,
        proved=row.proved,
        created_at=write_moment(row.created_at),
    )


def study_address(study_id: str) -> str:
    """Return where a study is."""
    return f"/v1/studies/{study_id}"


def job_address(job_id: str) -> str:
    """Return where a job is."""
    return f"/v1/jobs/{job_id}"


def plan_address(plan_id: str) -> str:
    """Return where a plan is."""
    return f"/v1/plans/{plan_id}"


def _write_optional(moment: datetime | None) -> str | None:
    return None if moment is None else write_moment(moment)
