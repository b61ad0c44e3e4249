"""Column generation: the linear relaxation over all patterns, and its bound.

Each round solves the relaxation over the known patterns, prices every source by an exact
knapsack on whole-number duals, and adds the patterns that are worth more than their bar. The
same knapsack gives a valid bound (see `bound.py`); the rounds end when the bound, rounded up
to a whole cost, meets the relaxation, or when no pattern is worth more than its bar.

References: Gilmore, Gomory, Operations Research 9 (1961) 849-859 and 11 (1963) 863-888.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from optimiser.solver.bound import (
    Bound,
    Multipliers,
    best_bars,
    best_bound,
    choose_scale,
)
from optimiser.solver.knapsack import Knapsack
from optimiser.solver.master import Master, Relaxed
from optimiser.solver.program import Pattern, Program
from optimiser.solver.stock import StockGroup

COLUMNS_A_ROUND = 6
WORTH_MORE = 1e-7


@dataclass(slots=True)
class Generated:
    """The relaxation as far as it was solved. `converged` says that no pattern is missing."""

    relaxed: Relaxed
    bound: Bound
    converged: bool
    rounds: int


def to_multipliers(relaxed: Relaxed, scale: int, program: Program) -> Multipliers:
    """Return the relaxation's duals as whole numbers of the sign that each row asks for."""
    rows = []
    for row, dual in zip(program.rows, relaxed.row_duals, strict=True):
        whole = round(dual * scale)
        if (whole > 0 and row.lower is None) or (whole < 0 and row.upper is None):
            whole = 0
        rows.append(whole)
    return Multipliers(
        scale,
        tuple(max(0, round(dual * scale)) for dual in relaxed.cover_duals),
        tuple(rows),
        tuple(max(0, round(dual * scale)) for dual in relaxed.bar_duals),
    )


def generate_columns(
    master: Master,
    groups: Sequence[StockGroup],
    *,
    stop: Callable[[], bool] = lambda: False,
    round_up: bool = True,
) -> Generated | None:
    """Solve the relaxation by column generation.

    `stop` is asked after each round and ends the work early; the bound is then still valid.
    `round_up` ends it as soon as the rounded-up bound cannot improve. Returns `None` where
    HiGHS failed on a linear program.
    """
    program, scale = master.program, choose_scale(master.program)
    best: Bound | None = None
    rounds = 0
    while True:
        relaxed = master.solve()
        if relaxed is None:
            return None
        rounds += 1
        duals = to_multipliers(relaxed, scale, program)
        worth, solved = best_bars(program, groups, duals.covers, scale)
        multipliers = Multipliers(scale, duals.covers, duals.rows, worth)
        bound = best_bound(program, groups, multipliers)
        if best is None or bound.scaled > best.scaled:
            best = bound
        added = master.add(_worthwhile(groups, solved, duals.bars, scale))
        if not added:
            return Generated(relaxed, best, True, rounds)
        met = round_up and relaxed.short < 1e-9 and best.whole >= ceil(relaxed.cost - 1e-6)
        if met or stop():
            return Generated(relaxed, best, False, rounds)


def _worthwhile(
    groups: Sequence[StockGroup],
    solved: dict[int, Knapsack],
    bars: Sequence[int],
    scale: int,
) -> Iterable[Pattern]:
    for group in groups:
        for position, source in enumerate(group.sources):
            capacity = group.capacities[position]
            knapsack = solved[source]
            threshold = bars[source] + max(1, int(WORTH_MORE * max(scale, bars[source])))
            if knapsack.best(capacity) <= threshold:
                continue
            yield group.pattern(source, knapsack.filling(capacity))
            steps = knapsack.steps
            last = steps.of_index(capacity)
            tried = 1
            while last > 0 and tried < COLUMNS_A_ROUND:
                last -= 1
                if steps.best[last] <= threshold:
                    break
                yield group.pattern(source, knapsack.filling(int(steps.at[last])))
                tried += 1


def starting_patterns(groups: Sequence[StockGroup]) -> list[Pattern]:
    """Return, for each source and item, the bar that is filled with that item alone."""
    patterns = []
    for group in groups:
        for position, source in enumerate(group.sources):
            capacity = group.capacities[position]
            for n, weight in enumerate(group.weights):
                count = min(group.bounds[n], capacity // weight)
                if count:
                    counts = [0] * len(group.weights)
                    counts[n] = count
                    patterns.append(group.pattern(source, counts))
    return patterns
