"""Every pattern of a stock group that is worth something, level by level, in arrays.

At level n the states are all ways to choose the counts of items 0 … n − 1. A state lives on
only while the best that the later items can add (a table per suffix of items) still reaches
the wanted value, so that no state is a dead end and the work follows the output. Patterns to
which one more needed piece could be added are left out: the fuller pattern covers more for
the same bar. All bars of a group stand in the same arrays and share the tables; on long grids,
where the tables are bounds alone and states may die late, each bar stands alone.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from optimiser.solver.credit import credits_of
from optimiser.solver.knapsack import DENSE_LIMIT, Suffixes, best_by_suffix
from optimiser.solver.program import Pattern
from optimiser.solver.stock import StockGroup

Ints = NDArray[np.int64]

_NEVER_SKIPPED = np.iinfo(np.int64).max


@dataclass(frozen=True, slots=True)
class Listed:
    """Patterns of a group: for each the position of its source, and its count of each item."""

    of: Ints
    counts: NDArray[np.int16]


@dataclass(slots=True)
class _States:
    """Counts of the first items: whose bar, what is left of it, what they are worth.

    `skipped` is the least weight of an item of which fewer than its bound were taken.
    """

    of: Ints
    left: Ints
    worth: Ints
    skipped: Ints
    steps: list[tuple[Ints, NDArray[np.int16]]] = field(default_factory=list)


class Enumeration:
    """The patterns of a group, by what its items are worth where that matters.

    `maximal` leaves out patterns that have room for one more piece within the bounds. Where a
    source has a credit, which counts as worth, times `scale`, patterns with room to spare and the
    bar left whole are kept.
    """

    def __init__(
        self,
        group: StockGroup,
        *,
        values: Sequence[int] | None = None,
        maximal: bool = True,
        scale: int = 1,
    ) -> None:
        self.group, self.values, self.scale = group, values, scale
        self.full = np.array(
            [maximal and group.only_full(p) for p in range(len(group.sources))], dtype=np.bool_
        )

    def find(self, *, limit: int, worth: Sequence[int] | None = None) -> Listed | None:
        """Return the patterns by source, in a fixed order.

        With `worth`, one for each source: every pattern that is worth so much. `None` where more
        than `limit` states would be held.
        """
        positions = range(len(self.group.sources))
        wanted = None if worth is None else np.array([max(0, w) for w in worth], dtype=np.int64)
        if self.group.longest <= DENSE_LIMIT:
            return self._list(positions, limit, wanted)
        found: list[Listed] = []
        for position in positions:
            one = self._list((position,), limit, wanted)
            if one is None or one.of.size > limit:
                return None
            limit -= one.of.size
            found.append(one)
        return Listed(
            np.concatenate([one.of for one in found]),
            np.concatenate([one.counts for one in found]),
        )

    def worth(self, listed: Listed) -> Ints:
        """Return what each pattern is worth, its credit included."""
        counts = listed.counts.astype(np.int64)
        worth: Ints = counts @ np.array(self.values, dtype=np.int64)
        if not any(self.group.credits):
            return worth
        capacities = np.array(self.group.capacities, dtype=np.int64)[listed.of]
        used = counts @ np.array(self.group.weights, dtype=np.int64)
        return worth + self._credit(listed.of, capacities - used)

    @cached_property
    def _best(self) -> Suffixes:
        group = self.group
        return best_by_suffix(group.weights, group.bounds, self.values or (), group.longest)

    def _list(self, positions: Sequence[int], limit: int, wanted: Ints | None) -> Listed | None:
        group = self.group
        states = _States(
            of=np.array(positions, dtype=np.int64),
            left=np.array([group.capacities[p] for p in positions], dtype=np.int64),
            worth=np.zeros(len(positions), dtype=np.int64),
            skipped=np.full(len(positions), _NEVER_SKIPPED),
        )
        for n, weight in enumerate(group.weights):
            ways = np.minimum(states.left // weight, group.bounds[n]) + 1
            total = int(ways.sum())
            if total - ways.size > 50 * limit:
                return None
            parent = np.repeat(np.arange(ways.size), ways)
            count = np.arange(total) - (np.cumsum(ways) - ways)[parent]
            of, left = states.of[parent], states.left[parent] - count * weight
            skipped = states.skipped[parent]
            np.minimum(skipped, weight, out=skipped, where=count < group.bounds[n])
            alive = np.ones(total, dtype=np.bool_)
            worth = states.worth[parent]
            if wanted is not None and self.values is not None:
                worth += count * self.values[n]
                reach = worth + self._best[n + 1].of(left)
                alive = reach >= wanted[of] - self._credit(of, left)
            if self.full.any():
                full = left - group.fills[n + 1].of(left) < skipped
                alive &= full if self.full.all() else full | ~self.full[of]
            held = np.flatnonzero(alive)
            if held.size > limit:
                return None
            states.of, states.left = of[held], left[held]
            states.worth, states.skipped = worth[held], skipped[held]
            states.steps.append((parent[held], count[held].astype(np.int16)))
        return self._unwind(states)

    def _credit(self, of: Ints, left: Ints) -> Ints:
        """Return the credit that is still possible with so much of each bar left."""
        credit = np.zeros(of.size, dtype=np.int64)
        for position, steps in enumerate(self.group.credits):
            if steps:
                here = of == position
                cut = self.group.capacities[position] - left[here]
                credit[here] = credits_of(steps, cut, self.scale)
        return credit

    def _unwind(self, states: _States) -> Listed:
        """Return the states that are left; a bar left whole is one only where that is credited."""
        counts = np.zeros((states.of.size, len(states.steps)), dtype=np.int16)
        row = np.arange(states.of.size)
        for n in range(len(states.steps) - 1, -1, -1):
            parent, count = states.steps[n]
            counts[:, n] = count[row]
            row = parent[row]
        credited = np.array([bool(steps) for steps in self.group.credits])
        kept = counts.any(axis=1) | credited[states.of]
        return Listed(states.of[kept], counts[kept])


def all_patterns(
    groups: Sequence[StockGroup], limit: int, *, maximal: bool = True
) -> list[Pattern] | None:
    """Return every pattern that is not dominated, or `None` where there are more than `limit`.

    Where what is left of a bar is credited, a pattern with room to spare is kept too; with
    `maximal` false it always is.
    """
    patterns: list[Pattern] = []
    for group in groups:
        listed = Enumeration(group, maximal=maximal).find(limit=limit - len(patterns))
        if listed is None or len(patterns) + listed.of.size > limit:
            return None
        patterns.extend(
            group.pattern(group.sources[position], row)
            for position, row in zip(listed.of.tolist(), listed.counts.tolist(), strict=True)
        )
    return patterns
