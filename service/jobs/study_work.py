"""The work of a study: the one place of the service that has points planned."""

import time
import traceback
from collections.abc import Callable, Sequence

from optimiser.domain.break_even import BreakEven, Influence
from optimiser.domain.faults import OptimiserError
from optimiser.domain.progress import Observer, Phase, Progress
from optimiser.domain.study import StudyRow
from optimiser.domain.study_questions import Answer, Question
from optimiser.publishing.builders.studies import StudyMatter
from optimiser.render.study_text import render_study
from optimiser.study import PointSolver, find_break_evens, rank_inputs, run_study
from optimiser.study.questions import answer
from service.jobs.outcomes import Broken, Outcome, Studied, StudyJob
from service.jobs.publishing import publish_study
from service.jobs.work import to_outcome
from service.studies.answers import write_study
from service.studies.numbers import to_input, to_number_axis
from service.studies.points import LaidOut, lay_out
from service.studies.request import StudyRequest
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
    started, deadline = time.perf_counter(), time.monotonic() + job.study.time_limit_seconds
    asked = job.study
    planned = asked.points + sum(len(one.points) for one in asked.questions)
    count = planned + len(asked.break_evens) + len(asked.ranking)

    def tell(done: int) -> None:
        if observer is not None:
            observer(Progress(phase=Phase.STUDYING, points_done=done, points=count))

    tell(0)
    laid = (
        *lay_out(asked),
        *(LaidOut(point, None) for question in asked.questions for point in question.points),
    )
    # Questions, break-evens and inputs profit from the points that were solved before.
    solver = PointSolver(most_lengths=limits.PIECE_LENGTHS, clock=time.monotonic, deadline=deadline)
    study = run_study(
        asked.base.order,
        [one.point for one in laid],
        rule_sets=asked.base.rule_sets,
        told=tell,
        solver=solver,
    )
    answers = _answer(asked, study.rows[asked.points :], solver)
    break_evens, ranking = _search(asked, solver, lambda done: tell(planned + done))
    unit = asked.base.order.unit
    written = write_study(
        study,
        [one.raw for one in laid],
        unit,
        answers=answers,
        break_evens=break_evens,
        ranking=ranking,
    )
    matter = StudyMatter(
        study=study,
        reference=asked.base.order.reference,
        unit=unit,
        answers=answers,
        break_evens=break_evens,
        ranking=ranking,
    )
    return Studied(
        document=written.model_dump_json().encode(),
        text=render_study(study, unit, answers=answers, break_evens=break_evens, ranking=ranking),
        table=write_study_table(study),
        seconds=time.perf_counter() - started,
        proved=all(row.proved for row in study.rows),
        gap_percent=0.0,
        currency=study.base.currency,
        points=len(laid),
        published=b"" if job.publish is None else publish_study(matter, job.publish),
    )


def _answer(
    asked: StudyRequest, rows: Sequence[StudyRow], solver: PointSolver
) -> tuple[Answer, ...]:
    """Return what the questions come to; their rows stand one after the other."""
    answers, first = [], 0
    for one in asked.questions:
        own = rows[first : first + len(one.points)]
        first += len(one.points)
        base = None
        if one.question is Question.QUANTITY:
            base = solver.plan(asked.base.order, asked.base.rule_sets)
        answers.append(answer(one.question, own, one.points, base=base, solver=solver))
    return tuple(answers)


def _search(
    asked: StudyRequest, solver: PointSolver, tell: Callable[[int], None]
) -> tuple[tuple[BreakEven, ...], tuple[Influence, ...]]:
    """Return where the decision flips along each number, and the ranking of the inputs."""
    if not asked.break_evens and not asked.ranking:
        return (), ()
    base = solver.plan(asked.base.order, asked.base.rule_sets)
    found = []
    for number, sought in enumerate(asked.break_evens, start=1):
        found.append(find_break_evens(base, to_number_axis(asked, sought), solver))
        tell(number)
    ranking = rank_inputs(base, [to_input(asked, moved) for moved in asked.ranking], solver)
    tell(len(asked.break_evens) + len(asked.ranking))
    return tuple(found), ranking
