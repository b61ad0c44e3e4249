"""The lesser aims, under a proved cost: least drop, then fewest patterns.

Drop: the program of `program.py` with the drop of each block column (its length bought, less
what a kit takes away from cutting) for its cost, and one more row

    [cost]  Σ_k cost_k y_k ≤ least cost,

over every pattern that a plan of least cost could use (`gap_closing.py`), so that the result
is proved where HiGHS ends its search.

Patterns: over every pattern that cuts needed pieces only, full or not, with z_j whole in {0, 1}

    min Σ_j z_j
    [use j]    x_j ≤ most_j z_j
    [exact i]  Σ_j a_ij x_j + Σ_k term_ik y_k = at_least_i
    [row r], [bars s] as before, [cost] and [drop] as found.

Listing every such pattern is possible for small orders only; larger ones keep the patterns
that they have. Both searches are short: they never put the proof of the cost at risk.
"""

from collections.abc import Sequence
from dataclasses import replace

import pulp

from optimiser.solver.budget import Budget
from optimiser.solver.highs import ExactHighs
from optimiser.solver.integer_program import points_of, solve_over, write_program
from optimiser.solver.program import Column, Pattern, Point, Program, Row, broken_by, cost_of

DROP_NODES, PATTERN_NODES = 200, 400
MOST_FOR_DROP, MOST_FOR_PATTERNS = 600, 150
SHARE = 0.25


def reduce_drop(
    program: Program,
    point: Point,
    usable: Sequence[Pattern],
    drops: Sequence[int],
    budget: Budget,
) -> tuple[Point, bool]:
    """Return a point of the same cost with the least drop found, and whether that is proved.

    `usable` holds every pattern that a plan of that cost could use; `drops` is the drop that
    one of each block column adds.
    """
    cost = cost_of(program, point)
    now = sum(d * value for d, value in zip(drops, point.block, strict=True))
    result = solve_over(
        _with_rows(program, drops, [("cost", [c.cost for c in program.columns], cost)]),
        usable,
        incumbent=point,
        seconds=budget.share(SHARE).seconds_left,
        nodes=DROP_NODES,
        heuristics=False,
    )
    if result.point is None:
        return point, False
    proved = result.bound is not None and result.bound >= result.cost
    return (result.point if result.cost < now else point), proved


def _with_rows(
    program: Program, objective: Sequence[int], limits: Sequence[tuple[str, Sequence[int], int]]
) -> Program:
    columns: tuple[Column, ...] = tuple(
        replace(column, cost=aim) for column, aim in zip(program.columns, objective, strict=True)
    )
    rows = tuple(
        Row(name=name, terms=tuple((k, c) for k, c in enumerate(terms) if c), upper=limit)
        for name, terms, limit in limits
    )
    return replace(program, columns=columns, rows=program.rows + rows)


def reduce_patterns(
    program: Program,
    point: Point,
    limits: Sequence[tuple[str, Sequence[int], int]],
    every: Sequence[Pattern],
    budget: Budget,
) -> tuple[Point, bool]:
    """Return a point within the limits with the fewest patterns found, and whether proved.

    `every` holds all patterns within the demand, full or not; `point` cuts exactly what is
    needed. `limits` are rows (name, coefficient per block column, most).
    """
    if len(point.bars) <= 1:
        return point, len(point.bars) == 0 or _must_cut(program)
    limited = _with_rows(program, [0] * len(program.columns), limits)
    listed = list(dict.fromkeys([*every, *point.bars]))
    problem, _, cut = write_program(limited, listed, exact=True)
    used = []
    for j, (variable, pattern) in enumerate(zip(cut, listed, strict=True)):
        most = min(program.covers[i].most // count for i, count in pattern.counts)
        use = problem.add_variable(f"z{j}", 0, 1, pulp.LpInteger)
        problem += variable - max(most, point.bars.get(pattern, 0)) * use <= 0, f"use{j}"
        used.append(use)
    problem.setObjective(pulp.lpSum(used))
    values = {f"y{k}": value for k, value in enumerate(point.block)}
    values |= {f"x{j}": point.bars.get(pattern, 0) for j, pattern in enumerate(listed)}
    values |= {f"z{j}": int(pattern in point.bars) for j, pattern in enumerate(listed)}
    start = [float(values[variable.name]) for variable in problem.variables()]
    left = budget.share(SHARE).seconds_left
    options = {} if left is None else {"time_limit": left}
    solver = ExactHighs(start=start, mip_max_nodes=PATTERN_NODES, **options)
    problem.solve(solver)
    outcome = solver.outcome
    found = points_of(limited, listed, problem, solver)
    if outcome is None or found is None or broken_by(limited, found) is not None:
        return point, False
    best = found if len(found.bars) < len(point.bars) else point
    return best, outcome.bound > len(best.bars) - 1


def _must_cut(program: Program) -> bool:
    """Return whether every plan cuts something: some cover needs more than kits can take."""
    return any(
        cover.at_least > sum(max(0, c) * program.columns[k].upper for k, c in cover.terms)
        for cover in program.covers
    )
