"""Plans with every term of buying against a CP-SAT model that shares no code with the library.

Thousands more: `python -m tests.benchmark agreement`.
"""

import random

import pytest

from tests.oracle.agreement import compare
from tests.oracle.buying_draws import draw_buying_order
from tests.oracle.buying_orders import FEATURES


def proved_by_both(seed: int, features: tuple[str, ...]) -> bool:
    """Hold a plan against the model; return whether both prove the same cost."""
    found = compare(draw_buying_order(seed, features=features), effort=0.2)
    assert not found.disagreement, (seed, sorted(features))
    return found.proved_by_both


@pytest.mark.parametrize("feature", FEATURES)
def test_one_term_switched_on_costs_what_the_model_says(feature: str) -> None:
    proved = sum(proved_by_both(seed, (feature,)) for seed in range(4))
    # Splices multiply the lengths, and the model proves fewer of them.
    assert proved >= (2 if feature == "splices" else 4)


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_terms_switched_on_together_cost_what_the_model_says(first: int) -> None:
    proved = 0
    for seed in range(first, first + 10):
        draw = random.Random(seed)
        # Splices beside many other terms take longer than a suite has.
        features = tuple(f for f in FEATURES if f != "splices" and draw.random() < 0.35)
        proved += proved_by_both(seed, features)
    assert proved >= 9
