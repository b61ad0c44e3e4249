"""The lesser aims of a program whose point is proved but was not proved part by part.

Each part of the program (`parts.py`) has the least cost that it can have, since the whole has. The
patterns that a plan of that cost could use are all there are, or those that the relaxation's bound
leaves; where they are too many, those nearest to the bound, which proves nothing.
"""

from collections.abc import Sequence
from dataclasses import replace

from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import generate_columns, starting_patterns
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.gap_closing import limit_columns, nearest_patterns, patterns_within
from optimiser.solver.lesser_aims import MOST_FOR_DROP, Usable, serve_lesser_aims
from optimiser.solver.master import Master
from optimiser.solver.parts import join_points, narrow, split
from optimiser.solver.program import Point, Program, cost_of
from optimiser.solver.solved import Solved
from optimiser.solver.stock import group_sources

MOST_LISTED = 3_000


def serve_by_parts(
    program: Program, solved: Solved, drops: Sequence[int], budget: Budget
) -> Solved:
    """Return a proved solution with less drop and fewer patterns, where there is one.

    `drops` is the drop that one of each block column adds.
    """
    parts = split(program, {})
    points, drop_proved, patterns_proved = [], True, True
    for n, part in enumerate(parts):
        point, share = narrow(part, solved.point), budget.share(1 / (len(parts) - n))
        usable = _find_usable(part.program, point, share)
        of_part = [drops[k] for k in part.columns]
        served = serve_lesser_aims(part.program, point, usable, of_part, share)
        points.append(served.point)
        drop_proved &= served.drop_proved
        patterns_proved &= served.patterns_proved
    return replace(
        solved,
        point=join_points(program, {}, parts, points),
        drop_proved=drop_proved,
        patterns_proved=patterns_proved,
    )


def _find_usable(program: Program, point: Point, budget: Budget) -> Usable | None:
    groups = group_sources(program)
    every = all_patterns(groups, MOST_LISTED)
    if every is not None:
        return Usable(program=program, patterns=every, complete=True)
    master = Master(program)
    master.add([*starting_patterns(groups), *point.bars])
    generated = generate_columns(master, groups, stop=budget.spent, round_up=False)
    if generated is None:
        return None
    cost = cost_of(program, point)
    limited = limit_columns(program, generated.bound, cost)
    within = patterns_within(groups, generated.bound, cost, MOST_LISTED)
    if within is not None:
        return Usable(program=limited, patterns=within, complete=True)
    near = nearest_patterns(groups, generated.bound, cost, MOST_FOR_DROP)
    return Usable(program=limited, patterns=near.patterns, complete=False)
