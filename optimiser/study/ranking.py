"""Ranking: which input moves the cost most when it is moved down and up by a set step."""

from collections.abc import Sequence
from dataclasses import dataclass

from optimiser.domain.break_even import Influence
from optimiser.domain.study import StudyRow
from optimiser.study.points import Point
from optimiser.study.run import tabulate
from optimiser.study.solve_points import Planned, PointSolver


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """An input with its value in the base, and the points where it is lower and higher."""

    name: str
    base_value: str
    low_value: str
    high_value: str
    low: Point
    high: Point


def rank_inputs(
    base: Planned, inputs: Sequence[Input], solver: PointSolver
) -> tuple[Influence, ...]:
    """Return what each input does, the widest swing first; those without one last, by name."""
    influences = [_measure(base, moved, solver) for moved in inputs]
    return tuple(
        sorted(influences, key=lambda one: (one.swing is None, -(one.swing or 0), one.name))
    )


def _measure(base: Planned, moved: Input, solver: PointSolver) -> Influence:
    low, high = (tabulate(solver, point, base.plan) for point in (moved.low, moved.high))
    swing = None
    if low.cost is not None and high.cost is not None and _one_currency(base, low, high):
        costs = (low.cost, base.plan.total, high.cost)
        swing = max(costs) - min(costs)
    return Influence(
        name=moved.name,
        low_value=moved.low_value,
        base_value=moved.base_value,
        high_value=moved.high_value,
        low=low,
        high=high,
        swing=swing,
    )


def _one_currency(base: Planned, *rows: StudyRow) -> bool:
    return all(row.currency == base.plan.currency for row in rows)
