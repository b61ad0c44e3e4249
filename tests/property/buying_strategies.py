"""Orders with terms of buying as strategies, and what is held between two of them."""

from collections.abc import Callable
from dataclasses import replace

from hypothesis import settings
from hypothesis import strategies as st

from optimiser.domain.faults import NoPlan
from optimiser.domain.plan import Plan
from optimiser.planning import make_plan
from tests.oracle.buying_draws import draw_buying_order, draw_tiny_buying_order
from tests.oracle.buying_orders import FEATURES, BuyingOrder, Terms
from tests.oracle.buying_to_order import to_order

few = settings(max_examples=10, deadline=None, derandomize=True)
QUICK = tuple(feature for feature in FEATURES if feature != "splices")
THRESHOLDS = {"least-order", "least-value", "free", "freight"}
"""Terms under which goods of less value may cost more: they may miss what more would reach."""


def orders(*features: str) -> st.SearchStrategy[BuyingOrder]:
    """Return orders with these terms; with none named, with terms drawn at random."""
    if features:
        return st.integers(0, 5_000).map(lambda seed: _draw(seed, features))
    return orders_with()


def orders_with(
    *features: str, beside: tuple[str, ...] = QUICK, most: int = 6
) -> st.SearchStrategy[BuyingOrder]:
    """Return orders with these terms and up to so many others beside them."""
    some = st.sets(st.sampled_from(beside), min_size=0 if features else 2, max_size=most)
    return st.tuples(st.integers(0, 5_000), some).map(
        lambda drawn: _draw(drawn[0], tuple(sorted({*features, *drawn[1]})))
    )


def _draw(seed: int, features: tuple[str, ...]) -> BuyingOrder:
    # Splices multiply the lengths: tiny orders have enough of them.
    drawn = draw_tiny_buying_order if "splices" in features else draw_buying_order
    return drawn(seed, features=features)


def plan_of(order: BuyingOrder) -> Plan | None:
    """Return the plan, or `None` where the limits leave none."""
    try:
        return make_plan(to_order(order))
    except NoPlan:
        return None


def never_dearer(better: BuyingOrder, worse: BuyingOrder) -> None:
    """Hold the bound of the better order against the cost of the worse one."""
    dear = plan_of(worse)
    if dear is None:
        return
    cheap = plan_of(better)
    assert cheap is not None
    assert cheap.certificate.lower_bound <= dear.total
    if cheap.certificate.proved:
        assert cheap.total <= dear.total


def each_bar(order: BuyingOrder, change: Callable[[Terms], Terms]) -> BuyingOrder:
    """Return the order with the terms of every stock length changed."""
    return replace(order, bar_terms=tuple(change(terms) for terms in order.bar_terms))
