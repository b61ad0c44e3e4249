"""Plans of tiny orders with every term of buying against exhaustive search."""

import random
from dataclasses import replace

import pytest

from optimiser.domain.decision import Restriction
from optimiser.solver import ProgramInfeasible, solve_order
from optimiser.takeoff import take_off
from tests.oracle.agreement import plan
from tests.oracle.buying_draws import draw_tiny_buying_order
from tests.oracle.buying_orders import FEATURES, BuyingOrder
from tests.oracle.buying_to_order import to_order
from tests.oracle.exhaustive_buying import least_buying_cents
from tests.oracle.exhaustive_offers import Forbidden


def check_tiny(seed: int, features: tuple[str, ...]) -> None:
    buying = draw_tiny_buying_order(seed, features=features)
    planned = plan(buying)
    assert planned.proved, (seed, features)
    assert planned.cost == least_buying_cents(buying), (seed, features)


@pytest.mark.parametrize("feature", FEATURES)
def test_one_term_switched_on_costs_the_least_of_everything_tried(feature: str) -> None:
    for seed in range(8):
        check_tiny(seed, (feature,))


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_terms_switched_on_together_cost_the_least_of_everything_tried(first: int) -> None:
    for seed in range(first, first + 10):
        draw = random.Random(seed)
        check_tiny(seed, tuple(f for f in FEATURES if draw.random() < 0.35))


FORBIDDEN = {
    "no bare kits": (Forbidden(bare_kits=True), Restriction(bare_kits=False)),
    "no kits with nails": (Forbidden(kits_with_nails=True), Restriction(kits_with_fasteners=False)),
    "no cutting": (Forbidden(cutting=True), Restriction(cutting=False)),
    "one kit": (Forbidden(all_but_so_many_kits=1), Restriction(kits_per_set=(1,))),
    "no kit": (Forbidden(all_but_so_many_kits=0), Restriction(kits_per_set=(0,))),
    "one supplier": (
        Forbidden(all_but_supplier=0),
        Restriction(only_supplier="Larkmoor Strip & Seal"),
    ),
}


@pytest.mark.parametrize("name", FORBIDDEN)
def test_a_re_solve_costs_the_least_of_what_is_not_forbidden(name: str) -> None:
    forbidden, restriction = FORBIDDEN[name]
    for seed in range(14):
        draw = random.Random(seed)
        features = tuple(f for f in FEATURES if draw.random() < 0.25)
        buying = draw_tiny_buying_order(seed, features=("suppliers", *features))
        one_door = replace(buying.base, doors=buying.base.doors[:1])
        check_restricted(replace(buying, base=one_door), forbidden, restriction)


def check_restricted(buying: BuyingOrder, forbidden: Forbidden, restriction: Restriction) -> None:
    order = to_order(buying)
    expected = least_buying_cents(buying, forbidden)
    try:
        solution = solve_order(order, take_off(order).demand, restriction=restriction)
    except ProgramInfeasible:
        assert expected is None
        return
    assert solution.certificate.proved
    assert solution.certificate.cost * 100 == expected
