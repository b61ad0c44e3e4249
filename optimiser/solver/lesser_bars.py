"""The least drop of a plan of least cost, by the bars that it buys.

Once the choices of such a plan are settled, the drop is that of the bars alone, and each part of
the program (`parts.py`) costs the least that it can. The bars of that cost are listed
(`whole_bars.py`), least drop first, and asked in turn whether they can hold the pieces. Where those
of less drop than the plan's cannot, its drop is the least.
"""

from collections.abc import Sequence

import numpy as np

from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import starting_patterns
from optimiser.solver.master import Master
from optimiser.solver.parts import join_points, narrow, narrow_patterns, split
from optimiser.solver.program import Pattern, Point, Program, broken_by, cost_of
from optimiser.solver.standing import Standing
from optimiser.solver.whole_bars import Ints, WholeBars, has_bars_to_choose


def reduce_drop_of_bars(
    program: Program,
    point: Point,
    patterns: Sequence[Pattern],
    drops: Sequence[int],
    budget: Budget,
) -> Point | None:
    """Return a plan of the same cost and the least drop; `None` where that is not settled so.

    `program` is limited to plans of the point's cost, which is the least; `drops` is the drop that
    one of each of its columns adds.
    """
    parts, points = split(program, {}), list[Point]()
    for part in parts:
        own = narrow(part, point)
        of_columns = [drops[k] for k in part.columns]
        if any(of_columns):
            if not has_bars_to_choose(part.program):
                return None
            standing = Standing(part.program, budget, None, own)
            least = _least_drop(standing, narrow_patterns(part, patterns), of_columns)
            if least is None:
                return None
            own = least
        points.append(own)
    joined = join_points(program, {}, parts, points)
    same = broken_by(program, joined) is None and cost_of(program, joined) == cost_of(
        program, point
    )
    return joined if same else None


def _least_drop(
    standing: Standing, patterns: Sequence[Pattern], drops: Sequence[int]
) -> Point | None:
    """Return the point of least drop at the standing's cost; `None` where that is not settled."""
    master = Master(standing.program)
    master.add([*starting_patterns(standing.groups), *patterns])
    bound = standing.relax(master, round_up=True)
    if standing.point is None or bound is None:
        return None
    bars = WholeBars(standing, master.patterns, bound)
    listed = bars.list(standing.cost)
    if listed is None:
        return None
    of_each = listed @ np.array(drops, dtype=np.int64)
    now = sum(d * value for d, value in zip(drops, standing.point.block, strict=True))
    less = np.flatnonzero(of_each < now)
    left: Ints | None = listed[less[np.argsort(of_each[less], kind="stable")]]
    while left is not None and left.size and not standing.budget.spent():
        block = tuple(left[0].tolist())
        left = bars.forbid(left)
        if left is None:
            return bars.cut_from(block)
    return None if left is None or left.size else standing.point
