"""The work of a job: the one place of the service that calls the planner."""

import os
import sys
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import partial

from optimiser.documents import write_bench_sheets
from optimiser.domain.faults import (
    NoPlan,
    NoPlanInTime,
    OptimiserError,
    OrderRejected,
    PlanCheckFailed,
)
from optimiser.domain.plan import Plan
from optimiser.explain import bench_cautions, sentence
from optimiser.planning import make_plan
from optimiser.render import render_bench_sheets
from optimiser.render.text import render_text
from service.jobs.outcomes import (
    Broken,
    CheckFailed,
    Outcome,
    OutOfTime,
    PlanDocument,
    PlanJob,
    Planned,
    Rejected,
)
from service.mapping.bench_out import write_bench_sheets as show_bench_sheets
from service.mapping.plan_out import write_plan
from service.wire import limits


def carry_out(job: PlanJob) -> Outcome:
    """Return what comes of an order. Raises nothing: every error is an outcome."""
    try:
        return _plan(job)
    except OptimiserError as error:
        return _to_outcome(error)
    except Exception:
        return Broken(trace=traceback.format_exc())


def _plan(job: PlanJob) -> Outcome:
    started = time.perf_counter()
    order = job.order
    if job.document is not PlanDocument.PLAN:
        # Only the plan itself tells of alternatives.
        order = replace(order, policy=replace(order.policy, alternatives=False))
    plan = make_plan(
        order,
        rule_sets=job.rule_sets,
        most_lengths=limits.PIECE_LENGTHS,
        clock=time.monotonic,
    )
    seconds = time.perf_counter() - started
    return Planned(
        document=_write(plan, job),
        seconds=seconds,
        proved=plan.certificate.proved,
    )


def _to_outcome(error: OptimiserError) -> Outcome:
    match error:
        case OrderRejected(faults=faults):
            return Rejected(faults=faults, no_plan=isinstance(error, NoPlan))
        case NoPlanInTime():
            return OutOfTime(message=str(error))
        case PlanCheckFailed(failures=failures):
            return CheckFailed(failures=failures)
    return Broken(trace="".join(traceback.format_exception(error)))


def _write(plan: Plan, job: PlanJob) -> bytes:
    match job.document:
        case PlanDocument.PLAN:
            return write_document(plan, as_text=job.as_text)
        case PlanDocument.BENCH_SHEETS:
            cautions = bench_cautions(plan.cautions)
            sheets = write_bench_sheets(plan, job.order.policy.kerf_nm, cautions)
            if job.as_text:
                return render_bench_sheets(sheets).encode()
            return show_bench_sheets(sheets).model_dump_json().encode()


def write_document(plan: Plan, *, as_text: bool) -> bytes:
    """Return a plan in UTF-8, as text for a buyer or as JSON."""
    if as_text:
        say = partial(sentence, unit=plan.unit, currency=plan.currency)
        return render_text(plan, say).encode()
    return write_plan(plan).model_dump_json().encode()


@contextmanager
def standard_output_kept_clean() -> Iterator[None]:
    """Send to the standard error stream whatever native code prints on standard output."""
    sys.stdout.flush()
    kept = os.dup(1)
    try:
        os.dup2(2, 1)
        yield
    finally:
        sys.stdout.flush()
        os.dup2(kept, 1)
        os.close(kept)
