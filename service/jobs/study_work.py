"""The work of a study: the one place of the service that has points planned."""

import time
import traceback

from optimiser.domain.faults import OptimiserError
from optimiser.domain.progress import Observer, Phase, Progress
from optimiser.render.study_text import render_study
from optimiser.study import run_study
from service.jobs.outcomes import Broken, Outcome, Studied, StudyJob
from service.jobs.work import to_outcome
from service.studies.answers import write_study
from service.studies.points import lay_out
from service.studies.tables import write_study_table
from service.wire import limits


def carry_out_study(job: StudyJob, observer: Observer | None = None) -> Outcome:
    """Return what comes of a study. Raises nothing: every error is an outcome.

    `observer` is told how many points are planned.
    """
    try:
        return _study(job, observer)
    except OptimiserError as error:
        return to_outcome(error)
    except Exception:
        return Broken(trace=traceback.format_exc())


def _study(job: StudyJob, observer: Observer | None) -> Outcome:
    started = time.perf_counter()
    asked = job.study
    count = asked.points

    def tell(done: int) -> None:
        if observer is not None:
            observer(Progress(phase=Phase.STUDYING, points_done=done, points=count))

    tell(0)
    laid = tuple(lay_out(asked))
    study = run_study(
        asked.base.order,
        [one.point for one in laid],
        rule_sets=asked.base.rule_sets,
        most_lengths=limits.PIECE_LENGTHS,
        clock=time.monotonic,
        time_limit_seconds=asked.time_limit_seconds,
        told=tell,
    )
    seconds = time.perf_counter() - started
    unit = asked.base.order.unit
    return Studied(
        document=write_study(study, [one.raw for one in laid], unit).model_dump_json().encode(),
        text=render_study(study, unit),
        table=write_study_table(study),
        seconds=seconds,
        proved=all(row.proved for row in study.rows),
        gap_percent=0.0,
        currency=study.base.currency,
        points=count,
    )
