"""What is said of bars as whole numbers, against enumeration by brute force.

All data are invented.
"""

import itertools
import random

import pytest

from optimiser.solver.bars_cuts import BarsCuts, inequality
from optimiser.solver.bound import best_bars
from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import starting_patterns
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.integer_program import solve_over
from optimiser.solver.lesser_bars import reduce_drop_of_bars
from optimiser.solver.master import Master
from optimiser.solver.program import Column, Cover, Program, Row, Source, broken_by, cost_of
from optimiser.solver.standing import Standing
from optimiser.solver.stock import group_sources
from optimiser.solver.whole_bars import (
    WholeBars,
    cost_of_bars,
    has_bars_to_choose,
    list_bars,
    settle_bars,
)


def cutting(demand: dict[int, int], stock: dict[int, int], most: int = 6) -> Program:
    """Return a program that cuts `demand` (length: pieces) from `stock` (length: price)."""
    lengths = sorted(demand, reverse=True)
    return Program(
        columns=tuple(
            Column(name=f"bars of {length}", cost=price, upper=most)
            for length, price in stock.items()
        ),
        covers=tuple(
            Cover(name=str(n), weight=n, most=demand[n], at_least=demand[n]) for n in lengths
        ),
        sources=tuple(
            Source(
                name=str(length), covers=tuple(range(len(lengths))), capacity=length, bars=((k, 1),)
            )
            for k, length in enumerate(stock)
        ),
    )


def draw_program(draw: random.Random) -> Program:
    """Return a program of three lengths and three kinds of bars, prices not in proportion."""
    demand = {n: draw.randint(1, 4) for n in draw.sample(range(3, 12), 3)}
    stock = {n: 2 * n + draw.randint(-3, 3) for n in draw.sample(range(12, 26), 3)}
    return cutting(demand, stock)


def can_hold(program: Program, block: tuple[int, ...]) -> bool:
    """Return whether the bars hold the pieces, by taking every piece to every bar in turn."""
    bars = [
        source.capacity
        for source, count in zip(program.sources, block, strict=True)
        for _ in range(count)
    ]
    pieces = [cover.weight for cover in program.covers for _ in range(cover.at_least)]

    def place(n: int, left: tuple[int, ...]) -> bool:
        if n == len(pieces):
            return True
        for room in sorted({room for room in left if room >= pieces[n]}):
            rest = list(left)
            rest[rest.index(room)] -= pieces[n]
            if place(n + 1, tuple(rest)):
                return True
        return False

    pieces.sort(reverse=True)
    return sum(pieces) <= sum(bars) and place(0, tuple(bars))


def least_cost(program: Program) -> int:
    """Return the least cost, from one integer program over all patterns."""
    every = all_patterns(group_sources(program), 10_000)
    assert every is not None
    result = solve_over(program, every)
    assert result.finished
    assert result.point is not None
    return result.cost


def relaxed(program: Program) -> tuple[Standing, WholeBars]:
    """Return a standing with its relaxation solved, and its bars."""
    standing = Standing(program, Budget(None, None), None, None)
    master = Master(program)
    master.add(starting_patterns(standing.groups))
    bound = standing.relax(master, round_up=False)
    assert bound is not None
    return standing, WholeBars(standing, master.patterns, bound)


def test_inequality_of_any_multipliers_keeps_bars_that_hold_the_pieces() -> None:
    for seed in range(20):
        draw = random.Random(seed)
        program = draw_program(draw)
        covers = tuple(draw.randint(0, 1 << 30) for _ in program.covers)
        worth, _ = best_bars(program, group_sources(program), covers, 1)
        row = inequality(program, covers, worth)
        assert row.lower is not None
        for block in itertools.product(range(4), repeat=3):
            if sum(c * block[k] for k, c in row.terms) < row.lower:
                assert not can_hold(program, block)


def test_bars_that_cannot_hold_the_pieces_are_forbidden_and_others_never() -> None:
    forbidden = 0
    for seed in range(20):
        program = draw_program(random.Random(seed))
        _, bars = relaxed(program)
        for block in itertools.product(range(4), repeat=3):
            row = bars.cuts.find(block)
            if row is not None:
                forbidden += 1
                assert row.lower is not None
                assert sum(c * block[k] for k, c in row.terms) < row.lower
                assert not can_hold(program, block)
    assert forbidden > 200


def test_what_is_too_short_in_sum_is_forbidden() -> None:
    # Four pieces of 5 are 20: one bar of 10 with one of 6 has 16, two of 10 are enough.
    program = cutting({5: 4}, {10: 7, 6: 4})
    groups = group_sources(program)
    cuts = BarsCuts(program, groups, starting_patterns(groups), (5.0, 5.0))
    assert cuts.find((1, 1)) is not None
    assert cuts.find((2, 0)) is None
    # A bar of 6 holds one piece of 5, so that four do, too.
    assert cuts.find((0, 4)) is None
    assert cuts.find((0, 3)) is not None


def test_every_choice_of_bars_up_to_a_cost_is_listed_cheapest_first() -> None:
    for seed in range(40):
        draw = random.Random(seed)
        columns = tuple(
            Column(
                name=str(k),
                cost=draw.randint(3, 9),
                lower=draw.randint(0, 1),
                upper=draw.randint(1, 5),
            )
            for k in range(3)
        )
        rows = [
            Row(
                name=str(t),
                terms=tuple((k, draw.randint(1, 20)) for k in range(3)),
                lower=draw.randint(10, 60),
            )
            for t in range(draw.randint(1, 3))
        ]
        ceiling = draw.randint(20, 70)
        program = Program(columns=columns)
        expected = [
            block
            for block in itertools.product(*(range(c.lower, c.upper + 1) for c in columns))
            if cost_of_bars(program, block) <= ceiling
            and all(sum(c * block[k] for k, c in row.terms) >= (row.lower or 0) for row in rows)
        ]
        listed = list_bars(columns, rows, ceiling, 10_000)
        assert listed is not None
        blocks = [tuple(row) for row in listed.tolist()]
        assert sorted(blocks) == sorted(expected)
        costs = [cost_of_bars(program, block) for block in blocks]
        assert costs == sorted(costs)


def test_too_many_choices_of_bars_are_not_listed() -> None:
    columns = tuple(Column(name=str(k), cost=1, upper=9) for k in range(3))
    row = Row(name="some", terms=((0, 1), (1, 1), (2, 1)), lower=1)
    assert list_bars(columns, [row], 27, 50) is None
    listed = list_bars(columns, [row], 27, 1_000)
    assert listed is not None
    assert len(listed) == 999


def test_whole_bars_settle_the_cost_and_never_bound_it_from_above() -> None:
    settled = 0
    for seed in range(40):
        program = draw_program(random.Random(seed))
        if not has_bars_to_choose(program):
            continue
        optimum = least_cost(program)
        standing, bars = relaxed(program)
        dear = bars.cut_from((6, 6, 6))
        standing.take(dear)
        if standing.point is None or standing.done or standing.duals is None:
            continue
        settle_bars(standing, bars.cuts.patterns, standing.duals)
        assert standing.bound is not None
        assert standing.bound <= optimum <= standing.cost
        settled += standing.bound == standing.cost
    assert settled >= 30


@pytest.mark.parametrize("seed", range(12))
def test_least_drop_of_bars_is_that_of_exhaustive_search(seed: int) -> None:
    draw = random.Random(seed)
    # One bar of 10 and one of 18 cost what two of 15 cost, and what three of 10 do.
    demand = {n: draw.randint(1, 3) for n in draw.sample(range(3, 9), 3)}
    program = cutting(demand, {10: 4, 15: 6, 18: 8}, most=4)
    optimum = least_cost(program)
    drops = (10, 15, 18)
    plans = [
        block
        for block in itertools.product(range(5), repeat=3)
        if cost_of_bars(program, block) == optimum and can_hold(program, block)
    ]
    least = min(sum(d * n for d, n in zip(drops, block, strict=True)) for block in plans)
    dearest = max(plans, key=lambda block: sum(d * n for d, n in zip(drops, block, strict=True)))
    _, bars = relaxed(program)
    point = bars.cut_from(dearest)
    assert point is not None
    reduced = reduce_drop_of_bars(program, point, (), drops, Budget(None, None))
    assert reduced is not None
    assert broken_by(program, reduced) is None
    assert cost_of(program, reduced) == optimum
    assert sum(d * n for d, n in zip(drops, reduced.block, strict=True)) == least
