"""The engine: from a program to the best point found and a bound that holds for all of it."""

from collections.abc import Callable
from dataclasses import dataclass

from optimiser.domain.decision import Method
from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import generate_columns, starting_patterns
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.gap_closing import limit_columns, patterns_within
from optimiser.solver.integer_program import solve_over
from optimiser.solver.master import Master
from optimiser.solver.program import Pattern, Point, Program, ProgramInfeasible
from optimiser.solver.stock import StockGroup, group_sources

FEW_PATTERNS = 2_000
MOST_PATTERNS = 60_000
NODES = 20_000


def _silent(cost: int | None, bound: int) -> None:
    """Tell nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Solved:
    """The best point, a whole lower bound for the program, and how the bound was got.

    `complete` says that `patterns` holds every pattern that is not dominated.
    """

    point: Point
    cost: int
    bound: int
    method: Method
    patterns: tuple[Pattern, ...]
    complete: bool

    @property
    def proved(self) -> bool:
        """Return whether the bound meets the cost."""
        return self.bound >= self.cost


def solve_program(
    program: Program, budget: Budget, report: Callable[[int | None, int], None] = _silent
) -> Solved | None:
    """Return the best point found with a valid bound; `None` where time ran out before one.

    `report` is told the cost so far (`None` while there is none) and the bound so far.

    Raises:
        ProgramInfeasible: the program has no point.
    """
    groups = group_sources(program)
    every = all_patterns(groups, FEW_PATTERNS)
    if every is not None:
        solved = _solve_all(program, every, budget)
        if solved is None or solved.proved:
            return solved
    return _generate(program, groups, budget, report)


def _solve_all(program: Program, every: list[Pattern], budget: Budget) -> Solved | None:
    result = solve_over(program, every, seconds=budget.seconds_left, nodes=NODES)
    if result.bound is None:
        raise ProgramInfeasible
    if result.point is None:
        return None
    return Solved(
        point=result.point,
        cost=result.cost,
        bound=result.bound,
        method=Method.ALL_PATTERNS,
        patterns=tuple(every),
        complete=True,
    )


def _generate(
    program: Program,
    groups: tuple[StockGroup, ...],
    budget: Budget,
    report: Callable[[int | None, int], None],
) -> Solved | None:
    master = Master(program)
    master.add(starting_patterns(groups))
    generated = generate_columns(master, groups, stop=budget.spent)
    if generated is None:
        return None
    bound = generated.bound
    result = solve_over(
        program,
        master.patterns,
        target=bound.whole,
        seconds=budget.share(0.4).seconds_left,
        nodes=NODES,
    )
    point, cost = result.point, result.cost
    if point is None:
        return None
    best = Solved(
        point=point,
        cost=cost,
        bound=bound.whole,
        method=Method.COLUMN_GENERATION,
        patterns=tuple(master.patterns),
        complete=False,
    )
    report(cost, bound.whole)
    if best.proved or budget.spent():
        return best
    more = generate_columns(master, groups, stop=budget.spent, round_up=False)
    if more is not None and more.bound.scaled > bound.scaled:
        bound = more.bound
    within = patterns_within(groups, bound, cost - 1, MOST_PATTERNS)
    if within is None:
        return best
    closing = solve_over(
        limit_columns(program, bound, cost - 1),
        within,
        ceiling=cost - 1,
        target=bound.whole,
        seconds=budget.seconds_left,
        nodes=NODES,
    )
    proved = cost if closing.bound is None else max(bound.whole, closing.bound)
    if closing.point is not None:
        point, cost = closing.point, closing.cost
    return Solved(
        point=point,
        cost=cost,
        bound=min(proved, cost),
        method=Method.PATTERNS_UNDER_GAP,
        patterns=tuple(within),
        complete=False,
    )
