"""What the benchmark compares with solves the same problem: small orders, to the cent."""

import pytest

from optimiser.solver import solve_order
from tests.benchmark.assignment import Assignment, Cutting, Deadline, Pool, Stock, to_assignment
from tests.benchmark.first_fit import first_fit_decreasing, price_first_fit
from tests.benchmark.measure_rival import MOST_VARIABLES
from tests.benchmark.measuring import measure
from tests.benchmark.order_draws import Draw, count_lengths, count_pieces, draw_order
from tests.benchmark.rivals import solve_with_cbc, solve_with_cp_sat

NO_DEADLINE = Deadline(1e6)


@pytest.mark.parametrize("keen_kits", [False, True])
@pytest.mark.parametrize("seed", [1, 2, 4])
def test_cbc_finds_the_cost_of_the_plan_on_the_assignment_model(seed: int, keen_kits: bool) -> None:
    order, takeoff = draw_order(Draw(openings=2, seed=seed, keen_kits=keen_kits))
    problem = to_assignment(order, takeoff.demand)
    certificate = solve_order(order, takeoff.demand).certificate
    assert certificate.proved
    found = solve_with_cbc(problem, NO_DEADLINE)
    assert found.proved
    assert found.cents == certificate.cost * 100
    assert price_first_fit(problem) >= found.cents


def test_cp_sat_finds_the_cost_of_the_plan_on_the_assignment_model() -> None:
    order, takeoff = draw_order(Draw(openings=2, seed=2, keen_kits=True))
    found = solve_with_cp_sat(to_assignment(order, takeoff.demand), NO_DEADLINE)
    assert found.proved
    assert found.cents == found.bound == solve_order(order, takeoff.demand).certificate.cost * 100


def test_first_fit_puts_the_longest_piece_first_and_each_in_the_first_bar_with_room() -> None:
    # 10: [7 2], [5 5], [5]; the 2 goes to the first bar, where 3 are left.
    assert first_fit_decreasing((7, 5, 2), (1, 3, 1), 10) == [9, 10, 5]
    assert first_fit_decreasing((12, 5), (4, 2), 10) == [10]


def test_an_order_by_rule_of_thumb_costs_its_bars_and_its_packs() -> None:
    # Bars of 10 at 100: [7], [5 5], [5], the last one bought as a 6 at 55. Seven fasteners:
    # one pack of 5 at 20 and the other two as two packs of 1 at 9, not another 5 at 20.
    problem = Assignment(
        materials=(Cutting((7, 5), (1, 3), (Stock(6, 55, 3), Stock(10, 100, 3))),),
        sets=(),
        pools=(Pool(7, ((5, 20), (1, 9))),),
    )
    assert price_first_fit(problem) == 100 + 100 + 55 + 20 + 18


def test_a_draw_cuts_the_lengths_it_is_asked_for() -> None:
    _, takeoff = draw_order(Draw(openings=60, lengths=32))
    assert count_lengths(takeoff) == 32
    assert count_pieces(takeoff) > 4 * 60


def test_a_measured_plan_tells_cost_and_bound_and_when_they_were_known() -> None:
    order, takeoff = draw_order(Draw(openings=2, seed=2, keen_kits=True))
    facts = measure("measure_plan", "plan", limit=10.0, openings=2, seed=2, keen_kits=True)
    cost = solve_order(order, takeoff.demand).certificate.cost
    assert facts["ended"]
    assert facts["proved"]
    assert facts["cost"] == facts["bound"] == str(cost)
    assert facts["pieces"] == count_pieces(takeoff)
    *_, (seconds, last_cost, last_bound) = facts["log"]
    assert (last_cost, last_bound) == (facts["cost"], facts["bound"])
    assert seconds <= facts["cpu"]


def test_a_measured_rival_counts_its_variables_before_it_is_built() -> None:
    facts = measure("measure_rival", "cbc", limit=1.0, openings=1_200, lengths=256)
    assert facts["ended"]
    assert facts["variables"] > MOST_VARIABLES
    assert facts["too_large"]
    assert "cents" not in facts
