"""Jobs and the plans that come of them, as they are read."""

from typing import Annotated, Literal

from pydantic import Field, Strict

from optimiser.domain.progress import Phase
from service.wire.answers import Problem
from service.wire.base import WireModel
from service.wire.shown import Amount, Count
from service.wire.stored import Moment

JobKind = Literal["plan", "study"]
Status = Literal["queued", "running", "finished", "failed", "cancelled"]


class Progress(WireModel):
    """How far a job is."""

    phase: Annotated[Phase, Strict(False)]
    """What is being done."""
    best_cost: Amount | None
    """The cost of the best plan found so far; null before there is one."""
    lower_bound: Amount | None
    """What no plan can cost less than; null before it is known."""
    gap: Amount | None
    """The difference of the two."""
    points_done: Count | None
    """Of a study, the points that are planned; null for a plan."""
    points: Count | None
    """Of a study, all points."""


class Job(WireModel):
    """An order that is planned while nobody waits. The header ETag states its revision."""

    id: str
    status: Status
    openings: Count
    """Openings of the order."""
    attempt: Count
    """How often a worker has taken the job."""
    order_id: str | None
    """The order that it plans, where the service keeps it."""
    kind: JobKind
    """Whether it makes a plan or a study."""
    plan_id: str | None
    """The plan that came of it."""
    plan: Annotated[str | None, Field(examples=["/v1/plans/0c5e6a2f9f2d4b7f8e1b8f7d3f0f6f3a"])]
    """Where the plan is."""
    study_id: str | None
    """The study that came of it."""
    study: Annotated[str | None, Field(examples=["/v1/studies/0c5e6a2f9f2d4b7f8e1b8f7d3f0f6f3b"])]
    """Where the study is."""
    progress: Progress | None
    failure: Problem | None
    """Why nothing came of it."""
    created_at: Moment
    started_at: Moment | None
    finished_at: Moment | None


class Jobs(WireModel):
    """A page of a list; the header Link leads to the next one."""

    entries: list[Job]


class PlanSummary(WireModel):
    """A plan that the service keeps, in short."""

    id: str
    plan: str
    """Where the plan is."""
    order_id: str | None
    adds_to: str | None
    """The plan that this one only adds to."""
    total: Amount
    currency: str
    proved: bool
    """Whether nothing cheaper exists."""
    created_at: Moment


class PlanSummaries(WireModel):
    """A page of a list; the header Link leads to the next one."""

    entries: list[PlanSummary]
