"""The parts of the solver on their own, against enumeration by hand or by brute force.

All data are invented.
"""

import itertools
import random
import subprocess
import sys
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

import pytest

from optimiser.solver.bound import Multipliers, best_bars, best_bound, evaluate
from optimiser.solver.column_generation import generate_columns, starting_patterns
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.gap_closing import patterns_within
from optimiser.solver.integer_program import solve_over
from optimiser.solver.knapsack import DENSE_LIMIT, Knapsack, binary_parts
from optimiser.solver.master import Master
from optimiser.solver.parts import join_points, split
from optimiser.solver.price_grid import common_measure
from optimiser.solver.program import (
    Column,
    Cover,
    Pattern,
    Point,
    Program,
    Row,
    Source,
    broken_by,
    cost_of,
)
from optimiser.solver.stock import group_sources
from optimiser.solver.trimming import trim_surplus


def fillings(weights: list[int], bounds: list[int], capacity: int) -> Iterator[tuple[int, ...]]:
    for counts in itertools.product(*(range(bound + 1) for bound in bounds)):
        if sum(w * n for w, n in zip(weights, counts, strict=True)) <= capacity:
            yield counts


def best_by_brute_force(
    weights: list[int], bounds: list[int], values: list[int], capacity: int
) -> int:
    return max(
        sum(v * n for v, n in zip(values, counts, strict=True))
        for counts in fillings(weights, bounds, capacity)
    )


@pytest.mark.parametrize("stretch", [1, 10_000])
def test_knapsack_agrees_with_brute_force_at_every_capacity_asked(stretch: int) -> None:
    for seed in range(40):
        draw = random.Random(seed)
        n = draw.randint(1, 4)
        weights = [draw.randint(1, 12) * stretch for _ in range(n)]
        bounds = [draw.randint(0, 3) for _ in range(n)]
        values = [draw.randint(0, 30) for _ in range(n)]
        longest = 20 * stretch
        assert (longest > DENSE_LIMIT) is (stretch > 1)
        knapsack = Knapsack(weights, bounds, values, longest)
        for capacity in (0, 7 * stretch, 13 * stretch + stretch // 2, longest):
            best = best_by_brute_force(weights, bounds, values, capacity)
            counts = knapsack.filling(capacity)
            assert knapsack.best(capacity) == best
            assert sum(v * c for v, c in zip(values, counts, strict=True)) == best
            assert sum(w * c for w, c in zip(weights, counts, strict=True)) <= capacity
            assert all(c <= b for c, b in zip(counts, bounds, strict=True))


def test_floored_knapsack_gives_the_best_value_above_its_floor_and_else_the_floor() -> None:
    for seed in range(60):
        draw = random.Random(seed)
        weights = [draw.randint(2, 12) * 5_000 for _ in range(4)]
        bounds = [draw.randint(1, 3) for _ in range(4)]
        values = [draw.randint(1, 30) for _ in range(4)]
        capacity = 100_000
        best = best_by_brute_force(weights, bounds, values, capacity)
        for floor in (best - 3, best, best + 2):
            knapsack = Knapsack(weights, bounds, values, capacity, {capacity: floor})
            assert knapsack.best(capacity) == max(best, floor)


def test_binary_parts_add_up_to_every_count() -> None:
    for bound in range(20):
        sums = {
            sum(chosen)
            for size in range(len(binary_parts(bound)) + 1)
            for chosen in itertools.combinations(binary_parts(bound), size)
        }
        assert sums == set(range(bound + 1))


def cutting(
    demand: dict[int, int], stock: dict[int, int], *, limits: dict[int, int] | None = None
) -> Program:
    """Return a program that cuts `demand` (length: pieces) from `stock` (length: price)."""
    lengths = sorted(demand, reverse=True)
    return Program(
        columns=tuple(
            Column(
                name=f"bars of {length}",
                cost=price,
                upper=(limits or {}).get(length, sum(demand.values())),
            )
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


def test_all_patterns_are_exactly_the_full_ones() -> None:
    for seed in range(30):
        draw = random.Random(seed)
        demand = {draw.randint(2, 9): draw.randint(1, 4) for _ in range(3)}
        program = cutting(demand, {draw.randint(10, 24): 1})
        (group,) = group_sources(program)
        weights, bounds = list(group.weights), list(group.bounds)
        capacity = group.capacities[0]
        full = {
            counts
            for counts in fillings(weights, bounds, capacity)
            if all(
                count == bound
                or weight > capacity - sum(w * c for w, c in zip(weights, counts, strict=True))
                for weight, bound, count in zip(weights, bounds, counts, strict=True)
            )
        }
        listed = all_patterns((group,), 10_000)
        assert listed is not None
        assert {group.pattern(0, list(counts)) for counts in full} == set(listed)
        assert len(listed) == len(full)


def test_more_patterns_than_the_limit_are_refused() -> None:
    # 5 + 3 in 10: {5, 5}, {5, 3}, {3, 3, 3}: three full patterns.
    groups = group_sources(cutting({5: 9, 3: 9}, {10: 1}))
    assert all_patterns(groups, 2) is None
    assert len(all_patterns(groups, 3) or ()) == 3


def test_bound_of_any_multipliers_is_never_above_the_least_cost() -> None:
    for seed in range(40):
        draw = random.Random(seed)
        demand = {n: draw.randint(1, 5) for n in draw.sample(range(3, 12), 3)}
        program = cutting(demand, {14: draw.randint(7, 9), 20: draw.randint(9, 13)})
        groups = group_sources(program)
        every = all_patterns(groups, 10_000)
        assert every is not None
        least = solve_over(program, every).cost
        scale = 1 << 20
        covers = tuple(draw.randint(0, 9 * scale) for _ in program.covers)
        worth, _ = best_bars(program, groups, covers, scale)
        multipliers = Multipliers(scale, covers, (), worth)
        assert evaluate(program, multipliers) <= least * scale
        assert best_bound(program, groups, multipliers).whole <= least


def test_column_generation_reaches_the_relaxation_over_all_patterns() -> None:
    # 5600: the published paper-roll example, relaxation 72.9167, optimum 73.
    demand = {
        1380: 22, 1520: 25, 1560: 12, 1710: 14, 1820: 18, 1880: 18, 1930: 20,
        2000: 10, 2050: 12, 2100: 14, 2140: 16, 2150: 18, 2200: 20,
    }  # fmt: skip
    program = cutting(demand, {5600: 1})
    groups = group_sources(program)
    master = Master(program)
    master.add(starting_patterns(groups))
    generated = generate_columns(master, groups, round_up=False)
    assert generated is not None
    assert generated.converged
    assert round(generated.relaxed.cost, 4) == 72.9167
    assert generated.bound.whole == 73
    # The example's 308 patterns are all that fit; 213 of them leave room for no other roll.
    assert len(all_patterns(groups, 1_000, maximal=False) or ()) == 308
    assert len(all_patterns(groups, 1_000) or ()) == 213


def test_patterns_under_the_gap_hold_an_optimum() -> None:
    for seed in range(25):
        draw = random.Random(seed)
        demand = {n: draw.randint(1, 6) for n in draw.sample(range(4, 15), 4)}
        program = cutting(demand, {17: 10, 23: 13})
        groups = group_sources(program)
        every = all_patterns(groups, 10_000)
        assert every is not None
        least = solve_over(program, every).cost
        master = Master(program)
        master.add(starting_patterns(groups))
        generated = generate_columns(master, groups, round_up=False)
        assert generated is not None
        within = patterns_within(groups, generated.bound, least, 10_000)
        assert within is not None
        assert set(within) <= set(every)
        assert solve_over(program, within).cost == least


def test_trimming_takes_out_the_surplus_and_nothing_else() -> None:
    for seed in range(60):
        draw = random.Random(seed)
        bars = {
            Pattern(0, tuple((i, draw.randint(1, 3)) for i in sorted(draw.sample(range(4), 2)))): (
                draw.randint(1, 6)
            )
            for _ in range(4)
        }
        cut = {i: sum(dict(p.counts).get(i, 0) * n for p, n in bars.items()) for i in range(4)}
        surplus = {i: draw.randint(0, pieces) for i, pieces in cut.items()}
        trimmed = trim_surplus(bars, surplus)
        left = {i: sum(dict(p.counts).get(i, 0) * n for p, n in trimmed.items()) for i in range(4)}
        assert left == {i: cut[i] - surplus[i] for i in range(4)}
        assert sum(trimmed.values()) <= sum(bars.values())
        assert trim_surplus(dict(reversed(bars.items())), surplus) == trimmed


def test_trimming_a_whole_pattern_adds_no_pattern() -> None:
    one, other = Pattern(0, ((0, 2), (1, 1))), Pattern(0, ((0, 1),))
    # Three surplus pieces of length 0: one from each of the three bars of the first pattern.
    assert trim_surplus({one: 3, other: 5}, {0: 3}) == {Pattern(0, ((0, 1), (1, 1))): 3, other: 5}


def test_prices_are_counted_in_their_largest_common_measure() -> None:
    grid = common_measure([Decimal("12.50"), Decimal("7.25"), Decimal("0"), Decimal("3")])
    assert grid.measure == Fraction(1, 4)
    assert [grid.count(Decimal(price)) for price in ("12.50", "7.25", "0", "3")] == [50, 29, 0, 12]
    assert grid.amount(79) == Decimal("19.75")
    assert str(grid.amount(4)) == "1.00"
    assert common_measure([]).amount(0) == Decimal(0)


def test_program_splits_where_nothing_is_shared_and_joins_again() -> None:
    program = Program(
        columns=(
            Column(name="kit", cost=5, upper=2),
            Column(name="bars", cost=3, upper=9),
            Column(name="packs", cost=1, upper=9),
        ),
        rows=(Row(name="pool", terms=((0, 4), (2, 2)), lower=8),),
        covers=(Cover(name="A", weight=4, most=4, at_least=4, terms=((0, 2),)),),
        sources=(Source(name="S", covers=(0,), capacity=9, bars=((1, 1),)),),
    )
    assert len(split(program, {})) == 1
    cut, pool = split(program, {0: 1})
    assert cut.program.covers[0].at_least == 2
    assert pool.program.rows[0].lower == 4
    two_on_a_bar = Pattern(0, ((0, 2),))
    point = join_points(
        program,
        {0: 1},
        (cut, pool),
        (Point(block=(1,), bars={two_on_a_bar: 1}), Point(block=(2,))),
    )
    assert point == Point(block=(1, 1, 2), bars={two_on_a_bar: 1})
    assert broken_by(program, point) is None
    assert cost_of(program, point) == 10
    short = Point(block=(1, 1, 1), bars=point.bars)
    assert broken_by(program, short) == "pool"


def test_nothing_is_written_to_standard_output() -> None:
    code = (
        "import optimiser.solver.highs as h; s = h.open_highs(); s.addVar(0, 1); s.run(); "
        "print('mine')"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "mine\n"
