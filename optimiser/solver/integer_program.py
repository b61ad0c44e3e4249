"""The joint integer program over a list of patterns, written in PuLP and solved by HiGHS.

The formulation is that of `program.py` with P(s) cut down to the patterns handed in; the
constraints carry the names used there. It proves nothing about patterns that are not in the
list: see `gap_closing.py` for what does.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil
from typing import Any

import pulp

from optimiser.solver.highs import ExactHighs
from optimiser.solver.program import Pattern, Point, Program, broken_by, cost_of, pattern_cost

WITHOUT_HEURISTICS: dict[str, Any] = {
    "mip_heuristic_effort": 0.0,
    "mip_heuristic_run_feasibility_jump": False,
    "mip_heuristic_run_rins": False,
    "mip_heuristic_run_rens": False,
    "mip_heuristic_run_root_reduced_cost": False,
    "mip_heuristic_run_zi_round": False,
    "mip_heuristic_run_shifting": False,
}
WITHOUT_PRESOLVE: dict[str, Any] = {"presolve": "off"}
FAR_BELOW = -(1 << 62)
SMALL_COLUMNS, SMALL_ROWS = 350, 45
"""Up to so many HiGHS's presolve takes longer than it saves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class IntegerResult:
    """The best point over the listed patterns, and a bound over them.

    `point` is `None` where none was found; it has been checked in exact arithmetic. `bound` is
    a whole cost below which the listed patterns allow no plan; `None` where they allow none at
    all (none under the ceiling, where one was set).
    """

    point: Point | None
    cost: int
    bound: int | None
    finished: bool
    nodes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CostLimit:
    """The row [cost]: by `program` a point costs at most `most`, its patterns included."""

    program: Program
    most: int

    def write(
        self,
        problem: pulp.LpProblem,
        block: Sequence[pulp.LpVariable],
        cut: Sequence[pulp.LpVariable],
        patterns: Sequence[Pattern],
    ) -> None:
        """Add the row to a program in PuLP."""
        problem += _cost_terms(self.program, block, cut, patterns) <= self.most, "cost"

    def holds(self, point: Point) -> bool:
        """Return whether a point keeps the row, in exact arithmetic."""
        return cost_of(self.program, point) <= self.most


def solve_over(
    program: Program,
    patterns: Sequence[Pattern],
    *,
    incumbent: Point | None = None,
    ceiling: int | None = None,
    target: int | None = None,
    seconds: float | None = None,
    nodes: int | None = None,
    whole_bars: bool = True,
    heuristics: bool = True,
    under: CostLimit | None = None,
    **more: float | int | str | bool,
) -> IntegerResult:
    """Solve the program over the listed patterns.

    `incumbent` starts the search; its patterns are taken into the list. `ceiling` asks for a
    cost of at most so much: it cuts off, and is no row, for HiGHS looks for points under a row
    with heuristics that take most of the time where there are none. The search ends at
    `target` (a bound from elsewhere), or after `seconds` or `nodes`. Without `heuristics` it
    looks for no better point than branching gives: half the time where there is none. `under`
    is one more row, on what a point costs by another program.
    """
    listed = list(dict.fromkeys([*patterns, *(incumbent.bars if incumbent else ())]))
    problem, block, cut = write_program(program, listed, whole_bars=whole_bars)
    if under is not None:
        under.write(problem, block, cut, listed)
    options = WITHOUT_PRESOLVE if is_small(problem) else {}
    options = options | ({} if heuristics else WITHOUT_HEURISTICS) | more
    if target is not None:
        options["objective_target"] = target + 0.5
    if ceiling is not None:
        options["objective_bound"] = ceiling + 0.5
    if seconds is not None:
        options["time_limit"] = max(0.0, seconds)
    if nodes is not None:
        options["mip_max_nodes"] = nodes
    start = None
    if incumbent is not None and (ceiling is None or cost_of(program, incumbent) <= ceiling):
        values = {f"y{k}": value for k, value in enumerate(incumbent.block)}
        values |= {f"x{j}": incumbent.bars.get(pattern, 0) for j, pattern in enumerate(listed)}
        start = [float(values[variable.name]) for variable in problem.variables()]
    solver = ExactHighs(start=start, **options)
    problem.solve(solver)
    outcome = solver.outcome
    assert outcome is not None
    point = points_of(program, listed, problem, solver)
    if point is not None and whole_bars and broken_by(program, point) is not None:
        point = None
    if point is not None and under is not None and not under.holds(point):
        point = None
    found_none = outcome.infeasible
    if ceiling is not None:
        # A point above the ceiling says nothing about dearer ones: it is not the best of them.
        if point is not None and cost_of(program, point) > ceiling:
            point = None
            found_none = outcome.finished
        found_none = found_none or outcome.bound > ceiling
    bound: int | None = None
    if not found_none:
        bound = FAR_BELOW if outcome.bound < -1e18 else ceil(outcome.bound)
        if point is not None:
            bound = min(bound, cost_of(program, point))
    return IntegerResult(
        point=point,
        cost=cost_of(program, point) if point is not None else 0,
        bound=bound,
        finished=found_none or (outcome.finished and point is not None),
        nodes=outcome.nodes,
    )


def is_small(problem: pulp.LpProblem) -> bool:
    """Return whether a program is small enough to be solved as it stands, without presolve."""
    few = problem.numVariables() <= SMALL_COLUMNS
    return few and bool(problem.numConstraints() <= SMALL_ROWS)


def points_of(
    program: Program,
    listed: Sequence[Pattern],
    problem: pulp.LpProblem,
    solver: ExactHighs,
) -> Point | None:
    """Return the point that HiGHS found, rounded to whole numbers, or `None`. Not checked."""
    if solver.outcome is None or solver.outcome.values is None:
        return None
    named = {
        variable.name: round(value)
        for variable, value in zip(problem.variables(), solver.outcome.values, strict=True)
    }
    return Point(
        block=tuple(named.get(f"y{k}", column.lower) for k, column in enumerate(program.columns)),
        bars={pattern: named[f"x{j}"] for j, pattern in enumerate(listed) if named.get(f"x{j}")},
    )


def write_program(
    program: Program,
    patterns: Sequence[Pattern],
    *,
    whole_bars: bool = True,
    exact: bool = False,
) -> tuple[pulp.LpProblem, list[pulp.LpVariable], list[pulp.LpVariable]]:
    """Return the program in PuLP, with its block columns and its patterns' columns.

    `whole_bars` false lets bars be real; `exact` forbids surplus pieces.
    """
    problem = pulp.LpProblem("purchase", pulp.LpMinimize)
    bars = {k for source in program.sources for k, _ in source.bars}
    block = [
        problem.add_variable(
            f"y{k}",
            column.lower,
            column.upper,
            pulp.LpInteger
            if column.integer and (whole_bars or k not in bars)
            else pulp.LpContinuous,
        )
        for k, column in enumerate(program.columns)
    ]
    category = pulp.LpInteger if whole_bars else pulp.LpContinuous
    cut = [problem.add_variable(f"x{j}", 0, None, category) for j in range(len(patterns))]
    covered: list[list[tuple[pulp.LpVariable, int]]] = [[] for _ in program.covers]
    barred: list[list[tuple[pulp.LpVariable, int]]] = [[] for _ in program.sources]
    for variable, pattern in zip(cut, patterns, strict=True):
        for i, count in pattern.counts:
            covered[i].append((variable, count))
        barred[pattern.source].append((variable, 1))
    problem.setObjective(_cost_terms(program, block, cut, patterns))
    for n, row in enumerate(program.rows):
        expression = pulp.LpAffineExpression([(block[k], c) for k, c in row.terms])
        if row.lower is not None and row.lower == row.upper:
            problem += expression == row.lower, f"row{n}"
            continue
        if row.lower is not None:
            problem += expression >= row.lower, f"row{n}_least"
        if row.upper is not None:
            problem += expression <= row.upper, f"row{n}_most"
    for i, cover in enumerate(program.covers):
        terms = covered[i] + [(block[k], c) for k, c in cover.terms]
        if terms:
            covered_by = pulp.LpAffineExpression(terms)
            problem += (
                covered_by == cover.at_least if exact else covered_by >= cover.at_least,
                f"cover{i}",
            )
    for s, source in enumerate(program.sources):
        terms = barred[s] + [(block[k], -c) for k, c in source.bars]
        if barred[s]:
            problem += pulp.LpAffineExpression(terms) <= 0, f"bars{s}"
    return problem, block, cut


def _cost_terms(
    program: Program,
    block: Sequence[pulp.LpVariable],
    cut: Sequence[pulp.LpVariable],
    patterns: Sequence[Pattern],
) -> pulp.LpAffineExpression:
    terms = [(v, column.cost) for v, column in zip(block, program.columns, strict=True)]
    terms += [(v, pattern_cost(program, p)) for v, p in zip(cut, patterns, strict=True)]
    return pulp.LpAffineExpression([(variable, cost) for variable, cost in terms if cost])
