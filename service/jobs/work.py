"""The work of a job: the one place of the service that calls the planner."""

import os
import sys
import time
import traceback
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

from optimiser.domain.decision import Certificate
from optimiser.domain.faults import (
    NoPlan,
    NoPlanInTime,
    OptimiserError,
    OrderRejected,
    PlanCheckFailed,
    QuoteRejected,
)
from optimiser.domain.plan import Plan
from optimiser.domain.progress import Observer, Phase, Progress
from optimiser.domain.quote import Quote
from optimiser.planning import make_plan
from optimiser.publishing.builders import TELL_ALTERNATIVES
from optimiser.publishing.builders.matter import PlanMatter
from optimiser.quote import price_plan
from optimiser.takeoff import take_off
from service.jobs.documents import (
    write_bench_document,
    write_install_document,
    write_plan_document,
    write_purchase_orders_document,
    write_quote_document,
)
from service.jobs.outcomes import (
    Broken,
    CheckFailed,
    Outcome,
    OutOfTime,
    PlanDocument,
    PlanJob,
    Planned,
    PlannedToKeep,
    Quoted,
    Rejected,
)
from service.jobs.publishing import publish, publish_quote
from service.jobs.rebuilding import write_solution
from service.mapping.quote_terms_in import under_terms
from service.wire import limits


def carry_out(job: PlanJob, observer: Observer | None = None) -> Outcome:
    """Return what comes of an order. Raises nothing: every error is an outcome.

    `observer` is told how far it is.
    """
    try:
        return _plan(job, observer)
    except OptimiserError as error:
        return to_outcome(error)
    except Exception:
        return Broken(trace=traceback.format_exc())


def _plan(job: PlanJob, observer: Observer | None) -> Outcome:
    started = time.perf_counter()
    order = job.order
    if not _tells_alternatives(job):
        order = replace(order, policy=replace(order.policy, alternatives=False))
    plan = make_plan(
        order,
        rule_sets=job.rule_sets,
        most_lengths=limits.PIECE_LENGTHS,
        clock=time.monotonic,
        observer=observer,
    )
    seconds = time.perf_counter() - started
    if observer is not None:
        known = plan.certificate
        observer(Progress(phase=Phase.WRITING, best_cost=known.cost, lower_bound=known.lower_bound))
    if job.document is PlanDocument.KEPT:
        certificate = plan.certificate
        return PlannedToKeep(
            document=write_plan_document(plan, as_text=False),
            text=write_plan_document(plan, as_text=True).decode(),
            solution=write_solution(plan),
            currency=plan.currency,
            total=plan.total,
            gap=plan.total - certificate.lower_bound,
            seconds=seconds,
            proved=certificate.proved,
            gap_percent=_gap_percent(certificate),
        )
    if job.terms is not None:
        quote = price_plan(plan, job.terms)
        return Quoted(
            document=_write_quote(quote, job),
            quote=quote,
            seconds=seconds,
            proved=plan.certificate.proved,
            gap_percent=_gap_percent(plan.certificate),
        )
    return Planned(
        document=_write(plan, job),
        seconds=seconds,
        proved=plan.certificate.proved,
        gap_percent=_gap_percent(plan.certificate),
    )


def _write_quote(quote: Quote, job: PlanJob) -> bytes:
    if job.publish is not None:
        return publish_quote(quote, job.publish)
    inside = job.document is PlanDocument.QUOTE_INSIDE
    return write_quote_document(quote, as_text=job.as_text, inside=inside)


def _tells_alternatives(job: PlanJob) -> bool:
    """Return whether what is wanted tells of alternatives: the plan itself, or why it is so."""
    if job.publish is not None:
        return job.publish.document in TELL_ALTERNATIVES
    return job.document in {PlanDocument.PLAN, PlanDocument.KEPT}


def _gap_percent(certificate: Certificate) -> float:
    """Return the gap that is left, of the cost; for figures over many plans, not for an answer."""
    return float(100 * certificate.gap / certificate.cost) if certificate.cost else 0.0


def to_outcome(error: OptimiserError) -> Outcome:
    """Return what an error of the library stands for."""
    match error:
        case OrderRejected(faults=faults):
            return Rejected(faults=faults, no_plan=isinstance(error, NoPlan))
        case QuoteRejected(faults=faults):
            return Rejected(faults=under_terms(faults), no_plan=False)
        case NoPlanInTime():
            return OutOfTime(message=str(error))
        case PlanCheckFailed(failures=failures):
            return CheckFailed(failures=failures)
    return Broken(trace="".join(traceback.format_exception(error)))


def _write(plan: Plan, job: PlanJob) -> bytes:
    match job.document:
        case PlanDocument.PLAN | PlanDocument.KEPT:
            return write_plan_document(plan, as_text=job.as_text)
        case PlanDocument.BENCH_SHEETS:
            return write_bench_document(plan, job.order.policy.kerf_nm, as_text=job.as_text)
        case PlanDocument.QUOTE | PlanDocument.QUOTE_INSIDE:
            raise AssertionError("a quote has terms")
        case PlanDocument.INSTALL_SHEETS:
            return write_install_document(
                job.order,
                take_off(job.order, rule_sets=job.rule_sets),
                job.on_site,
                rule_sets=job.rule_sets,
                as_text=job.as_text,
                plan=plan,
            )
        case PlanDocument.PURCHASE_ORDERS:
            assert job.ordering is not None
            return write_purchase_orders_document(plan, job.ordering)
        case PlanDocument.PUBLISHED:
            assert job.publish is not None
            matter = PlanMatter(
                plan=plan,
                order=job.order,
                rule_sets=job.rule_sets,
                sizes=job.on_site.sizes,
                fits=job.on_site.fits,
            )
            return publish(matter, job.publish)


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
