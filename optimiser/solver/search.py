"""The search for one part of a program: the best point and the best bound so far.

The steps are those of `engine.py`; parts that come up on the way go back to it.
"""

from collections.abc import Callable, Sequence

from optimiser.domain.decision import Method
from optimiser.solver.bound import Bound, length_bound
from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import generate_columns, starting_patterns
from optimiser.solver.diving import dive, settle_choices
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.filling import fill_program
from optimiser.solver.gap_closing import (
    Near,
    limit_columns,
    nearest_patterns,
    patterns_within,
)
from optimiser.solver.integer_program import solve_over
from optimiser.solver.manner import Manner
from optimiser.solver.master import Master
from optimiser.solver.parts import split
from optimiser.solver.program import (
    Pattern,
    Point,
    Program,
    ProgramInfeasible,
    broken_by,
    cost_of,
)
from optimiser.solver.solved import Solved, SolveParts
from optimiser.solver.stock import StockGroup, group_sources

FEW_PATTERNS = 300
NEAR_PATTERNS = (100, 350)
FEW_WITHIN, MOST_WITHIN = 500, 12_000
MORE_DIVES = 60
FEW_NODES, NEAR_NODES, MANY_NODES = 2_000, 500, 50_000
MANNERS = (
    Manner(),
    Manner(together=1),
    Manner(round_up_from=0.9),
    Manner(round_up_from=0.5, together=30),
)


Report = Callable[[int | None, int], None]


class Search:
    """The search for one part: the best point and the best bound so far."""

    def __init__(
        self,
        program: Program,
        budget: Budget,
        report: Report | None,
        solve_parts: SolveParts,
        *,
        thorough: bool,
    ) -> None:
        self.program, self.budget, self.thorough = program, budget, thorough
        self._report = report
        self._solve_parts = solve_parts
        self.groups: tuple[StockGroup, ...] = group_sources(program)
        bars = {k for source in program.sources for k, _ in source.bars}
        self.has_choices = any(
            column.integer and k not in bars for k, column in enumerate(program.columns)
        )
        self.point: Point | None = None
        self.cost = 0
        self.bound: int | None = None
        self.method = Method.COLUMN_GENERATION
        self.patterns: Sequence[Pattern] = ()
        self.complete = False
        self.duals: Bound | None = None

    @property
    def done(self) -> bool:
        """Return whether the cost is proved or the time is over."""
        met = self.point is not None and self.bound is not None and self.bound >= self.cost
        return met or self.budget.spent()

    def run(self) -> Solved | None:
        """Search until the cost is proved or the budget spent."""
        every = all_patterns(self.groups, FEW_PATTERNS)
        if every is not None:
            self.patterns, self.complete = every, True
            self.method = Method.ALL_PATTERNS
            self._integer_program(every, MANY_NODES)
            if self.done or not self.thorough:
                return self._result()
        filled = () if self.has_choices else self._fill()
        if self.done:
            return self._result()
        master = Master(self.program)
        master.add([*starting_patterns(self.groups), *filled])
        bound = self._relax(master, round_up=True)
        if self.done:
            return self._result()
        if bound is not None:
            self._find_points(master)
            if not self.done:
                bound = self._relax(master, round_up=False) or bound
                self._settle_by_bound(bound)
            if not self.done:
                self._close_gap(bound)
            if not self.done and not self.has_choices:
                self._dive_on(master)
        if self.point is None:
            self._integer_program(master.patterns, FEW_NODES)
        return self._result()

    def _result(self) -> Solved | None:
        if self.point is None or self.bound is None:
            return None
        return Solved(
            point=self.point,
            cost=self.cost,
            bound=min(self.bound, self.cost),
            method=self.method,
            patterns=tuple(self.patterns),
            complete=self.complete,
        )

    def _take(self, point: Point | None) -> bool:
        if point is None:
            return False
        cost = cost_of(self.program, point)
        if self.point is not None and cost >= self.cost:
            return False
        self.point, self.cost = point, cost
        if self._report is not None and self.bound is not None:
            self._report(cost, self.bound)
        return True

    def _raise_bound(self, bound: int) -> None:
        if self.bound is None or bound > self.bound:
            self.bound = bound
            if self._report is not None:
                self._report(None if self.point is None else self.cost, bound)

    def _integer_program(self, patterns: Sequence[Pattern], nodes: int) -> None:
        result = solve_over(
            self.program,
            patterns,
            incumbent=self.point,
            target=self.bound,
            seconds=self.budget.seconds_left,
            nodes=nodes,
        )
        if result.bound is None and self.complete:
            raise ProgramInfeasible
        self._take(result.point)
        if self.complete and result.bound is not None:
            self._raise_bound(result.bound)

    def _relax(self, master: Master, *, round_up: bool) -> Bound | None:
        generated = generate_columns(master, self.groups, stop=self.budget.spent, round_up=round_up)
        if generated is None:
            return None
        if generated.converged and generated.relaxed.short > 1e-6:
            raise ProgramInfeasible
        if not self.complete:
            self.patterns = tuple(master.patterns)
        self._raise_bound(generated.bound.whole)
        self.duals = generated.bound
        return generated.bound

    def _fill(self) -> list[Pattern]:
        """Take the greedy filling and the bound by length; return the filling's patterns."""
        by_length = length_bound(self.program, self.groups)
        if by_length is not None:
            self._raise_bound(by_length.whole)
        point = fill_program(self.program, self.groups)
        if broken_by(self.program, point) is None:
            self._take(point)
        return list(point.bars)

    def _find_points(self, master: Master) -> None:
        if self.has_choices:
            fixed = settle_choices(master, self.groups, stop=self.budget.spent)
            if fixed is not None:
                share = self.budget.share(0.5)
                try:
                    found = self._solve_parts(self.program, fixed, share, thorough=False)
                except ProgramInfeasible:
                    # The choices as settled leave no plan; others may.
                    return
                self._take(found.point if found else None)
            return
        for manner in MANNERS:
            ceiling = self.cost - 1 if self.point is not None else None
            self._take(
                dive(
                    master,
                    self.groups,
                    ceiling=ceiling,
                    manner=manner,
                    goal=self.bound,
                    stop=self.budget.spent,
                )
            )
            if self.done:
                return

    def _dive_on(self, master: Master) -> None:
        """Dive again and again in different ways, and try all patterns found on the way."""
        for draw in range(1, MORE_DIVES + 1 if self.thorough else 2):
            self._take(
                dive(
                    master,
                    self.groups,
                    ceiling=self.cost - 1 if self.point is not None else None,
                    manner=Manner(draw=draw, together=1 + draw % 3),
                    goal=self.bound,
                    stop=self.budget.spent,
                )
            )
            if self.done:
                return

    def _settle_by_bound(self, bound: Bound) -> None:
        """Split the program where the bound settles its choices, and solve the parts.

        No plan that costs less than the best one holds a column beyond its limit, so the
        parts' bound holds up to that cost.
        """
        while not self.done and self.point is not None and self.has_choices and self.thorough:
            cost = self.cost
            limited = limit_columns(self.program, bound, cost - 1)
            if len(split(limited, {})) == 1:
                return
            try:
                solved = self._solve_parts(limited, {}, self.budget, thorough=True)
            except ProgramInfeasible:
                self._raise_bound(cost)
                return
            if solved is None:
                return
            self.method = max(self.method, solved.method, key=list(Method).index)
            self._raise_bound(min(cost, solved.bound))
            if not self._take(solved.point):
                return

    def _close_gap(self, bound: Bound) -> None:
        """Solve over all patterns under the gap, once they are few or nothing else helps."""
        while not self.done and self.point is not None:
            ceiling = self.cost - 1
            near = nearest_patterns(self.groups, bound, ceiling, FEW_WITHIN)
            if near.complete:
                self._solve_within(bound, near.patterns, ceiling)
                return
            if self._come_nearer(bound, near):
                continue
            within = patterns_within(self.groups, bound, ceiling, MOST_WITHIN)
            if within is not None and self.thorough and not self.done:
                self._solve_within(bound, within, ceiling)
            return

    def _solve_within(self, bound: Bound, within: list[Pattern], ceiling: int) -> None:
        limited = limit_columns(self.program, bound, ceiling)
        result = solve_over(
            limited,
            within,
            ceiling=ceiling,
            target=self.bound,
            seconds=self.budget.seconds_left,
            nodes=MANY_NODES if self.thorough else FEW_NODES,
            heuristics=False,
        )
        cost = self.cost
        self._take(result.point)
        proved = cost if result.bound is None else min(result.bound, cost)
        if self.bound is None or proved > self.bound:
            self.method = Method.PATTERNS_UNDER_GAP
            if not self.complete:
                self.patterns = within
            self._raise_bound(proved)

    def _come_nearer(self, bound: Bound, near: Near) -> bool:
        """Solve over the patterns nearest to the bound; return whether that cost less."""
        improved = False
        for most in NEAR_PATTERNS:
            patterns = near.patterns[:most]
            if not patterns:
                break
            reach = 2 * near.beyond[len(patterns) - 1] // bound.multipliers.scale
            result = solve_over(
                limit_columns(self.program, bound, min(self.cost - 1, bound.whole + reach)),
                patterns,
                target=self.bound,
                ceiling=self.cost - 1,
                seconds=self.budget.share(0.3).seconds_left,
                nodes=NEAR_NODES,
                heuristics=False,
            )
            improved |= self._take(result.point)
            if self.done:
                break
        return improved
