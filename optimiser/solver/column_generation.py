"""Column generation: the linear relaxation over all patterns, and its bound.

Each round solves the relaxation over the known patterns, prices every source by an exact
knapsack on whole-number duals, and adds the patterns that are worth more than their bar. The
same knapsack gives a valid bound (see `bound.py`); the rounds end when the bound, rounded up
to a whole cost, meets the relaxation, or when no pattern is worth more than its bar.

References: Gilmore, Gomory, Operations Research 9 (1961) 849-859 and 11 (1963) 863-888.
"""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from math import ceil

from optimiser.solver.bound import (
    Bound,
    Multipliers,
    best_bars,
    best_bound,
    choose_scale,
)
from optimiser.solver.credit import best_use
from optimiser.solver.knapsack import DENSE_LIMIT, Knapsack
from optimiser.solver.master import Master, Relaxed
from optimiser.solver.program import Pattern, Program, weight_of
from optimiser.solver.stock import StockGroup

FILLINGS_A_ROUND, FILLINGS_ON_LONG_GRIDS = 20, 4
SMOOTHING = 0.5
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
    rounds, weight = 0, SMOOTHING
    while True:
        relaxed = master.solve(columns_added=rounds > 0)
        if relaxed is None:
            return None
        rounds += 1
        duals = to_multipliers(relaxed, scale, program)
        while True:
            asked = (
                duals if best is None or weight == 0 else smooth(best.multipliers, duals, weight)
            )
            worth, solved = best_bars(program, groups, asked.covers, scale, duals.bars)
            multipliers = Multipliers(scale, asked.covers, asked.rows, worth)
            bound = best_bound(program, groups, multipliers)
            if best is None or bound.scaled > best.scaled:
                best = bound
            added = master.add(
                several_patterns(
                    program,
                    groups,
                    solved,
                    asked=asked,
                    duals=duals,
                    demand=[cover.most for cover in program.covers],
                )
            )
            if added or asked is duals:
                break
            # Nothing new at the smoothed duals: ask the relaxation's own.
            weight = 0.0
        met = round_up and relaxed.short < 1e-9 and best.whole >= ceil(relaxed.cost - 1e-6)
        if not added or met or stop():
            return Generated(relaxed, best, not added, rounds)
        weight = SMOOTHING


def smooth(centre: Multipliers, duals: Multipliers, weight: float) -> Multipliers:
    """Return duals drawn towards those of the best bound so far (Wentges)."""
    part = int(weight * 1024)

    def between(inner: tuple[int, ...], outer: tuple[int, ...]) -> tuple[int, ...]:
        return tuple(
            (part * a + (1024 - part) * b) // 1024 for a, b in zip(inner, outer, strict=True)
        )

    return Multipliers(
        duals.scale,
        between(centre.covers, duals.covers),
        between(centre.rows, duals.rows),
        duals.bars,
    )


def several_patterns(
    program: Program,
    groups: Sequence[StockGroup],
    solved: dict[int, Knapsack],
    *,
    asked: Multipliers,
    duals: Multipliers,
    demand: Sequence[int],
) -> Iterable[Pattern]:
    """Return patterns that are worth more than their bar, of many different pieces.

    After each knapsack the pieces of its best pattern are taken off the demand and the
    knapsack is solved again for the rest, so that one round prices all lengths.
    """
    for group in groups:
        left = {i: demand[i] for i in group.covers}
        knapsacks: dict[int, Knapsack] = solved
        long = group.longest > DENSE_LIMIT
        for _ in range(FILLINGS_ON_LONG_GRIDS if long else FILLINGS_A_ROUND):
            found: list[tuple[int, Pattern]] = []
            for position, source in enumerate(group.sources):
                knapsack = knapsacks[source]
                credits = group.credits[position]
                _, within = best_use(knapsack, group.capacities[position], credits, duals.scale)
                pattern = group.pattern(source, knapsack.filling(within))
                gain = (
                    sum(duals.covers[i] * count for i, count in pattern.counts)
                    + program.sources[source].credit(weight_of(program, pattern)) * duals.scale
                    - duals.bars[source]
                )
                if gain > max(1, int(WORTH_MORE * max(duals.scale, duals.bars[source]))):
                    found.append((gain, pattern))
            if not found:
                break
            yield from (pattern for _, pattern in found)
            _, taken = max(found, key=lambda entry: (entry[0], entry[1]))
            if not taken.counts:
                break
            times = min(left[i] // count for i, count in taken.counts)
            for i, count in taken.counts:
                left[i] -= count * max(1, times)
            rest = replace(
                group,
                bounds=tuple(
                    min(bound, max(0, left[i]))
                    for bound, i in zip(group.bounds, group.covers, strict=True)
                ),
            )
            _, knapsacks = best_bars(program, (rest,), asked.covers, asked.scale, duals.bars)


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
