"""A program that only cuts, by the bars that it buys: their whole numbers settle its cost.

    Y = {y_k whole within its limits, Σ_k cost_k y_k ≤ ceiling, [bars hold] of `bars_cuts.py`}

Y is listed, cheapest first. The first y is asked whether its bars can hold the pieces in parts of
patterns. Where they cannot, one more inequality says so and forbids others, too. Where they can,
no plan costs less, and the pieces are looked for in these bars by dives; what these find is the
optimum. Where nothing is left of Y, no plan costs as little as the ceiling. All of this is done in
whole numbers: the bound needs neither HiGHS's nor any other rounding.

Of a relaxation's gap this takes away what comes from buying whole bars. What comes from cutting
them is left, and is mostly nothing. Where Y is too large to be listed, nothing is done.
"""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from optimiser.solver.bars_cuts import BarsCuts, inequality
from optimiser.solver.bound import Bound
from optimiser.solver.diving import dive
from optimiser.solver.manner import Manner
from optimiser.solver.master import Master
from optimiser.solver.program import Column, Pattern, Point, Program, Row
from optimiser.solver.standing import Standing

Ints = NDArray[np.int64]

MOST_ROUNDS, MOST_STATES = 200, 20_000
MOST_BARS = 90
"""For more bars, buying one kind for another seldom says enough to make Y short."""
SHARES = (8_000, 1_600, 400)
"""The first ceilings are above the bound by these parts of it."""
HARDLY = 1e-6
MANNERS = (Manner(), Manner(together=1), Manner(round_up_from=0.5, together=30))


def has_bars_to_choose(program: Program) -> bool:
    """Return whether a program only cuts, from several kinds of bars, and pays for bars alone."""
    bars = {k for source in program.sources for k, _ in source.bars}
    return (
        len(program.sources) > 1
        and len(bars) == len(program.columns)
        and not program.rows
        and not any(cover.terms for cover in program.covers)
        and not any(source.credits or source.piece_cost for source in program.sources)
        and all(c > 0 for source in program.sources for _, c in source.bars)
        and all(column.integer and column.cost > 0 for column in program.columns)
    )


class WholeBars:
    """The bars that a program may buy, and what is known of those that do not do."""

    def __init__(self, standing: Standing, patterns: Sequence[Pattern], bound: Bound) -> None:
        assert standing.relaxed is not None
        self.standing, self.program = standing, standing.program
        self.enough = [
            1 + sum(c * standing.relaxed.block[k] for k, c in source.bars)
            for source in self.program.sources
        ]
        self.cuts = BarsCuts(self.program, standing.groups, patterns, self.enough)
        self.rows = [inequality(self.program, bound.multipliers.covers, bound.multipliers.bars)]

    def list(self, ceiling: int) -> Ints | None:
        """Return every choice of bars up to a cost, as far as is known, cheapest first."""
        return list_bars(self.program.columns, self.rows, ceiling, MOST_STATES)

    def look_around(self) -> None:
        """Forbid what follows from buying one kind of bars for another, at the same cost."""
        relaxed = self.standing.relaxed
        assert relaxed is not None
        for k, value in enumerate(relaxed.block):
            if value < HARDLY:
                continue
            for other, column in enumerate(self.program.columns):
                if other == k or self.standing.budget.spent():
                    continue
                block = list(relaxed.block)
                block[k] = 0.0
                block[other] += value * self.program.columns[k].cost / column.cost
                row = self.cuts.find(block)
                if row is not None and row not in self.rows:
                    self.rows.append(row)

    def forbid(self, listed: Ints) -> Ints | None:
        """Return what is left of a list once its first bars are forbidden, if they can be.

        `None` says that the first bars hold the pieces, as far as parts of bars go.
        """
        row = self.cuts.find(tuple(listed[0].tolist()))
        if row is None:
            return None
        self.rows.append(row)
        return listed[_keep(listed, row)]

    def cut_from(self, block: Sequence[int]) -> Point | None:
        """Return a point that cuts the pieces from these bars, or `None` where dives find none."""
        columns = tuple(
            replace(column, lower=value, upper=value)
            for column, value in zip(self.program.columns, block, strict=True)
        )
        master = Master(replace(self.program, columns=columns))
        master.add(self.cuts.patterns)
        cost, stop = cost_of_bars(self.program, block), self.standing.budget.spent
        for manner in MANNERS:
            groups = self.standing.groups
            point = dive(master, groups, ceiling=cost, manner=manner, goal=cost, stop=stop)
            if point is not None:
                return point
        return None


def settle_bars(standing: Standing, patterns: Sequence[Pattern], bound: Bound) -> None:
    """Raise the bound by whole bars, and look for a point that buys the cheapest ones."""
    bars = WholeBars(standing, patterns, bound)
    for ceiling in _ceilings(standing):
        listed = bars.list(ceiling)
        if listed is None and len(bars.rows) == 1 and sum(bars.enough) <= MOST_BARS:
            bars.look_around()
            listed = bars.list(ceiling)
        for _ in range(MOST_ROUNDS):
            if listed is None or standing.done:
                return
            if not listed.size:
                standing.raise_bound(ceiling + 1)
                break
            block = tuple(listed[0].tolist())
            standing.raise_bound(cost_of_bars(standing.program, block))
            listed = bars.forbid(listed)
            if listed is None:
                standing.take(bars.cut_from(block))
                return
        else:
            return


def _ceilings(standing: Standing) -> list[int]:
    assert standing.bound is not None
    least, most = standing.bound, standing.cost - 1
    return sorted({min(most, least + 1 + least // share) for share in SHARES} | {most})


def cost_of_bars(program: Program, block: Sequence[int]) -> int:
    """Return what the bars that a block buys cost."""
    return sum(column.cost * value for column, value in zip(program.columns, block, strict=True))


def _keep(listed: Ints, row: Row) -> NDArray[np.bool_]:
    coefficients = np.zeros(listed.shape[1], dtype=np.int64)
    for k, c in row.terms:
        coefficients[k] = c
    kept: NDArray[np.bool_] = listed @ coefficients >= (row.lower or 0)
    return kept


def list_bars(
    columns: Sequence[Column], rows: Sequence[Row], ceiling: int, limit: int
) -> Ints | None:
    """Return every choice of bars of cost at most `ceiling` that keeps the rows, cheapest first.

    One row for each, one column for each block column. Costs and coefficients are above zero, rows
    have lower limits. `None` where more than `limit` states would be held on the way.
    """
    cost = np.array([column.cost for column in columns], dtype=np.int64)
    coefficients = np.zeros((len(rows), len(columns)), dtype=np.int64)
    for t, row in enumerate(rows):
        for k, c in row.terms:
            coefficients[t, k] = c
    lower = np.array([row.lower or 0 for row in rows], dtype=np.int64)
    # Bars that hold little for their price come first: few of them can be bought.
    worth = coefficients / cost
    most_worth = worth.max(axis=1, keepdims=True)
    shares = worth / np.where(most_worth > 0, most_worth, 1.0)
    order = np.argsort(shares.min(axis=0), kind="stable")
    values = np.zeros((1, len(columns)), dtype=np.int64)
    left = np.array([ceiling], dtype=np.int64)
    missing = lower[None, :].copy()
    for place, k in enumerate(order.tolist()):
        later = order[place + 1 :]
        best = worth[:, later].max(axis=1) * (1 + 1e-12) if later.size else np.zeros(len(rows))
        base = columns[k].lower
        most = np.minimum(left // cost[k], columns[k].upper)
        least = np.full(left.size, base, dtype=np.int64)
        if not later.size:
            need = np.maximum(0, -(-missing // np.maximum(1, coefficients[:, k])))
            least = np.maximum(least, need.max(axis=1))
        ways = np.maximum(0, most - least + 1)
        total = int(ways.sum())
        if total > 20 * limit:
            return None
        parent = np.repeat(np.arange(ways.size), ways)
        count = least[parent] + np.arange(total) - (np.cumsum(ways) - ways)[parent]
        left = left[parent] - count * cost[k]
        missing = missing[parent] - count[:, None] * coefficients[:, k]
        alive = np.flatnonzero((missing <= left[:, None] * best + 1).all(axis=1))
        if alive.size > limit:
            return None
        values = values[parent[alive]]
        values[:, k] = count[alive]
        left, missing = left[alive], missing[alive]
    kept = (missing <= 0).all(axis=1)
    values, left = values[kept], left[kept]
    return values[np.lexsort((*values.T[::-1], -left))]
