"""Diving: good points from the relaxation, by rounding a little and pricing again.

Each step takes the relaxation's point, keeps the whole part of every pattern for good, rounds
the patterns nearest above up and one fractional choice to the nearest whole number, and solves
the relaxation again with what is left to cover. Patterns are priced for what is left: a
pattern with more pieces of a length than are still missing cannot be used a whole time.

References: diving with column generation as in R. Sadykov, F. Vanderbeck, A. Pessoa, I. Tahiri,
E. Uchoa, "Primal heuristics for branch and price: the assets of diving methods", INFORMS
Journal on Computing 31 (2019) 251-267.
"""

from collections.abc import Callable, Sequence
from dataclasses import replace
from math import ceil, floor
from random import Random

from optimiser.solver.bound import best_bars, choose_scale
from optimiser.solver.column_generation import several_patterns, to_multipliers
from optimiser.solver.filling import bar_prices, buy_enough, fill_bars
from optimiser.solver.knapsack import DENSE_LIMIT
from optimiser.solver.manner import Manner
from optimiser.solver.master import Master, Relaxed
from optimiser.solver.program import Pattern, Point, Program, broken_by, cost_of
from optimiser.solver.stock import StockGroup

WHOLE = 1e-6
MOST_STEPS = 2_000


def dive(
    master: Master,
    groups: Sequence[StockGroup],
    *,
    ceiling: int | None = None,
    manner: Manner = Manner(),  # noqa: B008
    goal: int | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> Point | None:
    """Return a point of cost at most `ceiling`, or `None` where the dive ends without one.

    At every step what is left is also filled in greedily (`filling.py`). The dive ends at once
    with a point of cost at most `goal`, a bound from elsewhere, and else with its best point.
    The master is left with the limits that it had; patterns found on the way stay in it.
    """
    descent = _Descent(master, groups, ceiling, manner)
    try:
        return descent.run(stop, goal)
    finally:
        descent.undo()


def settle_choices(
    master: Master,
    groups: Sequence[StockGroup],
    *,
    stop: Callable[[], bool] = lambda: False,
) -> dict[int, int] | None:
    """Return whole values for all choices, by rounding the nearest and solving again."""
    descent = _Descent(master, groups, None, Manner())
    try:
        return descent.settle(stop)
    finally:
        descent.undo()


class _Descent:
    def __init__(
        self,
        master: Master,
        groups: Sequence[StockGroup],
        ceiling: int | None,
        manner: Manner,
    ) -> None:
        self.master, self.groups, self.ceiling, self.manner = master, groups, ceiling, manner
        self.program: Program = master.program
        self.scale = choose_scale(self.program)
        self.random = Random(manner.draw)
        self.fixed: dict[int, int] = {}
        self.closed: set[int] = set()
        self.best: Point | None = None
        self.best_cost = 0
        self.held: dict[int, int] = {}
        bars = {k for source in self.program.sources for k, _ in source.bars}
        self.choices = [
            k for k, column in enumerate(self.program.columns) if column.integer and k not in bars
        ]
        self.settled = not self.choices

    def run(self, stop: Callable[[], bool], goal: int | None) -> Point | None:
        on_long_grids = any(group.longest > DENSE_LIMIT for group in self.groups)
        rounds = min(self.manner.pricing_rounds, 3 if on_long_grids else MOST_STEPS)
        for _ in range(MOST_STEPS):
            relaxed = self.master.solve()
            if relaxed is None or stop():
                return self.best
            left = self.left_over(relaxed)
            for _ in range(rounds):
                if not self.price(relaxed, left):
                    break
                relaxed = self.master.solve(columns_added=True)
                if relaxed is None:
                    return self.best
                left = self.left_over(relaxed)
            if self.ceiling is not None and ceil(relaxed.cost - WHOLE) > self.ceiling:
                return self.best
            if not self.round(relaxed, left):
                self.keep(self.finish(relaxed))
                return self.best
            if self.settled and self.fixed:
                self.keep(self.fill_up(relaxed))
                if goal is not None and self.best is not None and self.best_cost <= goal:
                    return self.best
        return self.best

    def keep(self, point: Point | None) -> None:
        """Keep a point if it is the best of the dive, and ask for less from now on."""
        if point is None:
            return
        cost = cost_of(self.program, point)
        if self.ceiling is None or cost <= self.ceiling:
            self.best, self.best_cost, self.ceiling = point, cost, cost - 1

    def fill_up(self, relaxed: Relaxed) -> Point | None:
        """Return the patterns fixed so far with the rest filled in greedily."""
        bars = {self.master.patterns[j]: count for j, count in self.fixed.items() if count}
        left = self.left_over(relaxed)
        for group in self.groups:
            filled = fill_bars(group, left, bar_prices(self.program, group))
            if filled is None:
                return None
            for pattern, count in filled.items():
                bars[pattern] = bars.get(pattern, 0) + count
        block = [self.held.get(k, column.lower) for k, column in enumerate(self.program.columns)]
        buy_enough(self.program, bars, block)
        point = Point(block=tuple(block), bars=bars)
        return point if broken_by(self.program, point) is None else None

    def settle(self, stop: Callable[[], bool]) -> dict[int, int] | None:
        """Fix the choices alone, and return them all."""
        for _ in range(MOST_STEPS):
            relaxed = self.master.solve()
            if relaxed is None or stop():
                return None
            if self.price(relaxed, self.left_over(relaxed)):
                relaxed = self.master.solve(columns_added=True)
                if relaxed is None:
                    return None
            nearest = self._nearest_choices(relaxed)
            if not nearest:
                return {k: round(relaxed.block[k]) for k in self.choices}
            self._hold(nearest)
        return None

    def left_over(self, relaxed: Relaxed) -> list[int]:
        """Return the pieces of each cover that no pattern fixed so far cuts."""
        left = []
        for cover in self.program.covers:
            need = cover.at_least - sum(c * relaxed.block[k] for k, c in cover.terms)
            left.append(need)
        patterns = self.master.patterns
        for j, bars in self.fixed.items():
            for i, count in patterns[j].counts:
                left[i] -= count * bars
        return [max(0, ceil(need - WHOLE)) for need in left]

    def price(self, relaxed: Relaxed, left: list[int]) -> int:
        """Add patterns that are worth their bar and fit what is left; return how many."""
        duals = to_multipliers(relaxed, self.scale, self.program)
        groups = [
            replace(
                group,
                bounds=tuple(
                    min(bound, left[i]) for bound, i in zip(group.bounds, group.covers, strict=True)
                ),
            )
            for group in self.groups
        ]
        _, solved = best_bars(self.program, groups, duals.covers, self.scale, duals.bars)
        return self.master.add(
            several_patterns(self.program, groups, solved, asked=duals, duals=duals, demand=left)
        )

    def round(self, relaxed: Relaxed, left: list[int]) -> bool:
        """Fix some columns, and return whether any was fractional."""
        choices = self._nearest_choices(relaxed)
        if choices:
            self._hold(choices)
            return True
        if not self.settled:
            # The choices are whole: they stay, and what is to be cut is settled.
            self.settled = True
            self._hold({k: round(relaxed.block[k]) for k in self.choices})
        return self._round_patterns(relaxed, left)

    def _hold(self, choices: dict[int, int]) -> None:
        self.held.update(choices)
        values = [float(value) for value in choices.values()]
        self.master.bound_columns(list(choices), values, values)

    def _round_patterns(self, relaxed: Relaxed, left: list[int]) -> bool:
        changed: dict[int, tuple[float, float]] = {}
        first, patterns = self.master.first_pattern, self.master.patterns
        fractional: list[tuple[float, int]] = []
        room = list(left)
        for j, bars in enumerate(relaxed.bars):
            if bars < WHOLE:
                continue
            whole = floor(bars + WHOLE)
            already = self.fixed.get(j, 0)
            if bars - whole > WHOLE:
                noise = self.random.random() * self.manner.noise if self.manner.draw else 0.0
                few = self.manner.large_pieces_first / max(1, patterns[j].pieces)
                fractional.append((bars - whole + noise + few, j))
            if whole > already:
                for i, count in patterns[j].counts:
                    room[i] -= count * (whole - already)
                self.fixed[j] = whole
                changed[first + j] = (whole, float("inf"))
        fractional.sort(key=lambda entry: (-entry[0], patterns[entry[1]]))
        risen = 0
        for part, j in fractional:
            if risen and (part < self.manner.round_up_from or risen >= self.manner.together):
                break
            if any(count > room[i] for i, count in patterns[j].counts):
                continue
            self._raise(j, changed, room)
            risen += 1
        if fractional and not risen:
            self._raise(fractional[0][1], changed, room)
            risen += 1
        for j, pattern in enumerate(patterns):
            # A pattern with more pieces than are missing is closed for the rest of the dive.
            if j not in self.closed and any(count > room[i] for i, count in pattern.counts):
                self.closed.add(j)
                least = self.fixed.get(j, 0)
                changed[first + j] = (least, least)
        if changed:
            self.master.bound_columns(
                list(changed),
                [low for low, _ in changed.values()],
                [high for _, high in changed.values()],
            )
        return bool(fractional)

    def _raise(self, j: int, changed: dict[int, tuple[float, float]], room: list[int]) -> None:
        self.fixed[j] = self.fixed.get(j, 0) + 1
        least = self.fixed[j]
        changed[self.master.first_pattern + j] = (
            least,
            least if j in self.closed else float("inf"),
        )
        for i, count in self.master.patterns[j].counts:
            room[i] -= count

    def _nearest_choices(self, relaxed: Relaxed) -> dict[int, int]:
        """Return the fractional choice nearest to a whole number, and others as near."""
        away = sorted(
            (abs(relaxed.block[k] - round(relaxed.block[k])), k)
            for k in self.choices
            if k not in self.held
        )
        fractional = [(part, k) for part, k in away if part > WHOLE]
        near = [k for part, k in fractional if part <= self.manner.near]
        if fractional and not near:
            near = [fractional[0][1]]
        return {k: round(relaxed.block[k]) for k in near[:1]}

    def finish(self, relaxed: Relaxed) -> Point | None:
        """Return the relaxation's whole point, with enough bars bought."""
        bars: dict[Pattern, int] = {
            self.master.patterns[j]: round(value)
            for j, value in enumerate(relaxed.bars)
            if value > 0.5
        }
        block = [round(value) for value in relaxed.block]
        buy_enough(self.program, bars, block)
        point = Point(block=tuple(block), bars=bars)
        if broken_by(self.program, point) is not None:
            return None
        if self.ceiling is not None and cost_of(self.program, point) > self.ceiling:
            return None
        return point

    def undo(self) -> None:
        """Give every column its own limits back."""
        first = self.master.first_pattern
        positions = [first + j for j in {*self.fixed, *self.closed}] + list(self.held)
        columns = self.program.columns
        self.master.bound_columns(
            positions,
            [0.0 if k >= first else columns[k].lower for k in positions],
            [float("inf") if k >= first else columns[k].upper for k in positions],
        )
