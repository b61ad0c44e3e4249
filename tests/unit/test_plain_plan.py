"""The plan without an order's terms, priced under them: a point that no search may leave dearer."""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.decision import Restriction
from optimiser.planning.make_plan import take_off_checked
from optimiser.solver import solve_order
from optimiser.solver.branching import solve_by_branching
from optimiser.solver.budget import Budget
from optimiser.solver.buying import find_plain_point, formulate_buying
from optimiser.solver.cut_charges import fold_cut_charges
from optimiser.solver.program import Point, Program, broken_by, cost_of
from tests.harbour_row import mixed_order
from tests.harbour_row_terms import with_terms

ANYWHERE = Restriction()
ORDER = mixed_order(10)
PLAIN_ORDER = with_terms(ORDER)
PLAIN_COST = solve_order(PLAIN_ORDER, take_off_checked(PLAIN_ORDER).demand).certificate.cost


def plain_point_of(*terms: str) -> tuple[Program, Point | None, Decimal]:
    """Return an order's program without cut charges, its plain point and what that costs."""
    order = with_terms(ORDER, *terms)
    demand = take_off_checked(order).demand
    formulation = formulate_buying(order, demand, ANYWHERE)
    point = find_plain_point(order, demand, ANYWHERE, formulation, Budget())
    program, besides = fold_cut_charges(formulation.program)
    if point is None:
        return program, None, Decimal(0)
    return program, point, formulation.prices.amount(cost_of(program, point) + besides)


@pytest.mark.parametrize(
    "terms",
    [
        "breaks",
        "incremental-breaks",
        "discounts",
        "drop-credit",
        "second-supplier",
        "splices",
        "standard-kits",
        "substitution",
    ],
)
def test_what_an_order_may_have_never_makes_its_plain_plan_dearer(terms: str) -> None:
    program, point, cost = plain_point_of(terms)
    assert point is not None
    assert broken_by(program, point) is None
    assert cost <= PLAIN_COST


def test_what_an_order_must_pay_is_paid_by_its_plain_plan() -> None:
    # Goods of 517.55 are in the tier from 500 on.
    assert plain_point_of("freight")[2] == PLAIN_COST + Decimal("34.00")
    program, point, cost = plain_point_of("least-order")
    assert point is not None
    assert broken_by(program, point) is None
    assert cost >= 600


@pytest.mark.parametrize("terms", ["cut-charge", "rack"])
def test_an_order_that_is_searched_as_it_is_has_no_plain_plan_beside_it(terms: str) -> None:
    assert plain_point_of(terms)[1] is None


def test_a_plain_plan_that_cannot_keep_the_terms_is_none() -> None:
    order = with_terms(ORDER, "discounts")
    demand = take_off_checked(order).demand
    formulation = formulate_buying(order, demand, ANYWHERE)
    no_bars = tuple(
        replace(column, upper=0) if column.name.startswith("lots of LS") else column
        for column in formulation.program.columns
    )
    shut = replace(formulation, program=replace(formulation.program, columns=no_bars))
    assert find_plain_point(order, demand, ANYWHERE, shut, Budget()) is None


def test_nothing_dearer_than_the_plain_plan_is_returned_even_without_time() -> None:
    program, point, _ = plain_point_of("discounts")
    assert point is not None
    spent = Budget(lambda: 1.0, 1.0)
    solved = solve_by_branching(program, spent, lambda *_: None, find_plain=lambda _: point)
    assert solved is not None
    assert solved.cost <= cost_of(program, point)
    assert solved.bound <= solved.cost
