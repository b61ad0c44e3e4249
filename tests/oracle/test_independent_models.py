"""The cost of a plan against models that share no code with the library.

OR-Tools CP-SAT on the assignment formulation, and exhaustive search on tiny orders.
"""

import os

import pytest

from optimiser.domain.decision import Aim
from optimiser.domain.plan import Plan
from optimiser.planning import make_plan
from tests.oracle import cp_sat_model, exhaustive_search
from tests.oracle.small_orders import SmallOrder, draw_small_order

CHUNK = 30
ORDERS = int(os.environ.get("ORACLE_ORDERS", "120"))
"""Orders drawn for CP-SAT: fewer beside the other tests, 300 when asked for."""


def plan_small(order: SmallOrder) -> tuple[Plan, int]:
    plan = make_plan(order.to_order())
    cents = plan.total * 100
    assert cents == int(cents)
    return plan, int(cents)


@pytest.mark.parametrize("first", range(0, ORDERS, CHUNK))
def test_cost_agrees_with_the_assignment_model_of_cp_sat(first: int) -> None:
    proved_by_both = 0
    for seed in range(first, first + CHUNK):
        order = draw_small_order(seed)
        plan, cents = plan_small(order)
        lower, upper = cp_sat_model.bracket_cost_cents(order)
        assert plan.certificate.proved, seed
        assert lower <= cents <= upper, seed
        proved_by_both += lower == upper
    # Of 300 orders that makes at least 200 that both prove.
    assert proved_by_both >= 20


@pytest.mark.parametrize("first", range(0, 120, CHUNK))
def test_cost_agrees_with_exhaustive_search_on_tiny_orders(first: int) -> None:
    for seed in range(first, first + CHUNK):
        order = draw_small_order(seed, tiny=True)
        plan, cents = plan_small(order)
        assert cents == exhaustive_search.least_cost_cents(order), seed
        assert plan.certificate.aims[0].aim is Aim.COST
        assert plan.certificate.proved, seed
