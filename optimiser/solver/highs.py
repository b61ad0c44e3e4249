"""HiGHS: the only place that opens it, sets it and reads its status.

PuLP's own status is not used: it calls a solve that ran into its time limit optimal. Status,
value and bound are read from HiGHS itself.
"""

import ctypes
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import highspy
import numpy as np
import pulp
from numpy.typing import NDArray

Numbers = Sequence[float] | NDArray[Any]

RELATIVE_TOLERANCE = 1e-9
ABSOLUTE_TOLERANCE = 1e-5
"""What HiGHS's bound may be off by: its feasibility tolerance over the whole objective."""


@contextmanager
def _standard_output_closed() -> Iterator[None]:
    """Send what C code writes to standard output nowhere."""
    sys.stdout.flush()
    kept = os.dup(1)
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 1)
        yield
        with suppress(OSError, AttributeError):
            ctypes.CDLL(None).fflush(None)
    finally:
        os.dup2(kept, 1)
        os.close(nowhere)
        os.close(kept)


@lru_cache(maxsize=1)
def _take_banner() -> None:
    # HiGHS prints a banner once per process, from its constructor, before any option can be
    # set. Standard output belongs to the caller.
    with _standard_output_closed():
        highspy.Highs()  # type: ignore[no-untyped-call]


def open_highs(**options: Any) -> Any:
    """Return a silent HiGHS with one thread and a fixed seed."""
    _take_banner()
    solver = highspy.Highs()  # type: ignore[no-untyped-call]
    for name, value in {
        "output_flag": False,
        "threads": 1,
        "random_seed": 0,
        **options,
    }.items():
        solver.setOptionValue(name, value)
    return solver


@dataclass(frozen=True, slots=True, kw_only=True)
class MipOutcome:
    """What HiGHS found: the values of the best point, or `None`, and a bound on its model.

    `bound` holds for the model that was solved, tolerances taken off. `infeasible` says that
    the model was shown to have no point (better than a cutoff, where one was set).
    """

    values: tuple[float, ...] | None
    bound: float
    infeasible: bool
    finished: bool
    nodes: int


def read_outcome(solver: Any) -> MipOutcome:
    """Return what a mixed-integer run of HiGHS ended with, from its own status."""
    status = solver.getModelStatus()
    states = highspy.HighsModelStatus
    info = solver.getInfo()
    infeasible = status in (states.kInfeasible, states.kUnboundedOrInfeasible)
    feasible = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
    bound = float(info.mip_dual_bound)
    return MipOutcome(
        values=tuple(solver.getSolution().col_value) if feasible and not infeasible else None,
        bound=bound - ABSOLUTE_TOLERANCE - RELATIVE_TOLERANCE * abs(bound),
        infeasible=infeasible,
        finished=infeasible or status == states.kOptimal,
        nodes=int(info.mip_node_count),
    )


def linear_program_infeasible(solver: Any) -> bool:
    """Return whether HiGHS showed a linear program to have no point."""
    return bool(solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible)


def linear_program_solved(solver: Any) -> bool:
    """Return whether HiGHS solved a linear program to its end."""
    return bool(solver.getModelStatus() == highspy.HighsModelStatus.kOptimal)


def write_model(
    *,
    columns: tuple[Numbers, Numbers, Numbers],
    rows: tuple[Numbers, Numbers],
    matrix: tuple[Numbers, Numbers, Numbers],
) -> Any:
    """Return a linear program to be minimised, as HiGHS takes it.

    Columns are their costs, least and greatest values; rows their least and greatest sums. The
    matrix is row by row: where each row starts and the last one ends, columns, coefficients.
    """
    (costs, lower, upper), (least, most), (starts, places, values) = columns, rows, matrix
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = len(costs), len(least)
    model.col_cost_ = np.asarray(costs, dtype=float)
    model.col_lower_ = np.asarray(lower, dtype=float)
    model.col_upper_ = np.asarray(upper, dtype=float)
    model.row_lower_ = np.asarray(least, dtype=float)
    model.row_upper_ = np.asarray(most, dtype=float)
    model.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    model.a_matrix_.start_ = np.asarray(starts, dtype=np.int32)
    model.a_matrix_.index_ = np.asarray(places, dtype=np.int32)
    model.a_matrix_.value_ = np.asarray(values, dtype=float)
    return model


class ExactHighs(pulp.HiGHS):  # type: ignore[misc]
    """PuLP's way to HiGHS, silent, exact, in one batch, and with its outcome kept.

    PuLP hands its model over column by column; here it goes over as one sparse matrix.
    """

    def __init__(self, *, start: Sequence[float] | None = None, **options: Any) -> None:
        super().__init__(msg=False, threads=1)
        self.start = start
        self.options = {"mip_rel_gap": 0.0, "mip_abs_gap": 0.0, **options}
        self.outcome: MipOutcome | None = None

    def createAndConfigureSolver(self, lp: Any) -> None:  # noqa: N802
        """Open HiGHS for PuLP."""
        lp.solverModel = open_highs(**self.options)

    def buildSolverModel(self, lp: Any) -> None:  # noqa: N802
        """Hand PuLP's model over."""
        variables = lp.variables()
        for position, variable in enumerate(variables):
            variable.index = position
        starts, indices, values = [0], [], []
        lower, upper = [], []
        for constraint in lp.constraints():
            for variable, coefficient in constraint.items():
                indices.append(variable.index)
                values.append(coefficient)
            starts.append(len(indices))
            lower.append(_limit(constraint.getLb(), -1))
            upper.append(_limit(constraint.getUb(), 1))
        model = write_model(
            columns=(
                [lp.objective.get(v, 0.0) for v in variables],
                [_limit(v.lowBound, -1) for v in variables],
                [_limit(v.upBound, 1) for v in variables],
            ),
            rows=(lower, upper),
            matrix=(starts, indices, values),
        )
        model.integrality_ = [
            highspy.HighsVarType.kInteger
            if v.cat == pulp.LpInteger
            else highspy.HighsVarType.kContinuous
            for v in variables
        ]
        lp.solverModel.passModel(model)
        if self.start is not None:
            solution = highspy.HighsSolution()
            solution.col_value = list(self.start)
            lp.solverModel.setSolution(solution)

    def findSolutionValues(self, lp: Any) -> tuple[int, int]:  # noqa: N802
        """Keep HiGHS's own outcome; PuLP is told only that the solve is over."""
        self.outcome = read_outcome(lp.solverModel)
        return pulp.LpStatusNotSolved, pulp.LpSolutionNoSolutionFound


def _limit(bound: float | None, sign: int) -> float:
    return sign * highspy.kHighsInf if bound is None else bound
