"""The search for one part of a program: the best point and the best bound so far.

The steps are those of `engine.py`; parts that come up on the way go back to it.
"""

from collections.abc import Sequence
from dataclasses import replace

from optimiser.domain.decision import Method
from optimiser.solver.block_cuts import (
    KnownBlocks,
    blocks_of,
    bounds_between,
    broken_cuts,
    whole_choices,
)
from optimiser.solver.bound import Bound, length_bound
from optimiser.solver.budget import Budget
from optimiser.solver.closing import FEW_NODES, MANY_NODES, close_gap
from optimiser.solver.column_generation import starting_patterns, to_multipliers
from optimiser.solver.diving import dive, settle_choices
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.filling import fill_program
from optimiser.solver.integer_program import solve_over
from optimiser.solver.manner import Manner
from optimiser.solver.master import Master
from optimiser.solver.parts import split
from optimiser.solver.program import Pattern, Program, ProgramInfeasible, broken_by
from optimiser.solver.solved import Hint, Solved, SolveParts
from optimiser.solver.standing import Report, Standing
from optimiser.solver.whole_bars import has_bars_to_choose, settle_bars

FEW_PATTERNS = 300
MORE_DIVES = 60
MOST_CUT_ROUNDS = 6
MANNERS = (
    Manner(),
    Manner(together=1),
    Manner(round_up_from=0.9),
    Manner(round_up_from=0.5, together=30),
)


class Search(Standing):
    """The search for one part: the best point and the best bound so far."""

    def __init__(
        self,
        program: Program,
        budget: Budget,
        report: Report | None,
        solve_parts: SolveParts,
        *,
        thorough: bool,
        hint: Hint,
    ) -> None:
        super().__init__(program, budget, report, hint.start)
        if hint.bound is not None:
            self.raise_bound(hint.bound)
        self.started = self.started and not hint.elsewhere
        self.hint = hint
        self.thorough = thorough
        self._solve_parts = solve_parts
        self.of_blocks: dict[int, int] = {}
        """Whole choices that are best at the relaxation's duals."""

    def run(self) -> Solved | None:
        """Search until the cost is proved or the budget spent."""
        every = all_patterns(self.groups, FEW_PATTERNS)
        if every is not None:
            self.patterns, self.complete = every, True
            self.method = Method.ALL_PATTERNS
            self.solve_listed(every, MANY_NODES)
            if self.done or not self.thorough:
                return self.result()
        filled = () if self.choices else self._fill()
        if self.done:
            return self.result()
        master = Master(self.program)
        master.add([*starting_patterns(self.groups), *filled, *self.hint.patterns])
        bound = self.relax(master, round_up=True)
        if bound is not None and self.choices and not self.done:
            bound = self._cut_choices(master, bound)
        if self.done:
            return self.result()
        if bound is not None:
            if self.choices or not self.started:
                self._find_points(master)
            if not self.done:
                if not self.converged:
                    bound = self.relax(master, round_up=False) or bound
                self._settle_by_bound(bound, master.patterns)
            if not self.done:
                close_gap(self, bound, thorough=self.thorough)
            if not self.done and not self.choices:
                self._dive_on(master)
        if self.point is None:
            self.solve_listed(master.patterns, FEW_NODES)
        return self.result()

    def _fill(self) -> Sequence[Pattern]:
        """Take the greedy filling and the bound by length; return the filling's patterns."""
        by_length = length_bound(self.program, self.groups)
        if by_length is not None:
            self.raise_bound(by_length.whole)
        point = fill_program(self.program, self.groups)
        if broken_by(self.program, point) is None:
            self.take(point)
        return list(point.bars)

    def _cut_choices(self, master: Master, bound: Bound) -> Bound:
        """Add the cuts of whole choices, as long as they raise the bound."""
        blocks, uncut = blocks_of(self.program), bound
        known: KnownBlocks = {}
        for _ in range(MOST_CUT_ROUNDS if blocks else 0):
            assert self.relaxed is not None
            duals = to_multipliers(self.relaxed, bound.multipliers.scale, master.program)
            seconds = self.budget.share(0.1).seconds_left
            block = self.relaxed.block
            cuts = list(
                broken_cuts(self.program, blocks, duals, block, seconds=seconds, known=known)
            )
            if not cuts:
                break
            master.add_rows(cuts)
            before = bound.whole
            bound = self.relax(master, round_up=True) or bound
            if bound.whole <= before or self.done:
                break
        self.tight = master.program
        self.of_blocks = whole_choices(blocks, known)
        if len(bound.multipliers.rows) > len(uncut.multipliers.rows):
            self.weaker = bounds_between(self.tight, self.groups, uncut, bound)
        return bound

    def _find_points(self, master: Master) -> None:
        if self.choices:
            fixed = self._settle_choices(master)
            if fixed is not None:
                share = self.budget.share(0.5)
                try:
                    found = self._solve_parts(
                        self.program, fixed, share, thorough=False, patterns=master.patterns
                    )
                except ProgramInfeasible:
                    # The choices as settled leave no plan; others may.
                    return
                self.take(found.point if found else None)
            return
        if self.duals is not None and self.point is not None and has_bars_to_choose(self.program):
            settle_bars(self, master.patterns, self.duals)
            if self.done:
                return
        for manner in MANNERS:
            self._dive(master, manner)
            if self.done:
                return

    def _settle_choices(self, master: Master) -> dict[int, int] | None:
        """Return the best whole choices for bars that may be cut in part, or those of a dive."""
        nearest = self._nearest_choices(master)
        if nearest is not None:
            return nearest
        result = solve_over(
            self.program,
            master.patterns,
            seconds=self.budget.share(0.1).seconds_left,
            nodes=FEW_NODES,
            whole_bars=False,
            heuristics=False,
            presolve="off",
        )
        if result.point is None:
            return settle_choices(master, self.groups, stop=self.budget.spent)
        return {k: result.point.block[k] for k in self.choices}

    def _nearest_choices(self, master: Master) -> dict[int, int] | None:
        """Return whole choices with which the relaxation costs no more, if those at hand do."""
        before = self.relaxed
        if before is None:
            return None
        choices = {k: self.of_blocks.get(k, round(before.block[k])) for k in self.choices}
        values = [float(value) for value in choices.values()]
        columns = [self.program.columns[k] for k in choices]
        master.bound_columns(list(choices), values, values)
        relaxed = master.solve()
        master.bound_columns(list(choices), [c.lower for c in columns], [c.upper for c in columns])
        same = relaxed is not None and relaxed.short < 1e-6 and relaxed.cost < before.cost + 1e-6
        return choices if same else None

    def _dive(self, master: Master, manner: Manner) -> None:
        self.take(
            dive(
                master,
                self.groups,
                ceiling=self.cost - 1 if self.point is not None else None,
                manner=manner,
                goal=self.bound,
                stop=self.budget.spent,
            )
        )

    def _dive_on(self, master: Master) -> None:
        """Dive again and again in different ways."""
        for draw in range(1, MORE_DIVES + 1 if self.thorough else 2):
            self._dive(master, Manner(draw=draw, together=1 + draw % 3))
            if self.done:
                return

    def _settle_by_bound(self, bound: Bound, patterns: Sequence[Pattern]) -> None:
        """Split the program where the bound settles its choices, and solve the parts.

        No plan that costs less than the best one holds a column beyond its limit, so the
        parts' bound holds up to that cost.
        """
        while not self.done and self.point is not None and self.choices and self.thorough:
            cost = self.cost
            limited = self._with_choices_limited(bound, cost - 1)
            if len(split(limited, {})) == 1:
                return
            try:
                solved = self._solve_parts(
                    limited, {}, self.budget, thorough=True, start=self.point, patterns=patterns
                )
            except ProgramInfeasible:
                self.raise_bound(cost)
                return
            if solved is None:
                return
            self.method = max(self.method, solved.method, key=list(Method).index)
            self.raise_bound(min(cost, solved.bound))
            if not self.take(solved.point):
                return

    def _with_choices_limited(self, bound: Bound, ceiling: int) -> Program:
        """Return the program with its choices limited to what a plan up to `ceiling` holds.

        Bars keep their limits: a part then comes up again as it was solved before, and its own
        bound, which is nearer to its cost, limits them further.
        """
        columns = list(self.program.columns)
        limited = self.limited(bound, ceiling)
        for k in self.choices:
            columns[k] = limited.columns[k]
        return replace(limited, columns=tuple(columns))
