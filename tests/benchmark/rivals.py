"""The textbook model in the hands of OR-Tools CP-SAT, and of PuLP with CBC; one thread each."""

import threading
import warnings
from dataclasses import dataclass
from typing import Any

import pulp
from ortools.sat.python import cp_model

from tests.benchmark.assignment import Assignment, Deadline, TooSlow, Writer

Terms = list[tuple[Any, int]]


@dataclass(frozen=True, slots=True)
class Found:
    """What a solver ended with: the cost in cents, or `None`, and whether it proved it."""

    cents: int | None
    proved: bool
    bound: int | None = None


def solve_with_cp_sat(problem: Assignment, deadline: Deadline) -> Found:
    """Write and solve the model.

    Raises:
        TooSlow: the deadline passed before the model was written.
    """
    model = cp_model.CpModel()

    def expression(terms: Terms) -> cp_model.LinearExprT:
        return cp_model.LinearExpr.weighted_sum([v for v, _ in terms], [c for _, c in terms])

    writer: Writer[cp_model.IntVar] = Writer(
        variable=lambda name, upper: model.new_int_var(0, upper, name),
        at_most=lambda terms, most: model.add(expression(terms) <= most),
        at_least=lambda terms, least: model.add(expression(terms) >= least),
    )
    model.minimize(expression(writer.write(problem, deadline)))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = 0
    ended = threading.Event()
    watch = threading.Thread(target=_stop_at, args=(deadline, solver, ended))
    watch.start()
    try:
        status = solver.solve(model)
    finally:
        ended.set()
        watch.join()
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Found(None, proved=False)
    bound = -(-round(solver.best_objective_bound * 1e6) // 1_000_000)
    return Found(round(solver.objective_value), status == cp_model.OPTIMAL, bound)


def solve_with_cbc(problem: Assignment, deadline: Deadline) -> Found:
    """Write the model in PuLP and solve it with the CBC that comes with PuLP.

    Raises:
        TooSlow: the deadline passed before the model was written.
    """
    model = pulp.LpProblem("order", pulp.LpMinimize)
    writer: Writer[pulp.LpVariable] = Writer(
        variable=lambda name, upper: model.add_variable(name, 0, upper, pulp.LpInteger),
        at_most=lambda terms, most: model.addConstraint(pulp.LpAffineExpression(terms) <= most),
        at_least=lambda terms, least: model.addConstraint(pulp.LpAffineExpression(terms) >= least),
    )
    model.setObjective(pulp.LpAffineExpression(writer.write(problem, deadline)))
    with warnings.catch_warnings():
        # The CBC that comes with PuLP is deprecated: PuLP 4 will not bring one.
        warnings.simplefilter("ignore", DeprecationWarning)
        solver = pulp.PULP_CBC_CMD(
            msg=False, threads=1, timeLimit=deadline.left(), timeMode="cpu", gapRel=0.0
        )
    model.solve(solver)
    if model.sol_status not in (pulp.LpSolutionOptimal, pulp.LpSolutionIntegerFeasible):
        return Found(None, proved=False)
    for variable in model.variables():
        variable.varValue = round(variable.varValue)
    if not model.valid(0):
        # Stopped before it has a solution, CBC writes down where it stood, and PuLP takes that.
        return Found(None, proved=False)
    # PuLP's status calls a run that ended at its limit optimal; the solution's does not.
    return Found(round(model.objective.value()), model.sol_status == pulp.LpSolutionOptimal)


def _stop_at(deadline: Deadline, solver: cp_model.CpSolver, ended: threading.Event) -> None:
    """Stop CP-SAT at the deadline: its own limit is by the wall clock."""
    while not ended.wait(0.05):
        try:
            deadline.left()
        except TooSlow:
            solver.stop_search()
