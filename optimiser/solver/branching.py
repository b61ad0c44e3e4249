"""Programs with switches, credits or whole bundles: what the engine leaves open is searched.

Between zero and one a switch makes the relaxation cheap: half a bar needs half a shipment. So
does half a bundle. Such programs are searched block first (`block_search.py`): the block is an
integer program of its own that learns what can be cut; its switches are settled one choice of
them at a time, and the bound of the whole is the least over the settled choices and over the
block without them. Other programs go to the engine first.

What is left open goes, with the point that is known, to the engine, to one integer program over
every pattern where they can be listed, and to the engine again in all the time that is left.

Where drops are credited, the first point comes from the program without credits: each of its
plans is one of the program with them, and costs no more there. Where the first search proves
nothing, a plan made without the order's terms is asked for (see `buying/plain_plan.py`): what
comes back is never dearer.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace

from optimiser.domain.decision import Method
from optimiser.solver.block_search import BlockSearch, is_bundled
from optimiser.solver.budget import Budget
from optimiser.solver.engine import solve_program
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.idle_rows import drop_idle_rows
from optimiser.solver.integer_program import solve_over
from optimiser.solver.last_resorts import close_gap
from optimiser.solver.lesser_parts import serve_by_parts
from optimiser.solver.program import Point, Program, ProgramInfeasible, broken_by, cost_of
from optimiser.solver.solved import Solved
from optimiser.solver.stock import group_sources

ROOT_SHARE, LISTED_SHARE, BLOCK_SHARE, PLAIN_SHARE = 0.4, 0.5, 0.5, 0.5
MOST_LISTED, LISTED_NODES = 8_000, 20_000

Report = Callable[[int | None, int], None]

FindPoint = Callable[[Budget], Point | None]


def solve_by_branching(
    program: Program,
    budget: Budget,
    report: Report,
    drops: Sequence[int] | None = None,
    *,
    find_plain: FindPoint | None = None,
) -> Solved | None:
    """Return the best point found with a valid bound; `None` where time ran out before one.

    `find_plain` is asked for a point of the program where the search so far has not proved one;
    nothing dearer is returned. With `drops`, the drop that one of each block column adds, the
    lesser aims are served once the cost is proved, in what is left of the time.

    Raises:
        ProgramInfeasible: the program has no point.
    """
    whole = drop_idle_rows(program)
    best = _solve_cost(whole, budget, report, find_plain)
    if drops is None or best is None or not best.proved or budget.spent():
        return best
    return serve_by_parts(whole, best, drops, budget)


def _solve_cost(
    whole: Program, budget: Budget, report: Report, find_plain: FindPoint | None
) -> Solved | None:
    best = _solve_without_credits(whole, budget.share(ROOT_SHARE), report)
    block_first = _is_block_first(whole)
    if block_first:
        best = BlockSearch(whole, budget.share(BLOCK_SHARE), report, best).run()
    else:
        best = _solve_again(whole, best, budget.share(ROOT_SHARE), report)
    if find_plain is not None and (best is None or not best.proved):
        best = _take(whole, best, find_plain(budget.share(PLAIN_SHARE)), report)
    if block_first and (best is None or not best.proved):
        best = _solve_again(whole, best, budget.share(ROOT_SHARE), report)
    if best is None or not best.proved:
        best = _solve_listed(whole, budget, best)
    if not block_first and (best is None or not best.proved):
        best = BlockSearch(whole, budget.share(BLOCK_SHARE), report, best).run()
    if best is not None and not best.proved and not budget.spent():
        best = close_gap(whole, best, budget.share(LISTED_SHARE))
    if best is not None and not best.proved and budget.seconds_left:
        best = _solve_again(whole, best, budget, report)
    return best


def _take(
    whole: Program, best: Solved | None, point: Point | None, report: Report
) -> Solved | None:
    """Return the cheaper of what is known and a point from elsewhere."""
    if point is None or broken_by(whole, point) is not None:
        return best
    cost = cost_of(whole, point)
    if best is None:
        best = _stand_on(whole, point)
    elif cost < best.cost:
        best = replace(best, point=point, cost=cost)
    report(best.cost, best.bound)
    return best


def _is_block_first(program: Program) -> bool:
    return any(column.decisive for column in program.columns) or is_bundled(program)


def _solve_again(
    program: Program, best: Solved | None, budget: Budget, report: Report
) -> Solved | None:
    """Return what the engine makes of a program, and of a point that is known already."""

    def tell(cost: int | None, bound: int) -> None:
        if best is None:
            report(cost, bound)
        else:
            report(min(best.cost, cost or best.cost), max(best.bound, bound))

    again = solve_program(program, budget, tell, start=best.point if best is not None else None)
    if again is None or best is None:
        return again if best is None else best
    found = again if again.cost < best.cost or again.proved else best
    return replace(found, bound=min(found.cost, max(best.bound, again.bound)))


def _stand_on(whole: Program, point: Point) -> Solved:
    """Return a point with the least that any point costs for its bound.

    That is each column at its cheap limit, less the most that every bar could earn.
    """
    least = sum(
        column.cost * (column.lower if column.cost > 0 else column.upper)
        for column in whole.columns
    ) - sum(
        max((credit for _, credit in source.credits), default=0)
        * sum(max(0, c) * whole.columns[k].upper for k, c in source.bars)
        for source in whole.sources
    )
    cost = cost_of(whole, point)
    return Solved(
        point=point,
        cost=cost,
        bound=min(cost, least),
        method=Method.COLUMN_GENERATION,
        patterns=(),
        complete=False,
    )


def _solve_without_credits(whole: Program, budget: Budget, report: Report) -> Solved | None:
    """Return a point made without looking at credits, where there are any."""
    if not any(source.credits for source in whole.sources):
        return None
    sources = tuple(replace(source, credits=()) for source in whole.sources)
    without = replace(whole, sources=sources)
    if _is_block_first(without):
        found = solve_by_branching(without, budget, lambda *_: None)
    else:
        found = solve_program(without, budget)
    return None if found is None else _take(whole, None, found.point, report)


def _solve_listed(program: Program, budget: Budget, root: Solved | None) -> Solved | None:
    """Return the best over all patterns, where they can be listed, or the root as it is.

    Small programs with high fixed charges, or few bars, leave so wide a gap that listing every
    pattern is the shortest way.
    """
    every = all_patterns(group_sources(program), MOST_LISTED)
    if every is None:
        return root
    result = solve_over(
        program,
        every,
        incumbent=root.point if root is not None else None,
        target=root.bound if root is not None else None,
        seconds=budget.share(LISTED_SHARE).seconds_left,
        nodes=LISTED_NODES,
    )
    if result.bound is None:
        raise ProgramInfeasible
    if result.point is None:
        return root
    if root is not None and root.cost <= result.cost:
        return replace(root, bound=min(root.cost, max(root.bound, result.bound)))
    return Solved(
        point=result.point,
        cost=result.cost,
        bound=min(result.cost, max(result.bound, root.bound if root else result.bound)),
        method=Method.ALL_PATTERNS,
        patterns=tuple(every),
        complete=True,
    )
