"""What brings cost and bound together, against enumeration by brute force.

All data are invented.
"""

import itertools
import random
from dataclasses import replace
from functools import cache

import pytest

from optimiser.solver.block_cuts import (
    KnownBlocks,
    blocks_of,
    bounds_between,
    broken_cuts,
    whole_choices,
)
from optimiser.solver.bound import Multipliers
from optimiser.solver.budget import Budget
from optimiser.solver.column_generation import (
    generate_columns,
    starting_patterns,
    to_multipliers,
)
from optimiser.solver.engine import solve_program
from optimiser.solver.enumeration import all_patterns
from optimiser.solver.gap_closing import limit_columns, nearest_patterns, patterns_within
from optimiser.solver.integer_program import solve_over
from optimiser.solver.known import KnownParts
from optimiser.solver.master import Master
from optimiser.solver.parts import narrow, narrow_patterns, split
from optimiser.solver.program import (
    Column,
    Cover,
    Pattern,
    Point,
    Program,
    ProgramInfeasible,
    Row,
    Source,
    broken_by,
    cost_of,
)
from optimiser.solver.solved import Hint, without_decisions
from optimiser.solver.stock import group_sources


def packs_and_bars(draw: random.Random) -> Program:
    """Return a program of two lengths, one bar, kits of either length, and packs of nails.

    A kit saves one piece of its length and brings `brought` nails; packs bring the rest.
    """
    brought, small, large = draw.randint(2, 4), draw.randint(3, 5), draw.randint(8, 11)
    lengths, capacity = (5, 7), 17
    most = (draw.randint(3, 6), draw.randint(3, 6))
    return Program(
        columns=(
            Column(name="kit of 5", cost=draw.randint(45, 75), upper=3),
            Column(name="kit of 7", cost=draw.randint(60, 95), upper=3),
            Column(name="small pack", cost=draw.randint(11, 17), upper=9),
            Column(name="large pack", cost=draw.randint(25, 37), upper=5),
            Column(name="bars", cost=draw.randint(120, 150), upper=12),
        ),
        rows=(
            Row(
                name="nails",
                terms=((0, brought), (1, brought), (2, small), (3, large)),
                lower=draw.randint(17, 29),
            ),
        ),
        covers=tuple(
            Cover(name=str(n), weight=n, most=m, at_least=m, terms=((k, 1),))
            for k, (n, m) in enumerate(zip(lengths, most, strict=True))
        ),
        sources=(Source(name="17", covers=(0, 1), capacity=capacity, bars=((4, 1),)),),
    )


@cache
def fewest_bars(fives: int, sevens: int) -> int:
    """Return the bars of 17 that so many pieces need, by trying every filling of the first."""
    if fives <= 0 and sevens <= 0:
        return 0
    rests = {(max(0, fives - n), max(0, sevens - m)) for n, m in ((3, 0), (2, 1), (0, 2))}
    return 1 + min(fewest_bars(*rest) for rest in rests - {(max(0, fives), max(0, sevens))})


def least_cost(program: Program) -> int:
    """Return the least cost by trying every choice."""
    (nails,) = program.rows
    fives, sevens = (cover.at_least for cover in program.covers)
    return min(
        sum(column.cost * n for column, n in zip(program.columns, choice, strict=False))
        + program.columns[4].cost * fewest_bars(fives - choice[0], sevens - choice[1])
        for choice in itertools.product(*(range(c.upper + 1) for c in program.columns[:4]))
        if sum(c * choice[k] for k, c in nails.terms) >= (nails.lower or 0)
    )


def relaxation(program: Program) -> Master:
    master = Master(program)
    master.add(starting_patterns(group_sources(program)))
    return master


def test_cut_of_whole_choices_holds_for_every_choice_and_is_broken_by_the_relaxation() -> None:
    cuts_found = 0
    for seed in range(40):
        program = packs_and_bars(random.Random(seed))
        generated = generate_columns(relaxation(program), group_sources(program), round_up=False)
        assert generated is not None
        duals = to_multipliers(generated.relaxed, generated.bound.multipliers.scale, program)
        block = generated.relaxed.block
        for cut in broken_cuts(program, blocks_of(program), duals, block):
            cuts_found += 1
            assert cut.lower is not None
            assert sum(c * block[k] for k, c in cut.terms) < cut.lower
            (nails,) = program.rows
            for choice in itertools.product(*(range(c.upper + 1) for c in program.columns[:4])):
                if sum(c * choice[k] for k, c in nails.terms) >= (nails.lower or 0):
                    assert sum(c * choice[k] for k, c in cut.terms) >= cut.lower
    assert cuts_found >= 25


def test_bound_with_cuts_is_higher_and_never_above_the_least_cost() -> None:
    raised = 0
    for seed in range(12):
        program = packs_and_bars(random.Random(seed))
        groups, master = group_sources(program), relaxation(program)
        before = generate_columns(master, groups, round_up=False)
        assert before is not None
        duals = to_multipliers(before.relaxed, before.bound.multipliers.scale, program)
        blocks = blocks_of(program)
        master.add_rows(list(broken_cuts(program, blocks, duals, before.relaxed.block)))
        after = generate_columns(master, groups, round_up=False)
        assert after is not None
        raised += after.bound.whole > before.bound.whole
        least = least_cost(program)
        assert before.bound.whole <= after.bound.whole <= least
        between = bounds_between(master.program, groups, before.bound, after.bound)
        assert all(bound.whole <= least for bound in between)
        for bound in (after.bound, *between):
            limited = limit_columns(master.program, bound, least)
            every = all_patterns(groups, 1_000)
            assert every is not None
            assert solve_over(limited, every).cost == least
    assert raised >= 8


def test_program_with_choices_is_proved_at_its_least_cost() -> None:
    for seed in range(12):
        program = packs_and_bars(random.Random(seed))
        solved = solve_program(program, Budget(None, None))
        assert solved is not None
        assert (solved.cost, solved.bound) == (least_cost(program), least_cost(program))


def test_ceiling_below_the_least_cost_allows_nothing_and_at_it_gives_the_optimum() -> None:
    for seed in range(12):
        program = packs_and_bars(random.Random(seed))
        every = all_patterns(group_sources(program), 1_000)
        assert every is not None
        least = solve_over(program, every).cost
        for heuristics in (True, False):
            below = solve_over(program, every, ceiling=least - 1, heuristics=heuristics)
            assert (below.point, below.bound, below.finished) == (None, None, True)
            at = solve_over(program, every, ceiling=least, heuristics=heuristics)
            assert (at.cost, at.bound, at.finished) == (least, least, True)


def test_nearest_patterns_are_those_of_least_reduced_cost() -> None:
    for seed in range(12):
        program = packs_and_bars(random.Random(seed))
        groups = group_sources(program)
        generated = generate_columns(relaxation(program), groups, round_up=False)
        assert generated is not None
        bound = generated.bound
        ceiling = bound.whole + 60
        every = patterns_within(groups, bound, ceiling, 1_000)
        assert every is not None
        all_of_them = nearest_patterns(groups, bound, ceiling, 1_000)
        assert all_of_them.complete
        assert set(all_of_them.patterns) == set(every)
        assert all_of_them.beyond == sorted(all_of_them.beyond)
        multipliers = bound.multipliers
        for pattern, beyond in zip(all_of_them.patterns, all_of_them.beyond, strict=True):
            worth = sum(multipliers.covers[i] * n for i, n in pattern.counts)
            assert beyond == multipliers.bars[pattern.source] - worth
        few = nearest_patterns(groups, bound, ceiling, len(every) - 1)
        assert not few.complete
        assert few.patterns == all_of_them.patterns[: len(few.patterns)]


def test_part_is_recalled_where_it_allows_no_more_and_was_proved_to_cost_no_less() -> None:
    program = packs_and_bars(random.Random(1))
    solved = solve_program(program, Budget(None, None))
    assert solved is not None
    known = KnownParts()
    known.keep(program, solved)
    columns = list(program.columns)
    narrower = replace(columns[2], upper=columns[2].upper - 1)
    wider = replace(columns[2], upper=columns[2].upper + 1)
    assert known.recall(program, None).solved is None
    assert known.recall(program, solved.point).solved == solved
    for column, found in ((narrower, True), (wider, False)):
        other = replace(program, columns=(*columns[:2], column, *columns[3:]))
        assert broken_by(other, solved.point) is None
        hint = known.recall(other, solved.point)
        assert (hint.solved is not None) is found
    dearer = Point(
        block=(*solved.point.block[:4], solved.point.block[4] + 1), bars=solved.point.bars
    )
    begun = known.recall(program, dearer)
    assert (begun.solved, begun.start) == (None, dearer)
    assert (begun.bound, begun.patterns) == (solved.bound, solved.patterns)
    dear = replace(columns[2], cost=columns[2].cost + 1)
    unlike = replace(program, columns=(*columns[:2], dear, *columns[3:]))
    assert known.recall(unlike, dearer) == Hint(start=dearer)


def test_patterns_of_the_whole_become_those_of_a_part_within_its_need() -> None:
    covers = tuple(
        Cover(name=str(n), weight=n, most=most, at_least=need)
        for n, most, need in ((7, 4, 2), (5, 4, 3), (3, 4, 1))
    )
    program = Program(
        columns=(Column(name="a", cost=3, upper=9), Column(name="b", cost=4, upper=9)),
        covers=covers,
        sources=(
            Source(name="a", covers=(0,), capacity=30, bars=((0, 1),)),
            Source(name="b", covers=(1, 2), capacity=40, bars=((1, 1),)),
        ),
    )
    first, second = split(program, {})
    whole = [Pattern(0, ((0, 4),)), Pattern(1, ((1, 4), (2, 4))), Pattern(1, ((1, 3), (2, 1)))]
    # Seven is needed twice, five three times, three once: what is more is left off.
    assert narrow_patterns(first, whole) == (Pattern(0, ((0, 2),)),)
    assert narrow_patterns(second, whole) == (Pattern(0, ((0, 3), (1, 1))),)


def test_whole_choices_of_blocks_keep_their_rows_and_cost_what_the_cut_says() -> None:
    looked_at = 0
    for seed in range(30):
        program = packs_and_bars(random.Random(seed))
        generated = generate_columns(relaxation(program), group_sources(program), round_up=False)
        assert generated is not None
        duals = to_multipliers(generated.relaxed, generated.bound.multipliers.scale, program)
        blocks, known = blocks_of(program), KnownBlocks()
        cuts = list(broken_cuts(program, blocks, duals, generated.relaxed.block, known=known))
        values = whole_choices(blocks, known)
        for cut in cuts:
            looked_at += 1
            assert sum(c * values[k] for k, c in cut.terms) == cut.lower
            for row in program.rows:
                assert sum(c * values[k] for k, c in row.terms) >= (row.lower or 0)
    assert looked_at > 5


def test_rows_without_decisions_are_solved_as_they_stand() -> None:
    kept = Program(columns=(), rows=(Row(name="kept", terms=(), lower=-1, upper=2),))
    solved = without_decisions(kept)
    assert solved is not None
    assert (solved.cost, solved.bound, solved.point) == (0, 0, Point(block=()))
    broken = replace(kept, rows=(Row(name="broken", terms=(), lower=1),))
    with pytest.raises(ProgramInfeasible):
        without_decisions(broken)
    assert without_decisions(replace(kept, columns=(Column(name="a", cost=1, upper=1),))) is None


def test_point_of_the_whole_narrows_to_its_parts() -> None:
    first = packs_and_bars(random.Random(2))
    solved = solve_program(first, Budget(None, None))
    assert solved is not None
    fixed = dict(enumerate(solved.point.block[:4]))
    parts = split(first, fixed)
    costs = [cost_of(part.program, narrow(part, solved.point)) for part in parts]
    bought = sum(first.columns[k].cost * n for k, n in fixed.items())
    assert sum(costs) + bought == solved.cost
    for part in parts:
        assert broken_by(part.program, narrow(part, solved.point)) is None


def test_no_cut_is_made_where_no_row_links_choices() -> None:
    program = replace(packs_and_bars(random.Random(3)), rows=())
    assert blocks_of(program) == ()
    multipliers = Multipliers(1, (0, 0), (), (0,))
    assert list(broken_cuts(program, (), multipliers, (0.0,) * 5)) == []
