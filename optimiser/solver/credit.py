"""The best use of a bar where what is left of it is credited.

best(u) is the most value that pieces of weight up to u have; it rises with u. The credit falls
with u in steps. The best use of a bar is therefore the best, over the ends u of the steps and
the whole capacity, of best(u) + credit(u): a filling lighter than its u only earns more, and is
then found at the end of its own step.
"""

from typing import Any

import numpy as np

from optimiser.solver.knapsack import Knapsack

Credits = tuple[tuple[int, int], ...]


def best_use(knapsack: Knapsack, capacity: int, steps: Credits, scale: int) -> tuple[int, int]:
    """Return the best value of a bar, and the weight within which a filling reaches it."""
    best, within = knapsack.best(capacity), capacity
    for most, credit in steps:
        value = knapsack.best(min(most, capacity)) + credit * scale
        if value > best:
            best, within = value, min(most, capacity)
    return best, within


def credits_of(steps: Credits, weights: Any, scale: int) -> Any:
    """Return the scaled credit at each of an array of weights."""
    most = np.array([end for end, _ in steps], dtype=np.int64)
    amounts = np.array([credit * scale for _, credit in steps] + [0], dtype=np.int64)
    return amounts[np.searchsorted(most, weights, side="left")]
