"""Plans with every term of buying against CP-SAT models that share no code with the library."""

import random

import pytest

from optimiser.domain.faults import NoPlan
from optimiser.planning import make_plan
from tests.oracle.buying_model import Infeasible, bracket_buying_cents
from tests.oracle.buying_orders import FEATURES, draw_buying_order
from tests.oracle.buying_to_order import to_order

SLOW = {"splices"}


def check_order(seed: int, features: tuple[str, ...], effort: float) -> bool:
    """Hold a plan against the model's bracket; return whether both prove the same cost."""
    buying = draw_buying_order(seed, features=features)
    try:
        lower, upper = bracket_buying_cents(buying, effort=effort)
    except Infeasible:
        with pytest.raises(NoPlan):
            make_plan(to_order(buying))
        return True
    plan = make_plan(to_order(buying))
    cents = plan.total * 100
    assert lower <= cents <= upper, (seed, sorted(features))
    assert plan.certificate.lower_bound * 100 <= upper, (seed, sorted(features))
    return plan.certificate.proved and lower == upper


@pytest.mark.parametrize("feature", sorted(set(FEATURES) - SLOW))
def test_one_term_switched_on_costs_what_the_model_says(feature: str) -> None:
    proved = sum(check_order(seed, (feature,), 0.4) for seed in range(4))
    assert proved >= 2


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_terms_switched_on_together_cost_what_the_model_says(first: int) -> None:
    proved = 0
    for seed in range(first, first + 10):
        draw = random.Random(seed)
        features = tuple(f for f in FEATURES if f not in SLOW and draw.random() < 0.35)
        proved += check_order(seed, features, 0.3)
    assert proved >= 4


def test_splices_cost_no_more_than_the_model_finds() -> None:
    # Splices multiply the lengths: the model proves few of them in the time that a suite has.
    for seed in (2, 4):
        check_order(seed, ("splices",), 0.6)
