"""Plans of tiny orders with every term of buying against exhaustive search."""

import random

import pytest

from tests.oracle.agreement import plan
from tests.oracle.buying_draws import draw_tiny_buying_order
from tests.oracle.buying_orders import FEATURES
from tests.oracle.exhaustive_buying import least_buying_cents


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
