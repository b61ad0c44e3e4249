"""Closing the gap over the patterns near the bound, where the engine has not closed it."""

from dataclasses import replace

from optimiser.domain.decision import Method
from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import generate_columns, starting_patterns
from optimiser.solver.gap_closing import limit_columns, patterns_within
from optimiser.solver.integer_program import solve_over
from optimiser.solver.master import Master
from optimiser.solver.program import Program
from optimiser.solver.solved import Solved
from optimiser.solver.stock import group_sources

MOST_WITHIN, NEAR_WITHIN, NODES = 12_000, 1_000, 20_000
NEAR_SHARE = 0.4


def close_gap(program: Program, best: Solved, budget: Budget) -> Solved:
    """Return the best over the patterns near the bound, proved where they are all of them."""
    master, groups = Master(program), group_sources(program)
    master.add([*starting_patterns(groups), *best.point.bars])
    generated = generate_columns(master, groups, stop=budget.spent, round_up=False)
    if generated is None:
        return best
    bound = generated.bound
    best = replace(best, bound=min(best.cost, max(best.bound, bound.whole)))
    slack = best.cost - 1 - bound.whole
    while slack > 0 and not best.proved and not budget.spent():
        # Half the gap at a time, from patterns that are few to all that could matter.
        near = patterns_within(groups, bound, bound.whole + slack, NEAR_WITHIN)
        if near is not None:
            result = solve_over(
                program,
                list(dict.fromkeys([*near, *master.patterns])),
                incumbent=best.point,
                target=best.bound,
                seconds=budget.share(NEAR_SHARE).seconds_left,
                nodes=NODES // 10,
            )
            if result.point is not None and result.cost < best.cost:
                best = replace(best, point=result.point, cost=result.cost)
            break
        slack = slack // 2
    within = patterns_within(groups, bound, best.cost - 1, MOST_WITHIN)
    if within is None or best.proved or budget.spent():
        return best
    result = solve_over(
        limit_columns(program, bound, best.cost - 1),
        within,
        ceiling=best.cost - 1,
        target=best.bound,
        seconds=budget.seconds_left,
        nodes=NODES,
    )
    proved = best.cost if result.bound is None else min(result.bound, best.cost)
    if result.point is not None and result.cost < best.cost:
        best = replace(best, point=result.point, cost=result.cost)
    return replace(
        best,
        bound=min(best.cost, max(best.bound, proved)),
        method=Method.PATTERNS_UNDER_GAP,
        patterns=tuple(within),
    )
