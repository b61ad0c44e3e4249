"""Rows that limits imply are dropped, and fixed bars are not lost when a program is split."""

from optimiser.solver.idle_rows import drop_idle_rows
from optimiser.solver.parts import join_points, split
from optimiser.solver.program import Column, Cover, Pattern, Point, Program, Row, Source, broken_by


def test_a_row_that_limits_imply_is_dropped_and_a_single_column_becomes_a_limit() -> None:
    program = Program(
        columns=(
            Column(name="bars", cost=5, upper=9),
            Column(name="switch", cost=0, lower=1, upper=1),
        ),
        rows=(
            Row(name="idle", terms=((0, 1), (1, -9)), upper=0),
            Row(name="at least three", terms=((0, 2), (1, -5)), lower=0),
        ),
    )
    slim = drop_idle_rows(program)
    assert slim.rows == ()
    # 2 × bars ≥ 5, so bars ≥ 3.
    assert (slim.columns[0].lower, slim.columns[0].upper) == (3, 9)


def test_a_row_that_cannot_hold_stays() -> None:
    row = Row(name="too many", terms=((0, 1),), lower=10)
    program = Program(columns=(Column(name="bars", cost=5, upper=9),), rows=(row,))
    assert drop_idle_rows(program).rows == (row,)


def test_bars_that_are_bought_in_any_case_still_count_in_their_part() -> None:
    program = Program(
        columns=(Column(name="bars", cost=5, lower=2, upper=2),),
        covers=(Cover(name="piece", weight=4, most=2, at_least=2),),
        sources=(Source(name="bar", covers=(0,), capacity=4, bars=((0, 1),)),),
    )
    (part,) = split(program, {})
    bars = {Pattern(source=0, counts=((0, 1),)): 2}
    inside = Point(block=tuple(c.lower for c in part.program.columns), bars=bars)
    assert broken_by(part.program, inside) is None
    assert broken_by(program, join_points(program, {}, (part,), [inside])) is None
