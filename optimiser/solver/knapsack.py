"""The bounded knapsack that prices cutting patterns, for every capacity at once.

Sets        n ∈ N items; item n is split into parts of 1, 2, 4, … copies up to its bound
Variables   a_n copies of item n on the bar
Objective   best(c) = max Σ_n value_n a_n
Constraints [capacity] Σ_n weight_n a_n ≤ c
            [bound]    a_n ≤ bound_n

Values are whole numbers, so the maximum is exact. Up to `DENSE_LIMIT` the table runs over
every capacity; beyond it only over the sums that can be reached and that no lighter sum
equals in value (dominance).

References: S. Martello, P. Toth, "Knapsack Problems", Wiley 1990, chapter 3 (binary parts);
H. Kellerer, U. Pferschy, D. Pisinger, "Knapsack Problems", Springer 2004, section 3.4
(dominance over lists of states).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

DENSE_LIMIT = 20_000


@dataclass(frozen=True, slots=True)
class Steps:
    """A rising step function of the capacity: value `best[n]` from capacity `at[n]` on."""

    at: Ints
    best: Ints

    def of(self, capacity: Any) -> Any:
        """Return the best value within a capacity, or within each of an array of them."""
        return self.best[np.searchsorted(self.at, capacity, side="right") - 1]

    def of_index(self, capacity: int) -> int:
        """Return the position of the last step within a capacity."""
        return int(np.searchsorted(self.at, capacity, side="right")) - 1


@dataclass(frozen=True, slots=True)
class Table:
    """The best value for every capacity, as a plain array."""

    best: Ints

    def of(self, capacity: Any) -> Any:
        """Return the best value within a capacity, or within each of an array of them."""
        return self.best[capacity]


def binary_parts(bound: int) -> list[int]:
    """Return parts of 1, 2, 4, … copies whose subsets add up to every count up to the bound."""
    parts, part = [], 1
    while bound > 0:
        parts.append(min(part, bound))
        bound -= part
        part *= 2
    return parts


class Knapsack:
    """A solved knapsack: the best value and a best filling for every capacity."""

    def __init__(
        self, weights: Sequence[int], bounds: Sequence[int], values: Sequence[int], longest: int
    ) -> None:
        self._weights = weights
        self._parts = [
            (n, copies, copies * weights[n], copies * values[n])
            for n in range(len(weights))
            if values[n] > 0 and weights[n] <= longest
            for copies in binary_parts(min(bounds[n], longest // weights[n]))
        ]
        self._solve = _DenseTable if longest <= DENSE_LIMIT else _StateLists
        self._table = self._solve(self._parts, longest)

    @property
    def steps(self) -> Steps:
        """Return the best value as a step function of the capacity."""
        return self._table.steps()

    def best(self, capacity: int) -> int:
        """Return the best value within a capacity."""
        return self._table.best(capacity)

    def filling(self, capacity: int) -> list[int]:
        """Return a count per item that reaches the best value within a capacity."""
        counts = [0] * len(self._weights)
        for part in self._table.parts_within(capacity):
            item, copies, _, _ = self._parts[part]
            counts[item] += copies
        return counts


class _DenseTable:
    def __init__(self, parts: list[tuple[int, int, int, int]], longest: int) -> None:
        best = np.zeros(longest + 1, dtype=np.int64)
        taken = np.zeros((len(parts), longest + 1), dtype=np.bool_)
        for p, (_, _, weight, value) in enumerate(parts):
            with_part = best[:-weight] + value
            np.greater(with_part, best[weight:], out=taken[p, weight:])
            np.maximum(best[weight:], with_part, out=best[weight:])
        self._parts, self._best, self._taken = parts, best, taken

    def best(self, capacity: int) -> int:
        return int(self._best[capacity])

    def steps(self) -> Steps:
        at = np.flatnonzero(np.diff(self._best, prepend=-1))
        return Steps(at, self._best[at])

    def parts_within(self, capacity: int) -> list[int]:
        used, left = [], capacity
        for p in range(len(self._parts) - 1, -1, -1):
            if self._taken[p, left]:
                used.append(p)
                left -= self._parts[p][2]
        return used


class _StateLists:
    def __init__(self, parts: list[tuple[int, int, int, int]], longest: int) -> None:
        at = np.zeros(1, dtype=np.int64)
        best = np.zeros(1, dtype=np.int64)
        self._history: list[tuple[Ints, NDArray[np.bool_]]] = []
        for _, _, weight, value in parts:
            room = int(np.searchsorted(at, longest - weight, side="right"))
            sums = np.concatenate((at, at[:room] + weight))
            values = np.concatenate((best, best[:room] + value))
            origin = np.concatenate((np.arange(at.size), np.arange(room)))
            order = np.lexsort((-values, sums))
            values = values[order]
            keep = np.empty(order.size, dtype=np.bool_)
            keep[0] = True
            keep[1:] = values[1:] > np.maximum.accumulate(values)[:-1]
            kept = order[keep]
            self._history.append((origin[kept], kept >= at.size))
            at, best = sums[kept], values[keep]
        self._steps = Steps(at, best)

    def best(self, capacity: int) -> int:
        return int(self._steps.of(capacity))

    def steps(self) -> Steps:
        return self._steps

    def parts_within(self, capacity: int) -> list[int]:
        state = int(np.searchsorted(self._steps.at, capacity, side="right")) - 1
        used = []
        for p in range(len(self._history) - 1, -1, -1):
            origin, taken = self._history[p]
            if taken[state]:
                used.append(p)
            state = int(origin[state])
        return used


def best_by_suffix(
    weights: Sequence[int], bounds: Sequence[int], values: Sequence[int], longest: int
) -> list[Table | Steps]:
    """Return, for each position n and one past the end, the best value of items n, n + 1, …"""
    if longest <= DENSE_LIMIT:
        return _dense_suffixes(weights, bounds, values, longest)
    steps = Steps(np.zeros(1, dtype=np.int64), np.zeros(1, dtype=np.int64))
    suffixes: list[Table | Steps] = [steps]
    for n in range(len(weights) - 1, -1, -1):
        for copies in binary_parts(min(bounds[n], longest // weights[n])) if values[n] > 0 else ():
            steps = _with_part(steps, copies * weights[n], copies * values[n], longest)
        suffixes.append(steps)
    return suffixes[::-1]


def _dense_suffixes(
    weights: Sequence[int], bounds: Sequence[int], values: Sequence[int], longest: int
) -> list[Table | Steps]:
    best = np.zeros(longest + 1, dtype=np.int64)
    suffixes: list[Table | Steps] = [Table(best)]
    for n in range(len(weights) - 1, -1, -1):
        best = best.copy()
        for copies in binary_parts(min(bounds[n], longest // weights[n])) if values[n] > 0 else ():
            weight = copies * weights[n]
            np.maximum(best[weight:], best[:-weight] + copies * values[n], out=best[weight:])
        suffixes.append(Table(best))
    return suffixes[::-1]


def _with_part(steps: Steps, weight: int, value: int, longest: int) -> Steps:
    room = int(np.searchsorted(steps.at, longest - weight, side="right"))
    sums = np.concatenate((steps.at, steps.at[:room] + weight))
    values = np.concatenate((steps.best, steps.best[:room] + value))
    order = np.lexsort((-values, sums))
    values = values[order]
    keep = np.empty(order.size, dtype=np.bool_)
    keep[0] = True
    keep[1:] = values[1:] > np.maximum.accumulate(values)[:-1]
    return Steps(sums[order][keep], values[keep])
