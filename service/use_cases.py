"""What the service does with a request, between the route and the parts that do the work."""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

import structlog

from optimiser.domain.faults import Fault, InvalidOrder
from optimiser.domain.takeoff import Takeoff
from optimiser.explain import sentence
from optimiser.render.takeoff_text import render_takeoff_text
from optimiser.rule_sets import RuleSet, known_rule_sets
from optimiser.schedules import ScheduleFormat, write_report
from optimiser.takeoff import take_off
from optimiser.validation import find_faults
from service.aside import read_aside
from service.jobs.outcomes import (
    Broken,
    CheckFailed,
    Outcome,
    OutOfTime,
    PlanDocument,
    PlanJob,
    Planned,
    Rejected,
    Studied,
    StudyJob,
)
from service.jobs.pool import SolverPool
from service.jobs.shares import TenantShares
from service.json_text import read_json, write_json
from service.mapping.faults import settle_path
from service.mapping.reading import OrderRequest, invalid_order, read_request
from service.mapping.schedules import read_options, read_schedule_file, write_schedule
from service.mapping.takeoff_out import write_takeoff
from service.problems import (
    INTERNAL_ERROR,
    NO_PLAN,
    NO_PLAN_IN_TIME,
    NOT_FOUND,
    PLAN_CHECK_FAILED,
    Problem,
    count_faults,
)
from service.references import ByValue
from service.settings import Settings
from service.studies.request import StudyRequest
from service.wire import limits
from service.wire.order import Order as WireOrder
from service.wire.order import TakeoffOrder
from service.wire.schedules import ScheduleOptions

log = structlog.stdlib.get_logger("service.use_cases")


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanAnswer:
    """A plan, written out, with the seconds that it waited for a solver and was solved in."""

    document: bytes
    waited_seconds: float
    solved_seconds: float


Prepare = Callable[[bytes, Settings, bool], PlanJob]
"""Takes a body, the settings, and whether text is wanted; returns the job, or raises a problem."""


def prepare_plan(
    body: bytes,
    settings: Settings,
    as_text: bool,
    *,
    document: PlanDocument,
) -> PlanJob:
    """Return the job of making a document of the plan of the order that a request holds.

    Raises:
        Problem: the order cannot be read; all faults are listed.
    """
    request = read_request(
        body,
        WireOrder,
        longest_time_limit_seconds=settings.longest_time_limit_seconds,
    )
    return PlanJob(
        order=request.order, rule_sets=request.rule_sets, as_text=as_text, document=document
    )


async def plan_order(
    body: bytes, pool: SolverPool, job: PlanJob, shares: TenantShares, tenant: str
) -> PlanAnswer:
    """Return the document that a job of a tenant asks for; `body` is the order it was read from.

    Raises:
        Problem: the order cannot be served, in time, or now; all faults are listed.
    """
    planned, waited_seconds = await solve_order(body, pool, job, shares, tenant)
    return PlanAnswer(
        document=planned.document,
        waited_seconds=waited_seconds,
        solved_seconds=planned.seconds,
    )


async def solve_order(
    body: bytes, pool: SolverPool, job: PlanJob, shares: TenantShares, tenant: str
) -> tuple[Planned, float]:
    """Return the plan that comes of a job of a tenant, and the seconds that it waited.

    Raises:
        Problem: the order cannot be served, in time, or now; all faults are listed.
    """
    async with shares.hold(tenant):
        done = await pool.run(job)
    # Faults are settled against the order as it was sent, which may be large.
    planned = await read_aside(body, lambda: settle_outcome(done.outcome, body))
    log.info("order planned", openings=len(job.order.openings), proved=planned.proved)
    return planned, done.waited_seconds


def settle_outcome(outcome: Outcome, body: bytes) -> Planned:
    """Return the plan that came of a job.

    Raises:
        Problem: anything else came of it.
    """
    match outcome:
        case Planned():
            return outcome
        case Rejected(faults=faults, no_plan=no_plan):
            settled = _settle(faults, body)
            if no_plan:
                raise Problem(NO_PLAN, count_faults(settled), faults=settled)
            raise invalid_order(list(settled))
        case OutOfTime(message=message):
            fault = Fault(("policy", "time_limit_seconds"), NO_PLAN_IN_TIME.code, message)
            raise Problem(NO_PLAN_IN_TIME, message, faults=[fault])
        case CheckFailed(failures=failures):
            log.error("plan withheld: it failed its check", failures=list(failures))
            raise Problem(PLAN_CHECK_FAILED, PLAN_CHECK_FAILED.meaning)
        case Broken(trace=trace):
            log.error("job failed", trace=trace)
            raise Problem(INTERNAL_ERROR, INTERNAL_ERROR.meaning)


async def make_study(pool: SolverPool, job: StudyJob, shares: TenantShares, tenant: str) -> Studied:
    """Return what comes of a study of a tenant, in every form.

    Raises:
        Problem: the base has no plan, in time, or now; all faults are listed.
    """
    async with shares.hold(tenant):
        done = await pool.run(job)
    studied = await asyncio.to_thread(settle_study, done.outcome, job.study)
    log.info("study made", points=studied.points, proved=studied.proved)
    return studied


def settle_study(outcome: Outcome, study: StudyRequest) -> Studied:
    """Return the study that came of a job.

    Raises:
        Problem: anything else came of it; faults lead into the order of the study.
    """
    try:
        studied = settle_outcome(outcome, write_json(study.raw).encode())
    except Problem as problem:
        if not problem.faults:
            raise
        faults = [Fault(("order", *f.path), f.code, f.message) for f in problem.faults]
        raise Problem(problem.kind, problem.detail, faults=faults) from None
    assert isinstance(studied, Studied)
    return studied


async def take_off_order(order: ByValue, settings: Settings, *, as_text: bool) -> bytes:
    """Return the takeoff of an order, as text or as JSON.

    Raises:
        Problem: the order cannot be read or taken off; all faults are listed.
    """
    return await asyncio.to_thread(
        order.read, partial(_take_off, settings=settings, as_text=as_text)
    )


def _take_off(body: bytes, *, settings: Settings, as_text: bool) -> bytes:
    request = read_request(
        body,
        TakeoffOrder,
        longest_time_limit_seconds=settings.longest_time_limit_seconds,
    )
    return write_takeoff_document(request, body, as_text=as_text)


def write_takeoff_document(request: OrderRequest, body: bytes, *, as_text: bool) -> bytes:
    """Return the takeoff of an order in UTF-8; `body` is the order as it was sent.

    Raises:
        Problem: the order cannot be taken off; all faults are listed.
    """
    takeoff, order = take_off_settled(request, body), request.order
    if as_text:
        say = partial(sentence, unit=order.unit, currency=order.catalogue.currency)
        return render_takeoff_text(takeoff, order.unit, say).encode()
    return write_takeoff(order, takeoff).model_dump_json().encode()


def take_off_settled(request: OrderRequest, body: bytes, *, buys: bool = False) -> Takeoff:
    """Return the takeoff of an order; `body` is the order as it was sent.

    `buys` asks for the faults of catalogues, rack and policy, too.

    Raises:
        Problem: the order cannot be taken off; all faults are listed.
    """
    faults = list(find_faults(request.order)) if buys else []
    try:
        takeoff = take_off(
            request.order, rule_sets=request.rule_sets, most_lengths=limits.PIECE_LENGTHS
        )
    except InvalidOrder as rejected:
        faults += rejected.faults
    if faults:
        raise invalid_order(list(_settle(tuple(dict.fromkeys(faults)), body)))
    return takeoff


async def read_schedule_document(
    content: bytes, form: ScheduleFormat | None, options: str | None, *, as_text: bool
) -> bytes:
    """Return what a schedule states, as text or as JSON; `options` is a JSON text.

    Raises:
        Problem: the options or the schedule cannot be read; all faults are listed.
    """

    def read() -> bytes:
        return write_schedule_document(content, form, read_options(options), as_text=as_text)

    return await asyncio.to_thread(read)


def write_schedule_document(
    content: bytes, form: ScheduleFormat | None, options: ScheduleOptions, *, as_text: bool
) -> bytes:
    """Return what a schedule states in UTF-8, as text or as JSON.

    Raises:
        Problem: the schedule has faults; all are listed.
    """
    reading = read_schedule_file(content, options, form, as_text=as_text)
    if as_text:
        return write_report(reading).encode()
    return write_schedule(reading, options.unit).model_dump_json().encode()


def find_rule_set(rule_set_id: str) -> RuleSet:
    """Return the rule set with an identifier.

    Raises:
        Problem: not found.
    """
    for rule_set in known_rule_sets():
        if rule_set.id == rule_set_id:
            return rule_set
    known = ", ".join(rule_set.id for rule_set in known_rule_sets())
    raise Problem(NOT_FOUND, f"There is no rule set {rule_set_id[:80]!r}; there are: {known}.")


def _settle(faults: tuple[Fault, ...], body: bytes) -> tuple[Fault, ...]:
    raw = read_json(body)
    return tuple(Fault(settle_path(fault.path, raw), fault.code, fault.message) for fault in faults)
