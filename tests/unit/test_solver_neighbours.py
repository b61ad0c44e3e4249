"""Bounds of programs from those of their neighbours, and which point is solved next."""

from fractions import Fraction

import pytest

from optimiser.domain.order import Order, Policy
from optimiser.solver.neighbours import Neighbour, ask_neighbours
from optimiser.solver.program import Column, Program, Row
from optimiser.study.points import Point, in_turn


def program(*costs: int) -> Program:
    """Return: buy one thing or the other, at least one, at most five of each."""
    return Program(
        columns=tuple(Column(name=str(n), cost=cost, upper=5) for n, cost in enumerate(costs)),
        rows=(Row(name="one of them", terms=tuple((k, 1) for k in range(len(costs))), lower=1),),
    )


def bound(costs: tuple[int, ...], *neighbours: tuple[tuple[int, ...], int]) -> int | None:
    said = ask_neighbours(program(*costs), [Neighbour(*neighbour) for neighbour in neighbours])
    return None if said is None else said.bound


def test_between_two_costs_at_which_one_thing_is_the_cheapest_it_is_so_too() -> None:
    # The first thing costs 10 at both ends, and is the cheapest: at (10, 15) it must be so too.
    assert bound((10, 15), ((10, 12), 10), ((10, 18), 10)) == 10


def test_half_way_between_two_things_the_bound_is_their_mean() -> None:
    # (10, 4) costs 4 and (4, 10) costs 4; the mean of both costs is (7, 7), which costs 7: the
    # bound says 4, which holds.
    assert bound((7, 7), ((10, 4), 4), ((4, 10), 4)) == 4


@pytest.mark.parametrize("unit", [1, 100, 1_000_000])
def test_a_neighbour_may_count_money_in_another_unit(unit: int) -> None:
    assert bound((10, 15), ((10 * unit, 15 * unit), 10 * unit)) == 10


def test_dearer_things_cost_no_less() -> None:
    assert bound((11, 16), ((10, 15), 10)) == 11
    assert bound((10, 99), ((10, 15), 10)) == 10


def test_cheaper_things_may_cost_less_by_all_that_may_be_bought() -> None:
    # Five of the first may be bought: 10 - 5 x 2, and the best weight of the neighbour is 8/10.
    assert bound((8, 15), ((10, 15), 10)) == 8


def test_without_neighbours_nothing_is_said() -> None:
    assert bound((1, 2)) is None


def order(name: str) -> Order:
    return Order(openings=(), catalogues=(), policy=Policy(), reference=name)


def test_the_point_of_which_most_is_open_comes_first() -> None:
    names = [str(n) for n in range(5)]
    points = [Point(name=name, order=order(name), place=(n,)) for n, name in enumerate(names)]
    open_shares = {"0": Fraction(1, 9), "4": Fraction(1, 8), "2": Fraction(1, 2), "1": Fraction(0)}

    def share(one: Order, _: object) -> Fraction | None:
        return open_shares.get(one.reference)

    # Nothing is known of the fourth: it comes as soon as it is looked at. The settled one next.
    assert [points[n].name for n in in_turn(points, share)] == ["1", "3", "2", "4", "0"]


def test_points_without_an_order_come_in_their_turn() -> None:
    points = [Point(name="a"), Point(name="b")]
    assert list(in_turn(points, lambda *_: Fraction(1))) == [0, 1]
