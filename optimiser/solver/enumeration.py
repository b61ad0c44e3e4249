"""Every pattern of a stock group that is worth something, level by level, in arrays.

At level n the states are all ways to choose the counts of items 0 … n − 1. A state lives on
only while the best that the later items can add (a table per suffix of items) still reaches
the wanted value, so that no state is a dead end and the work follows the output. Patterns to
which one more needed piece could be added are left out: the fuller pattern covers more for
the same bar.
"""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from optimiser.solver.credit import credits_of
from optimiser.solver.knapsack import best_by_suffix
from optimiser.solver.program import Pattern
from optimiser.solver.stock import StockGroup

_NEVER_SKIPPED = np.iinfo(np.int64).max


def enumerate_patterns(
    group: StockGroup,
    position: int,
    *,
    limit: int,
    values: Sequence[int] | None = None,
    worth: int = 0,
    maximal: bool = True,
    scale: int = 1,
) -> NDArray[np.int16] | None:
    """Return the counts per item of every pattern of one source worth at least `worth`.

    `position` is that of the source in its group. The result has one row per pattern, in a
    fixed order, and one column per item. `None` where more than `limit` states would be held.
    `maximal` leaves out patterns that have room for one more piece within the bounds. A credit
    of the source counts as worth, times `scale`; where there is one, the bar left whole counts too.
    """
    capacity = group.capacities[position]
    weights, bounds = group.weights, group.bounds
    value_of = values if values is not None else [0] * len(weights)
    best = best_by_suffix(weights, bounds, value_of, capacity)
    fill = best_by_suffix(weights, bounds, weights, capacity)
    left = np.array([capacity], dtype=np.int64)
    worth_of = np.zeros(1, dtype=np.int64)
    skipped = np.array([_NEVER_SKIPPED], dtype=np.int64)
    steps: list[tuple[NDArray[np.int64], NDArray[np.int16]]] = []
    for n, weight in enumerate(weights):
        copies = np.minimum(left // weight, bounds[n])
        total = int(copies.sum()) + copies.size
        if total > 50 * limit:
            return None
        parent = np.repeat(np.arange(copies.size), copies + 1)
        first = np.cumsum(copies + 1) - (copies + 1)
        count = np.arange(total) - np.repeat(first, copies + 1)
        new_left = left[parent] - count * weight
        new_worth = worth_of[parent] + count * value_of[n]
        new_skipped = np.where(
            count < bounds[n], np.minimum(skipped[parent], weight), skipped[parent]
        )
        alive = new_worth + best[n + 1].of(new_left) >= worth - _credit(
            group, position, new_left, scale
        )
        if maximal:
            alive &= new_left - fill[n + 1].of(new_left) < new_skipped
        if int(alive.sum()) > limit:
            return None
        left, worth_of, skipped = new_left[alive], new_worth[alive], new_skipped[alive]
        steps.append((parent[alive], count[alive].astype(np.int16)))
    counts = np.zeros((left.size, len(weights)), dtype=np.int16)
    row = np.arange(left.size)
    for n in range(len(weights) - 1, -1, -1):
        parent, count = steps[n]
        counts[:, n] = count[row]
        row = parent[row]
    return counts if group.credits[position] else counts[counts.any(axis=1)]


def _credit(group: StockGroup, position: int, left: NDArray[np.int64], scale: int) -> Any:
    """Return the credit that is still possible with so much of the bar left."""
    credits = group.credits[position]
    return credits_of(credits, group.capacities[position] - left, scale) if credits else 0


def all_patterns(
    groups: Sequence[StockGroup], limit: int, *, maximal: bool = True
) -> list[Pattern] | None:
    """Return every pattern that is not dominated, or `None` where there are more than `limit`.

    Where what is left of a bar is credited, a pattern with room to spare is kept too; with
    `maximal` false it always is.
    """
    patterns: list[Pattern] = []
    for group in groups:
        for position, source in enumerate(group.sources):
            counts = enumerate_patterns(
                group,
                position,
                limit=limit - len(patterns),
                maximal=maximal and group.only_full(position),
            )
            if counts is None or len(patterns) + len(counts) > limit:
                return None
            patterns.extend(group.pattern(source, row) for row in counts.tolist())
    return patterns
