"""The bounded knapsack that prices cutting patterns, for every capacity at once.

Sets        n ∈ N items; item n is split into parts of 1, 2, 4, … copies up to its bound
Variables   a_n copies of item n on the bar
Objective   best(c) = max Σ_n value_n a_n
Constraints [capacity] Σ_n weight_n a_n ≤ c
            [bound]    a_n ≤ bound_n

Values are whole numbers, so the maximum is exact. Up to `DENSE_LIMIT` the table runs over
every capacity; beyond it only over the sums that can be reached, that no lighter sum equals
in value (dominance), and that can still be worth more than a floor: items come in falling
value by weight, and the next item's ratio bounds what the rest of a bar can add. Where
nothing is worth more than the floor, the floor is what is known of the best value.

References: S. Martello, P. Toth, "Knapsack Problems", Wiley 1990, chapter 3 (binary parts);
H. Kellerer, U. Pferschy, D. Pisinger, "Knapsack Problems", Springer 2004, section 3.4
(dominance over lists of states); E. Balas, E. Zemel, Operations Research 28 (1980) 1130-1154
(items by value to weight, with bounds).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Ints = NDArray[np.int64]

DENSE_LIMIT = 20_000
ROUNDING = 1 + 1e-12
"""Covers what a ratio in floating point may lose on values of up to 2 to the 58th."""


@dataclass(frozen=True, slots=True)
class Steps:
    """A rising step function of the capacity: value `best[n]` from capacity `at[n]` on."""

    at: Ints
    best: Ints

    def of(self, capacity: Any) -> Any:
        """Return the best value within a capacity, or within each of an array of them."""
        return self.best[np.searchsorted(self.at, capacity, side="right") - 1]


@dataclass(frozen=True, slots=True)
class Table:
    """The best value for every capacity, as a plain array."""

    best: Ints

    def of(self, capacity: Any) -> Any:
        """Return the best value within a capacity, or within each of an array of them."""
        return self.best[capacity]


@dataclass(frozen=True, slots=True)
class Ratio:
    """An upper bound on the best value: the best ratio of value to weight, if anything fits."""

    ratio: float
    lightest: int

    def of(self, capacity: Any) -> Any:
        """Return the bound within a capacity, or within each of an array of them."""
        return np.where(capacity >= self.lightest, np.ceil(capacity * self.ratio), 0.0)


Suffixes = list[Table | Steps | Ratio]


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
        self,
        weights: Sequence[int],
        bounds: Sequence[int],
        values: Sequence[int],
        longest: int,
        floors: Mapping[int, int] | None = None,
    ) -> None:
        """Solve. `floors` maps the capacities asked for to values below which none matters."""
        self._weights = weights
        self._floors = floors if floors is not None and longest > DENSE_LIMIT else {}
        self._parts = [
            (n, copies, copies * weights[n], copies * values[n])
            for n in range(len(weights))
            if values[n] > 0 and weights[n] <= longest
            for copies in binary_parts(min(bounds[n], longest // weights[n]))
        ]
        self._table: _DenseTable | _StateLists
        if longest <= DENSE_LIMIT:
            self._table = _DenseTable(self._parts, longest)
        else:
            self._parts.sort(key=lambda part: (-part[3] / part[2], part[0], part[1]))
            self._table = _StateLists(self._parts, longest, self._floors)

    @property
    def steps(self) -> Steps:
        """Return the best value as a step function of the capacity."""
        return self._table.steps()

    def best(self, capacity: int) -> int:
        """Return the best value within a capacity, or its floor where that is higher."""
        return max(self._table.best(capacity), self._floors.get(capacity, 0))

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
    def __init__(
        self, parts: list[tuple[int, int, int, int]], longest: int, floors: Mapping[int, int]
    ) -> None:
        at = np.zeros(1, dtype=np.int64)
        best = np.zeros(1, dtype=np.int64)
        self._history: list[tuple[Ints, NDArray[np.bool_]] | None] = []
        ratio, most = 0.0, 1.0
        for p, (_, _, weight, value) in enumerate(parts):
            room = int(at.searchsorted(longest - weight, side="right"))
            sums, values = at[:room] + weight, best[:room] + value
            origin = np.arange(room)
            if floors:
                ratio = parts[p + 1][3] / parts[p + 1][2] * ROUNDING if p + 1 < len(parts) else 0.0
                most = max([ratio * capacity - floor for capacity, floor in floors.items()])
                origin = (values - ratio * sums > -most).nonzero()[0]
                sums, values = sums[origin], values[origin]
            if not origin.size:
                # No state with this part can be worth more than the floor.
                self._history.append(None)
                continue
            taken = np.zeros(at.size + origin.size, dtype=np.bool_)
            taken[at.size :] = True
            origin = np.concatenate((np.arange(at.size), origin))
            sums = np.concatenate((at, sums))
            # Two rising runs: a stable sort merges them in one pass.
            order = sums.argsort(kind="stable")
            sums, values = sums[order], np.concatenate((best, values))[order]
            keep = np.empty(order.size, dtype=np.bool_)
            keep[1:] = values[1:] > np.maximum.accumulate(values)[:-1]
            if floors:
                keep &= values - ratio * sums > -most
            keep[0] = True
            order = order[keep]
            self._history.append((origin[order], taken[order]))
            at, best = sums[keep], values[keep]
        self._steps = Steps(at, best)

    def best(self, capacity: int) -> int:
        return int(self._steps.of(capacity))

    def steps(self) -> Steps:
        return self._steps

    def parts_within(self, capacity: int) -> list[int]:
        state = int(np.searchsorted(self._steps.at, capacity, side="right")) - 1
        used = []
        for p in range(len(self._history) - 1, -1, -1):
            step = self._history[p]
            if step is None:
                continue
            origin, taken = step
            if taken[state]:
                used.append(p)
            state = int(origin[state])
        return used


def best_by_suffix(
    weights: Sequence[int], bounds: Sequence[int], values: Sequence[int], longest: int
) -> Suffixes:
    """Return, for each position n and one past the end, the best value of items n, n + 1, …

    Beyond `DENSE_LIMIT` the functions bound the best value from above by the best ratio.
    """
    if longest <= DENSE_LIMIT:
        return _dense_suffixes(weights, bounds, values, longest)
    ratios: Suffixes = [Ratio(0.0, longest + 1)]
    ratio, lightest = 0.0, longest + 1
    for weight, bound, value in zip(weights[::-1], bounds[::-1], values[::-1], strict=True):
        if bound:
            ratio, lightest = max(ratio, value / weight * ROUNDING), min(lightest, weight)
        ratios.append(Ratio(ratio, lightest))
    return ratios[::-1]


def _dense_suffixes(
    weights: Sequence[int], bounds: Sequence[int], values: Sequence[int], longest: int
) -> Suffixes:
    best = np.zeros(longest + 1, dtype=np.int64)
    suffixes: Suffixes = [Table(best)]
    for n in range(len(weights) - 1, -1, -1):
        best = best.copy()
        for copies in binary_parts(min(bounds[n], longest // weights[n])) if values[n] > 0 else ():
            weight = copies * weights[n]
            np.maximum(best[weight:], best[:-weight] + copies * values[n], out=best[weight:])
        suffixes.append(Table(best))
    return suffixes[::-1]
