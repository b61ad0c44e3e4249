"""The linear relaxation over the patterns found so far, kept open and hot-started in HiGHS.

The formulation is that of `program.py` with real x and y, and one more column per cover:
`short_i`, a piece that is missing, at a price above all others. It keeps the program feasible
while patterns are still to be found, and is zero in the end unless there is no plan at all.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import highspy
import numpy as np

from optimiser.solver.highs import (
    linear_program_infeasible,
    linear_program_solved,
    open_highs,
    write_model,
)
from optimiser.solver.program import Pattern, Program, Row, pattern_cost


@dataclass(frozen=True, slots=True)
class Relaxed:
    """An optimal point of the relaxation and its duals, in units of the cost."""

    cost: float
    block: tuple[float, ...]
    short: float
    bars: tuple[float, ...]
    cover_duals: tuple[float, ...]
    row_duals: tuple[float, ...]
    bar_duals: tuple[float, ...]


class Master:
    """The relaxation: rows are block rows, covers, bars, cuts; columns block, short, patterns."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self.patterns: list[Pattern] = []
        self._known: set[Pattern] = set()
        self._rows, self._covers = len(program.rows), len(program.covers)
        dearest = max((abs(column.cost) for column in program.columns), default=1)
        self._short_cost = 10.0 * max(dearest, 1)
        self._highs: Any = open_highs(presolve="off", solver="simplex")
        self._build()

    @property
    def first_pattern(self) -> int:
        """Return the position of the first pattern's column."""
        return len(self.program.columns) + self._covers

    def _build(self) -> None:
        program, inf = self.program, highspy.kHighsInf
        lower: list[float] = []
        upper: list[float] = []
        entries: list[tuple[int, int, int]] = []
        for row in program.rows:
            entries.extend((len(lower), k, c) for k, c in row.terms)
            lower.append(-inf if row.lower is None else row.lower)
            upper.append(inf if row.upper is None else row.upper)
        for i, cover in enumerate(program.covers):
            entries.extend((len(lower), k, c) for k, c in cover.terms)
            entries.append((len(lower), len(program.columns) + i, 1))
            lower.append(cover.at_least)
            upper.append(inf)
        for source in program.sources:
            entries.extend((len(lower), k, -c) for k, c in source.bars)
            lower.append(-inf)
            upper.append(0)
        entries.sort()
        counts = np.bincount([row for row, _, _ in entries], minlength=len(lower))
        model = write_model(
            columns=(
                [c.cost for c in program.columns] + [self._short_cost] * self._covers,
                [c.lower for c in program.columns] + [0] * self._covers,
                [c.upper for c in program.columns] + [inf] * self._covers,
            ),
            rows=(lower, upper),
            matrix=(
                np.concatenate(([0], np.cumsum(counts))),
                [k for _, k, _ in entries],
                [c for _, _, c in entries],
            ),
        )
        self._highs.passModel(model)

    def add(self, patterns: Iterable[Pattern]) -> int:
        """Add the patterns that are new, and return how many were."""
        fresh = [p for p in dict.fromkeys(patterns) if p not in self._known]
        if not fresh:
            return 0
        starts: list[int] = []
        indices: list[int] = []
        values: list[int] = []
        costs: list[int] = []
        first_cover, first_bars = self._rows, self._rows + self._covers
        for pattern in fresh:
            starts.append(len(indices))
            for i, count in pattern.counts:
                indices.append(first_cover + i)
                values.append(count)
            indices.append(first_bars + pattern.source)
            values.append(1)
            costs.append(pattern_cost(self.program, pattern))
        n = len(fresh)
        self._highs.addCols(
            n,
            np.array(costs, dtype=float),
            np.zeros(n),
            np.full(n, highspy.kHighsInf),
            len(indices),
            np.array(starts, dtype=np.int32),
            np.array(indices, dtype=np.int32),
            np.array(values, dtype=float),
        )
        self.patterns.extend(fresh)
        self._known.update(fresh)
        return n

    @property
    def infeasible(self) -> bool:
        """Return whether the last relaxation was shown to have no point."""
        return linear_program_infeasible(self._highs)

    def add_rows(self, rows: Sequence[Row]) -> None:
        """Add rows to the program and to its relaxation."""
        self.program = replace(self.program, rows=(*self.program.rows, *rows))
        inf = highspy.kHighsInf
        for row in rows:
            self._highs.addRow(
                -inf if row.lower is None else row.lower,
                inf if row.upper is None else row.upper,
                len(row.terms),
                np.array([k for k, _ in row.terms], dtype=np.int32),
                np.array([c for _, c in row.terms], dtype=float),
            )

    def bound_columns(
        self, positions: Sequence[int], lower: Sequence[float], upper: Sequence[float]
    ) -> None:
        """Set the limits of some columns."""
        self._highs.changeColsBounds(
            len(positions),
            np.array(positions, dtype=np.int32),
            np.array(lower, dtype=float),
            np.array(upper, dtype=float),
        )

    def solve(self, *, columns_added: bool = False) -> Relaxed | None:
        """Return an optimal point, or `None` where HiGHS did not reach one.

        After columns were added the last basis is still feasible, and the primal simplex goes
        on from it; after limits were changed the dual simplex does.
        """
        self._highs.setOptionValue("simplex_strategy", 4 if columns_added else 1)
        self._highs.run()
        if not linear_program_solved(self._highs):
            self._highs.clearSolver()
            self._highs.run()
            if not linear_program_solved(self._highs):
                return None
        solution = self._highs.getSolution()
        values, duals = solution.col_value, solution.row_dual
        block, first = len(self.program.columns), self.first_pattern
        rows, bars = self._rows, self._rows + self._covers
        added = bars + len(self.program.sources)
        return Relaxed(
            cost=float(self._highs.getInfo().objective_function_value),
            block=tuple(values[:block]),
            short=float(sum(values[block:first])),
            bars=tuple(values[first:]),
            cover_duals=tuple(duals[rows:bars]),
            row_duals=tuple(duals[:rows]) + tuple(duals[added:]),
            bar_duals=tuple(-dual for dual in duals[bars:added]),
        )
