"""The lesser aims, under a proved cost: least drop, then fewest patterns.

Drop: the program of `program.py` with the drop of each block column (its length bought, less
what it takes away from cutting) for its cost, and one more row

    [cost]  Σ_k cost_k y_k + Σ_j cost_j x_j ≤ least cost,

over every pattern that a plan of least cost could use (`gap_closing.py`), so that the result
is proved where HiGHS ends its search. A drop that is kept is a drop: what it is credited at is in
the cost already.

Patterns: over every pattern that cuts needed pieces only, full or not, with z_j whole in {0, 1}

    min Σ_j z_j
    [use j]    x_j ≤ most_j z_j
    [exact i]  Σ_j a_ij x_j + Σ_k term_ik y_k = at_least_i
    [row r], [bars s] as before, [cost] and [drop] as found.

A bar left whole is no pattern. Listing every such pattern is possible for small orders only;
larger ones keep the patterns that they have. Both searches are short: they never put the proof of
the cost at risk.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import pulp

from optimiser.solver.budget import Budget
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.highs import ExactHighs
from optimiser.solver.integer_program import CostLimit, points_of, solve_over, write_program
from optimiser.solver.program import Pattern, Point, Program, Row, broken_by, cost_of
from optimiser.solver.stock import group_sources
from optimiser.solver.trimming import trim_point

DROP_NODES, PATTERN_NODES = 200, 400
MOST_FOR_DROP, MOST_FOR_PATTERNS = 600, 150
SHARE = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class Usable:
    """Patterns for a plan of least cost, and the program with its columns limited to such plans.

    `complete` says that no such plan uses another pattern.
    """

    program: Program
    patterns: Sequence[Pattern]
    complete: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Served:
    """A point of least cost that cuts exactly what is needed, and what was proved of it."""

    point: Point
    drop_proved: bool = False
    patterns_proved: bool = False


def serve_lesser_aims(
    program: Program,
    point: Point,
    usable: Usable | None,
    drops: Sequence[int],
    budget: Budget,
    *,
    drop_proved: bool = False,
) -> Served:
    """Return a point that costs the same, with less drop and fewer patterns where there is one.

    `point` has the least cost, and of such points the least drop where that is `drop_proved`;
    `drops` is the drop that one of each block column adds.
    """
    point = cut_exactly(program, point)
    cost, patterns_proved = cost_of(program, point), False
    if usable is not None and not budget.spent():
        reduced, drop_proved = _reduce_drop(program, point, usable, drops, budget)
        point = cut_exactly(program, reduced)
    every = all_patterns(group_sources(program), MOST_FOR_PATTERNS, maximal=False)
    if every is not None and not budget.spent():
        drop = sum(d * value for d, value in zip(drops, point.block, strict=True))
        row = Row(name="drop", terms=_listed(drops), upper=drop)
        limited = replace(program, rows=(*program.rows, row))
        point, fewest = _reduce_patterns(limited, point, cost, every, budget)
        patterns_proved = fewest and drop_proved
    return Served(point=point, drop_proved=drop_proved, patterns_proved=patterns_proved)


def cut_exactly(program: Program, point: Point) -> Point:
    """Return the point without surplus pieces; bars left whole are credited where any are."""
    trimmed = trim_point(program, point)
    bars = {pattern: count for pattern, count in trimmed.bars.items() if pattern.counts}
    for s, source in enumerate(program.sources):
        if not source.credit(0):
            continue
        cut = sum(count for pattern, count in bars.items() if pattern.source == s)
        whole = sum(c * point.block[k] for k, c in source.bars) - cut
        if whole > 0:
            bars[Pattern(source=s, counts=())] = whole
    return Point(block=point.block, bars=bars)


def _listed(coefficients: Sequence[int]) -> tuple[tuple[int, int], ...]:
    return tuple((k, c) for k, c in enumerate(coefficients) if c)


def _reduce_drop(
    program: Program, point: Point, usable: Usable, drops: Sequence[int], budget: Budget
) -> tuple[Point, bool]:
    now = sum(d * value for d, value in zip(drops, point.block, strict=True))
    result = solve_over(
        replace(
            usable.program,
            columns=tuple(
                replace(column, cost=drop)
                for column, drop in zip(usable.program.columns, drops, strict=True)
            ),
            sources=tuple(replace(source, credits=()) for source in program.sources),
        ),
        usable.patterns,
        incumbent=point,
        seconds=budget.share(SHARE).seconds_left,
        nodes=DROP_NODES,
        heuristics=False,
        under=CostLimit(program=program, most=cost_of(program, point)),
    )
    if result.point is None:
        return point, False
    proved = usable.complete and result.bound is not None and result.bound >= result.cost
    return (result.point if result.cost < now else point), proved


def _reduce_patterns(
    program: Program, point: Point, cost: int, every: Sequence[Pattern], budget: Budget
) -> tuple[Point, bool]:
    """Return a point of that cost with the fewest patterns found, and whether proved.

    `every` holds all patterns within the demand, full or not; `point` cuts exactly what is
    needed.
    """
    now = _count_patterns(point)
    if now == 0 or (now == 1 and _must_cut(program)):
        return point, True
    listed = list(dict.fromkeys([*every, *point.bars]))
    problem, block, cut = write_program(program, listed, exact=True)
    limit = CostLimit(program=program, most=cost)
    limit.write(problem, block, cut, listed)
    used = []
    for j, (variable, pattern) in enumerate(zip(cut, listed, strict=True)):
        if not pattern.counts:
            continue
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
    found = points_of(program, listed, problem, solver)
    if outcome is None or found is None or broken_by(program, found) or not limit.holds(found):
        return point, False
    best = found if _count_patterns(found) < now else point
    return best, outcome.bound > _count_patterns(best) - 1


def _count_patterns(point: Point) -> int:
    return sum(1 for pattern in point.bars if pattern.counts)


def _must_cut(program: Program) -> bool:
    """Return whether every plan cuts something: some cover needs more than kits can take."""
    return any(
        cover.at_least > sum(max(0, c) * program.columns[k].upper for k, c in cover.terms)
        for cover in program.covers
    )
