"""The search over the block: choices from the block's relaxation, cut by the engine.

The block and what it learns are those of `block_relaxation.py`. Early rounds take any choices
within a few per mille of the best; they are only there to be cut off.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from optimiser.domain.decision import Method
from optimiser.solver.block_relaxation import Block, GroupCutting
from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import generate_columns, starting_patterns
from optimiser.solver.engine import complete_choices, solve_program
from optimiser.solver.idle_rows import drop_idle_rows
from optimiser.solver.integer_program import solve_over
from optimiser.solver.master import Master
from optimiser.solver.program import Pattern, Program, ProgramInfeasible, Row, broken_by, cost_of
from optimiser.solver.solved import Solved
from optimiser.solver.stock import group_sources

STEP_SHARE, SETTLE_SHARE = 0.25, 0.5
MOST_ROUNDS, BLOCK_NODES = 60, 10_000
LOOSE_GAPS = (3e-3, 3e-4)
FEASIBLE = 1e-9
"""How exactly HiGHS keeps rows: the cuts have large coefficients."""

Report = Callable[[int | None, int], None]


class BlockSearch:
    """The search over the block. `settled` holds the bounds of the switches already settled."""

    def __init__(
        self, program: Program, budget: Budget, report: Report, best: Solved | None
    ) -> None:
        self.program, self.budget, self.report, self.best = program, budget, report, best
        self.groups = group_sources(program)
        self.block = Block(program, self.groups)
        bars = {k for source in program.sources for k, _ in source.bars}
        self.choices = [
            k for k, column in enumerate(program.columns) if column.integer and k not in bars
        ]
        self.bundled = is_bundled(program)
        self.switches = [
            k
            for k, column in enumerate(program.columns)
            if column.decisive and column.lower < column.upper
        ]
        self.open: int | None = None
        self.closed = False
        self._tried: set[tuple[int, ...]] = set()
        self.settled: list[int] = []
        self.patterns: tuple[Pattern, ...] = ()

    def run(self) -> Solved | None:
        """Search until the cost is proved, the time spent, or nothing more can be learnt."""
        self._start()
        cutting = [GroupCutting(self.program, group, self.patterns) for group in self.groups]
        loose = list(LOOSE_GAPS)
        last: tuple[int, ...] = ()
        for _ in range(MOST_ROUNDS):
            if self._done():
                break
            options: dict[str, Any] = {"mip_feasibility_tolerance": FEASIBLE}
            if loose:
                options["mip_rel_gap"] = loose[0]
            result = solve_over(
                self.block.program,
                (),
                ceiling=self.best.cost - 1 if self.best is not None else None,
                seconds=self.budget.share(STEP_SHARE).seconds_left,
                nodes=BLOCK_NODES,
                heuristics=False,
                **options,
            )
            if loose and result.point is None:
                loose.clear()
                continue
            if result.bound is None:
                self.closed = True
                break
            if not loose:
                # HiGHS cuts off by the ceiling less the gap: a loose round proves nothing.
                self._raise(result.bound)
            if result.point is None or self._done():
                break
            block = result.point.block
            short = self._cut(cutting, block)
            if short is None:
                break
            missing, broken = short
            if self.best is None or result.cost + missing < self.best.cost:
                self._complete(block, whole=not broken)
            if broken and block != last:
                last = block
                continue
            if loose:
                loose.pop(0)
                continue
            if not self._settle(block, result.bound):
                break
        return self._conclude()

    def _start(self) -> None:
        """Take the cuts of the relaxation of the whole."""
        master = Master(self.program)
        known = self.best.point.bars if self.best is not None else ()
        master.add([*starting_patterns(self.groups), *known])
        generated = generate_columns(master, self.groups, stop=self.budget.spent, round_up=False)
        self.patterns = tuple(master.patterns)
        if generated is not None:
            multipliers = generated.bound.multipliers
            for g in range(len(self.groups)):
                self.block.add_cut(g, [pi / multipliers.scale for pi in multipliers.covers])

    def _cut(
        self, cutting: Sequence[GroupCutting], block: Sequence[int]
    ) -> tuple[int, bool] | None:
        """Add the cuts that a block breaks; return what is missing, and whether any was."""
        missing, broken = 0, False
        for g, of_group in enumerate(cutting):
            short = of_group.short_of(block, self.budget.spent)
            if short is None:
                return None
            credit = block[self.block.credit_of[g]] if g in self.block.credit_of else 0
            if short.cost + credit > 0:
                missing += short.cost + credit
                self.block.add_cut(g, short.covers)
                broken = True
        return missing, broken

    def _complete(self, block: Sequence[int], *, whole: bool) -> None:
        """Take the points that a block leads to, its bars cut in whole patterns.

        Its bars are kept, and more bought where they are needed; or they are left to the engine,
        once for the same choices. `whole` says that the bars are enough but for whole patterns.
        """
        choices = {k: block[k] for k in self.choices}
        if whole or self.bundled:
            given = list(self.program.columns)
            for k, column in enumerate(given):
                given[k] = replace(column, lower=max(column.lower, min(block[k], column.upper)))
            self._try(replace(self.program, columns=tuple(given)), choices)
        tried = tuple(choices.values())
        if tried not in self._tried and not self._done() and not (self.bundled and self.best):
            self._tried.add(tried)
            self._try(self.program, choices)

    def _try(self, program: Program, choices: dict[int, int]) -> None:
        try:
            found = complete_choices(program, choices, self.budget.share(STEP_SHARE))
        except ProgramInfeasible:
            return
        if found is not None:
            self._take(found)

    def _settle(self, block: Sequence[int], bound: int) -> bool:
        """Solve the program with the switches of a block, and close them; return whether it did."""
        if not self.switches:
            return False
        start = self.best.point if self.best is not None else None
        fixed = {k: block[k] for k in self.switches}
        program = drop_idle_rows(fix_columns(self.program, fixed))
        try:
            solved = solve_program(program, self.budget.share(SETTLE_SHARE), start=start)
        except ProgramInfeasible:
            solved = None
        else:
            self.settled.append(max(bound, solved.bound) if solved is not None else bound)
        if solved is not None:
            self._take(solved)
        self.block.add_row(
            Row(
                name="other switches",
                terms=tuple((k, 1 - 2 * value) for k, value in fixed.items()),
                lower=1 - sum(fixed.values()),
            )
        )
        return True

    def _take(self, found: Solved) -> None:
        if broken_by(self.program, found.point) is not None:
            return
        cost = cost_of(self.program, found.point)
        if self.best is None:
            bound = self.open if self.open is not None else -(1 << 62)
            self.best = replace(found, cost=cost, bound=min(cost, bound))
        elif cost < self.best.cost:
            self.best = replace(self.best, point=found.point, cost=cost)
            self._tell()

    def _raise(self, bound: int) -> None:
        """Take the bound of the block, which holds for all switches that are not settled."""
        if self.open is None or bound > self.open:
            self.open = bound
            self._tell()

    def _bound(self) -> int | None:
        """Return the bound of the whole so far."""
        if self.best is None:
            return self.open
        rest = self.best.cost if self.closed or self.open is None else self.open
        if self.open is None and not self.closed:
            return self.best.bound
        return min(self.best.cost, max(self.best.bound, min([rest, *self.settled])))

    def _done(self) -> bool:
        bound = self._bound()
        met = self.best is not None and bound is not None and bound >= self.best.cost
        return met or self.budget.spent()

    def _tell(self) -> None:
        bound = self._bound()
        if bound is not None:
            self.report(None if self.best is None else self.best.cost, bound)

    def _conclude(self) -> Solved | None:
        if self.best is None:
            if self.closed:
                raise ProgramInfeasible
            return None
        bound = self._bound()
        if bound is None or bound <= self.best.bound:
            return self.best
        return replace(
            self.best, bound=bound, method=Method.COLUMN_GENERATION, patterns=self.patterns
        )


def is_bundled(program: Program) -> bool:
    """Return whether some bars are bought several at a time."""
    return any(abs(c) > 1 for source in program.sources for _, c in source.bars)


def fix_columns(program: Program, fixed: Mapping[int, int]) -> Program:
    """Return the program with some columns fixed."""
    columns = list(program.columns)
    for k, value in fixed.items():
        columns[k] = replace(columns[k], lower=value, upper=value)
    return replace(program, columns=tuple(columns))
