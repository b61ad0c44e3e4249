"""What a search knows so far of one part of a program: its best point and its best bound."""

from collections.abc import Callable, Sequence
from dataclasses import replace

from optimiser.domain.decision import Method
from optimiser.solver.bound import Bound
from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import generate_columns
from optimiser.solver.gap_closing import limit_columns
from optimiser.solver.integer_program import solve_over
from optimiser.solver.master import Master, Relaxed
from optimiser.solver.program import (
    Pattern,
    Point,
    Program,
    ProgramInfeasible,
    broken_by,
    cost_of,
)
from optimiser.solver.solved import Solved
from optimiser.solver.stock import StockGroup, group_sources

Report = Callable[[int | None, int], None]


class Standing:
    """The best point and the best bound so far, and what they were got from.

    `start` is a point from elsewhere; one that breaks the program is not taken.
    """

    def __init__(
        self, program: Program, budget: Budget, report: Report | None, start: Point | None
    ) -> None:
        self.program, self.budget = program, budget
        self._report = report
        self.groups: tuple[StockGroup, ...] = group_sources(program)
        bars = {k for source in program.sources for k, _ in source.bars}
        self.choices = tuple(
            k for k, column in enumerate(program.columns) if column.integer and k not in bars
        )
        self.point: Point | None = None
        self.cost = 0
        self.bound: int | None = None
        self.method = Method.COLUMN_GENERATION
        self.patterns: Sequence[Pattern] = ()
        self.complete = False
        self.duals: Bound | None = None
        self.relaxed: Relaxed | None = None
        self.converged = False
        """Whether the relaxation was solved to its end: no pattern can better it."""
        self.tight = program
        """The program with the cuts that were added; its points are the same."""
        self.weaker: tuple[Bound, ...] = ()
        """Bounds that are no better, but limit other columns."""
        if start is not None and broken_by(program, start) is None:
            self.take(start)
        self.started = self.point is not None

    @property
    def done(self) -> bool:
        """Return whether the cost is proved or the time is over."""
        met = self.point is not None and self.bound is not None and self.bound >= self.cost
        return met or self.budget.spent()

    def result(self) -> Solved | None:
        """Return what was found, or `None` while there is no point or no bound."""
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

    def take(self, point: Point | None) -> bool:
        """Keep a point if it costs less, and return whether it does."""
        if point is None:
            return False
        cost = cost_of(self.program, point)
        if self.point is not None and cost >= self.cost:
            return False
        self.point, self.cost = point, cost
        if self._report is not None and self.bound is not None:
            self._report(cost, self.bound)
        return True

    def raise_bound(self, bound: int) -> None:
        """Keep a bound if it is higher."""
        if self.bound is None or bound > self.bound:
            self.bound = bound
            if self._report is not None:
                self._report(None if self.point is None else self.cost, bound)

    def solve_listed(self, patterns: Sequence[Pattern], nodes: int) -> None:
        """Solve over listed patterns; where they are all there are, their bound holds.

        Raises:
            ProgramInfeasible: they are all there are, and allow no point.
        """
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
        self.take(result.point)
        if self.complete and result.bound is not None:
            self.raise_bound(result.bound)

    def relax(self, master: Master, *, round_up: bool) -> Bound | None:
        """Solve the relaxation and keep its bound; `None` where HiGHS failed on it.

        Raises:
            ProgramInfeasible: the relaxation has no point.
        """
        generated = generate_columns(master, self.groups, stop=self.budget.spent, round_up=round_up)
        if generated is None:
            return None
        if generated.converged and generated.relaxed.short > 1e-6:
            raise ProgramInfeasible
        if not self.complete:
            self.patterns = tuple(master.patterns)
        self.raise_bound(generated.bound.whole)
        self.duals, self.relaxed = generated.bound, generated.relaxed
        self.converged = generated.converged
        return generated.bound

    def limited(self, bound: Bound, ceiling: int) -> Program:
        """Return the program with its columns limited to what a plan up to `ceiling` holds."""
        program = self.tight
        for one in (bound, *self.weaker):
            program = limit_columns(program, one, ceiling)
        return replace(program, rows=self.program.rows)
