"""Least cost, then least drop, then fewest patterns: tiny programs whose points are all tried."""

import random
from collections.abc import Iterator
from itertools import combinations_with_replacement, product

import pytest

from optimiser.solver.branching import solve_by_branching
from optimiser.solver.budget import Budget
from optimiser.solver.program import Column, Cover, Pattern, Point, Program, Row, Source, cost_of

Credits = tuple[tuple[int, int], ...]


def draw_program(seed: int, *, switch: bool, credits: bool) -> tuple[Program, tuple[int, ...]]:
    """Return two lengths, two bars, and a kit of one piece of each, with the columns' drops."""
    draw = random.Random(seed)
    capacities = draw.sample(range(8, 13), 2)
    steps: list[Credits] = [
        ((0, 6), (4, 3), (capacity - 2, 1)) if credits else () for capacity in capacities
    ]
    weights = draw.sample(range(2, 6), 2)
    kit = sum(weights)
    columns = [
        Column(name="short bars", cost=20, upper=2),
        Column(name="long bars", cost=20, upper=2),
        Column(name="kits", cost=draw.randint(8, 30), upper=2),
    ]
    rows: tuple[Row, ...] = ()
    if switch:
        columns.append(Column(name="ship", cost=5, upper=1, decisive=True))
        rows = (Row(name="any", terms=((0, 1), (3, -2)), upper=0),)
    program = Program(
        columns=tuple(columns),
        rows=rows,
        covers=tuple(
            Cover(
                name=str(weight),
                weight=weight,
                most=3,
                at_least=draw.randint(2, 3),
                terms=((2, 1),),
            )
            for weight in weights
        ),
        sources=tuple(
            Source(
                name=str(capacity),
                covers=(0, 1),
                capacity=capacity,
                bars=((k, 1),),
                credits=steps[k],
            )
            for k, capacity in enumerate(capacities)
        ),
    )
    return program, (*capacities, kit, *((0,) if switch else ()))


def every_point(program: Program) -> Iterator[Point]:
    """Yield every point that cuts exactly what is needed, whole bars as patterns without pieces."""
    weights = [cover.weight for cover in program.covers]
    for block in product(*(range(column.upper + 1) for column in program.columns)):
        if any(sum(c * block[k] for k, c in row.terms) > (row.upper or 0) for row in program.rows):
            continue
        ways = []
        for s, source in enumerate(program.sources):
            cuts = [
                Pattern(s, tuple((i, n) for i, n in enumerate(counts) if n))
                for counts in product(range(4), repeat=2)
                if sum(n * w for n, w in zip(counts, weights, strict=True)) <= source.capacity
            ]
            ways.append(combinations_with_replacement(cuts, block[s]))
        needed = [c.at_least - sum(n * block[k] for k, n in c.terms) for c in program.covers]
        for chosen in product(*ways):
            cut = [0, 0]
            bars: dict[Pattern, int] = {}
            for pattern in (p for patterns in chosen for p in patterns):
                bars[pattern] = bars.get(pattern, 0) + 1
                for i, n in pattern.counts:
                    cut[i] += n
            if cut == needed:
                yield Point(block=block, bars=bars)


def rank(program: Program, drops: tuple[int, ...], point: Point) -> tuple[int, int, int]:
    """Return cost, drop and patterns of a point."""
    drop = sum(d * value for d, value in zip(drops, point.block, strict=True))
    return cost_of(program, point), drop, sum(1 for pattern in point.bars if pattern.counts)


@pytest.mark.parametrize("credits", [False, True])
@pytest.mark.parametrize("switch", [False, True])
def test_a_proved_aim_is_the_best_of_every_point(*, switch: bool, credits: bool) -> None:
    proved = []
    for seed in range(12):
        program, drops = draw_program(seed, switch=switch, credits=credits)
        best = min(rank(program, drops, point) for point in every_point(program))
        solved = solve_by_branching(program, Budget(), lambda *_: None, drops)
        assert solved is not None
        found = rank(program, drops, solved.point)
        assert solved.proved
        assert solved.cost == found[0] == best[0], seed
        assert not solved.drop_proved or found[1] == best[1], seed
        assert not solved.patterns_proved or found[2] == best[2], seed
        proved.append((solved.drop_proved, solved.patterns_proved))
    # HiGHS may end with a bound below the point that it shows to be the best.
    assert sum(drop and patterns for drop, patterns in proved) >= 10
