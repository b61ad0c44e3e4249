"""Which bars can hold the pieces, as inequalities on the bars alone, found one at a time.

For any multipliers π_i ≥ 0 and ρ_s at least the best Σ_i π_i a_ij over every pattern of source s,
every plan of a program that only cuts has

    [bars hold]  Σ_s ρ_s Σ_k bars_sk y_k ≥ Σ_i π_i at_least_i,

since both sides enclose Σ_s Σ_{j ∈ P(s)} Σ_i π_i a_ij x_j (Benders). For bars b that some such
inequality may forbid, the linear program

    min t,  Σ_j a_ij x_j ≥ at_least_i,  Σ_{j ∈ P(s)} x_j ≤ b_s + t (core_s − b_s),  x, t ≥ 0

asks how far b has to move to `core`, bars that are more than enough, before the pieces can be cut
from them; its duals are multipliers whose inequality is a face of what is possible. Patterns that
are missing are priced by the exact knapsack, which gives ρ; all numbers of the inequality are
whole, so that it holds whatever the duals were.

References: J. F. Benders, Numerische Mathematik 4 (1962) 238-252; M. Conforti, L. A. Wolsey,
"Facet separation with one linear program", Mathematical Programming 178 (2019) 361-380; both cited
from memory.
"""

from collections.abc import Iterable, Sequence
from typing import Any

import highspy
import numpy as np

from optimiser.solver.bound import Multipliers, best_bars
from optimiser.solver.column_generation import several_patterns
from optimiser.solver.highs import linear_program_solved, open_highs, write_model
from optimiser.solver.program import Pattern, Program, Row
from optimiser.solver.stock import StockGroup

FINEST_COEFFICIENT, FINEST_DUAL = 1 << 24, 1 << 30
HARDLY = 1e-7
MOST_PRICINGS = 10


class BarsCuts:
    """Finds inequalities that forbid bars that cannot hold the pieces."""

    def __init__(
        self,
        program: Program,
        groups: Sequence[StockGroup],
        patterns: Iterable[Pattern],
        core: Sequence[float],
    ) -> None:
        """Open the linear program; `core` gives bars of each source that are enough."""
        self.program, self.groups, self.core = program, groups, core
        self.patterns: list[Pattern] = []
        self._known: set[Pattern] = set()
        self._needs = [cover.at_least for cover in program.covers]
        self._highs: Any = open_highs(presolve="off", solver="simplex")
        self._build()
        self._add(patterns)

    def _build(self) -> None:
        covers, sources = len(self.program.covers), len(self.program.sources)
        inf = highspy.kHighsInf
        model = write_model(
            columns=([1], [0], [inf]),
            rows=([*self._needs, *[-inf] * sources], [*[inf] * covers, *[0] * sources]),
            matrix=(
                [*[0] * covers, *range(sources + 1)],
                [0] * sources,
                [-bars for bars in self.core],
            ),
        )
        self._highs.passModel(model)

    def _add(self, patterns: Iterable[Pattern]) -> int:
        fresh = [p for p in dict.fromkeys(patterns) if p not in self._known]
        covers = len(self.program.covers)
        starts, indices, values = list[int](), list[int](), list[int]()
        for pattern in fresh:
            starts.append(len(indices))
            indices.extend(i for i, _ in pattern.counts)
            values.extend(count for _, count in pattern.counts)
            indices.append(covers + pattern.source)
            values.append(1)
        n = len(fresh)
        if n:
            self._highs.addCols(
                n,
                np.zeros(n),
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

    def find(self, block: Sequence[float]) -> Row | None:
        """Return an inequality that forbids the bars that a block buys, or `None`.

        `None` says that the pieces can be cut from them as far as parts of bars go, or that HiGHS
        gave no answer.
        """
        covers = len(self.program.covers)
        bars = [sum(c * block[k] for k, c in source.bars) for source in self.program.sources]
        for s, count in enumerate(bars):
            self._highs.changeCoeff(covers + s, 0, float(count) - self.core[s])
            self._highs.changeRowBounds(covers + s, -highspy.kHighsInf, float(count))
        for _ in range(MOST_PRICINGS):
            self._highs.run()
            if not linear_program_solved(self._highs):
                return None
            solution = self._highs.getSolution()
            if solution.col_value[0] < HARDLY:
                return None
            duals = solution.row_dual
            scale = FINEST_DUAL / max(1e-12, *duals[:covers])
            asked = Multipliers(
                1,
                tuple([max(0, round(dual * scale)) for dual in duals[:covers]]),
                (),
                tuple([max(0, round(-dual * scale)) for dual in duals[covers:]]),
            )
            worth, solved = best_bars(self.program, self.groups, asked.covers, 1)
            missing = several_patterns(
                self.program, self.groups, solved, asked=asked, duals=asked, demand=self._needs
            )
            added = self._add(missing)
            row = inequality(self.program, asked.covers, worth)
            if row.lower is not None and _held(row, block) < row.lower:
                return row
            if not added:
                return None
        return None


def inequality(program: Program, covers: Sequence[int], worth: Sequence[int]) -> Row:
    """Return [bars hold] for some multipliers and what a bar of each source is worth by them."""
    measure = max(1, max(worth) // FINEST_COEFFICIENT)
    of_column: dict[int, int] = {}
    for source, rho in zip(program.sources, worth, strict=True):
        for k, coefficient in source.bars:
            # Rounded up: bars are never negative, so that no plan is forbidden.
            of_column[k] = of_column.get(k, 0) + coefficient * -(-rho // measure)
    needed = sum(pi * c.at_least for pi, c in zip(covers, program.covers, strict=True))
    terms = tuple((k, c) for k, c in sorted(of_column.items()) if c)
    return Row(name="bars hold", terms=terms, lower=-(-needed // measure))


def _held(row: Row, block: Sequence[float]) -> float:
    return sum(c * block[k] for k, c in row.terms)
