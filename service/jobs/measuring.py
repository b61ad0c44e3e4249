"""What is measured of a job's outcome."""

from service.jobs.outcomes import (
    Broken,
    CheckFailed,
    Outcome,
    OutOfTime,
    Planned,
    Rejected,
)
from service.telemetry.measures import Measures


def measure_outcome(measures: Measures, outcome: Outcome, seconds: float) -> None:
    """Take what came of an order that a solver has had for so many seconds."""
    measures.order_solved(outcome=name_outcome(outcome), seconds=seconds)
    if isinstance(outcome, Planned):
        measures.plan_made(proved=outcome.proved, gap_percent=outcome.gap_percent)


def name_outcome(outcome: Outcome) -> str:
    """Return what came of an order, in a word or two."""
    match outcome:
        case Planned():
            return "planned"
        case Rejected(no_plan=no_plan):
            return "no-plan" if no_plan else "invalid"
        case OutOfTime():
            return "out-of-time"
        case CheckFailed():
            return "check-failed"
        case Broken():
            return "broken"
