"""What the bounds of neighbours say: programs that differ in the costs of their columns alone.

For programs i with the same constraints, costs c_i and bounds z_i, every plan y of one with costs c
and limits no wider keeps

    [neighbour i]  Σ_k c_ik y_k ≥ z_i,

and so costs, for any λ_i ≥ 0, at least

    Σ_i λ_i z_i + Σ_k min(r_k lower_k, r_k upper_k),   r_k = c_k − Σ_i λ_i c_ik.

The λ are the duals of min Σ_k c_k y_k under these rows and the limits of the columns; the bound is
summed up in whole numbers, so that it holds whatever they are. That holds where all costs are
those of columns: a credit or a charge on patterns is not seen here.

Where one plan is the cheapest at two costs it is the cheapest at every mixture of them: the least
cost is a concave function of the costs. See R. G. Jeroslow and others on parametric integer
programming, or A. M. Geoffrion, R. Nauss, "Parametric and postoptimality analysis in integer linear
programming", Management Science 23 (1977) 453-466; cited from memory, its page was not looked up.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from optimiser.solver.highs import linear_program_solved, open_highs, write_model
from optimiser.solver.program import Program, Row

SCALE = 1 << 60
MOST_NEIGHBOURS = 48


@dataclass(frozen=True, slots=True)
class Neighbour:
    """The costs of a program, and a bound on what any plan costs there."""

    costs: tuple[int, ...]
    bound: int


@dataclass(frozen=True, slots=True)
class NeighboursSay:
    """A bound for a program, and the rows that it was got from."""

    bound: int
    rows: tuple[Row, ...]


def ask_neighbours(program: Program, neighbours: Sequence[Neighbour]) -> NeighboursSay | None:
    """Return what neighbours say of a program; `None` where that is nothing.

    Their constraints are the program's, and their limits no narrower.
    """
    if not neighbours or not program.columns:
        return None
    nearest = _nearest(program, neighbours)
    weights = _weigh(program, nearest)
    if weights is None:
        return None
    counted = [(n, w) for n, w in zip(nearest, weights, strict=True) if w]
    rows = tuple(
        Row(
            name=f"neighbour {position}",
            terms=tuple((k, c) for k, c in enumerate(neighbour.costs) if c),
            lower=neighbour.bound,
        )
        for position, (neighbour, _) in enumerate(counted)
    )
    return NeighboursSay(_sum_up(program, counted), rows)


def _nearest(program: Program, neighbours: Sequence[Neighbour]) -> list[Neighbour]:
    """Return the neighbours whose costs differ least, each measured in its own unit."""
    if len(neighbours) <= MOST_NEIGHBOURS:
        return list(neighbours)
    costs = np.array([column.cost for column in program.columns], dtype=float)
    theirs = np.array([neighbour.costs for neighbour in neighbours], dtype=float)
    squares = np.maximum(1e-12, (theirs * theirs).sum(axis=1))
    scaled = theirs * (theirs @ costs / squares)[:, None]
    distance = np.abs(scaled - costs).sum(axis=1)
    return [neighbours[i] for i in np.argsort(distance, kind="stable")[:MOST_NEIGHBOURS]]


def _weigh(program: Program, neighbours: Sequence[Neighbour]) -> list[int] | None:
    """Return each neighbour's weight, scaled; `None` where the program was not solved."""
    matrix = np.array([neighbour.costs for neighbour in neighbours], dtype=float)
    starts, indices, values = [0], [], []
    for row in matrix:
        (places,) = np.nonzero(row)
        indices.append(places)
        values.append(row[places])
        starts.append(starts[-1] + len(places))
    model = write_model(
        columns=(
            [column.cost for column in program.columns],
            [column.lower for column in program.columns],
            [column.upper for column in program.columns],
        ),
        rows=([neighbour.bound for neighbour in neighbours], [math.inf] * len(neighbours)),
        matrix=(starts, np.concatenate(indices), np.concatenate(values)),
    )
    solver = open_highs(presolve="off", solver="simplex")
    solver.passModel(model)
    solver.run()
    if not linear_program_solved(solver):
        return None
    return [max(0, round(dual * SCALE)) for dual in solver.getSolution().row_dual]


def _sum_up(program: Program, counted: Sequence[tuple[Neighbour, int]]) -> int:
    left = [column.cost * SCALE for column in program.columns]
    total = 0
    for neighbour, weight in counted:
        total += weight * neighbour.bound
        for k, cost in enumerate(neighbour.costs):
            left[k] -= weight * cost
    total += sum(
        min(r * column.lower, r * column.upper)
        for r, column in zip(left, program.columns, strict=True)
    )
    return -(-total // SCALE)
