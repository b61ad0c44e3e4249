"""What holds for every term of buying: a better term never makes the plan dearer."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.account import PAID
from optimiser.domain.faults import NoPlan
from optimiser.domain.plan import Plan
from optimiser.planning import make_plan
from tests.oracle.buying_draws import draw_buying_order
from tests.oracle.buying_orders import FEATURES, BuyingOrder, Terms
from tests.oracle.buying_to_order import to_order

few = settings(max_examples=10, deadline=None, derandomize=True)
QUICK = tuple(feature for feature in FEATURES if feature != "splices")


def orders(*features: str) -> st.SearchStrategy[BuyingOrder]:
    """Return orders with these terms; with none named, with terms drawn at random."""
    seeds = st.integers(0, 5_000)
    if features:
        return seeds.map(lambda seed: draw_buying_order(seed, features=features))
    some = st.sets(st.sampled_from(QUICK), min_size=2, max_size=6)
    return st.tuples(seeds, some).map(
        lambda drawn: draw_buying_order(drawn[0], features=tuple(sorted(drawn[1])))
    )


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
    return replace(order, bar_terms=tuple(change(terms) for terms in order.bar_terms))


BETTER: dict[str, tuple[tuple[str, ...], Callable[[BuyingOrder], BuyingOrder]]] = {
    "no least quantity": (
        ("least", "suppliers"),
        lambda order: each_bar(order, lambda terms: replace(terms, least=1)),
    ),
    "no stock limit": (
        ("available", "bundles"),
        lambda order: each_bar(order, lambda terms: replace(terms, available=None)),
    ),
    "a discount on kits": (
        ("discounts",),
        lambda order: replace(
            order,
            kit_terms=tuple(
                replace(terms, steps=tuple((start, 50) for start, _ in terms.steps))
                for terms in order.kit_terms
            ),
        ),
    ),
    "no least order": (
        ("least-order", "suppliers"),
        lambda order: replace(order, least_order=tuple(0 for _ in order.least_order)),
    ),
    "no freight": (
        ("freight", "over-length", "suppliers"),
        lambda order: replace(order, freight=tuple(None for _ in order.freight)),
    ),
    "no over-length": (
        ("over-length", "free"),
        lambda order: replace(
            order,
            freight=tuple(None if f is None else replace(f, over=()) for f in order.freight),
        ),
    ),
    "freight free from zero": (
        ("free", "freight"),
        lambda order: replace(
            order,
            freight=tuple(None if f is None else replace(f, free_from=0) for f in order.freight),
        ),
    ),
    "offcuts for nothing": (
        ("rack",),
        lambda order: replace(order, rack=tuple(replace(rest, cents=0) for rest in order.rack)),
    ),
    "no cut charge": (("cut-charge", "rack"), lambda order: replace(order, cut_cents=0)),
    "a lesser preference": (
        ("substitution",),
        lambda order: replace(
            order, substitutions=tuple((w, i, 0) for w, i, _ in order.substitutions)
        ),
    ),
}


@pytest.mark.parametrize("name", sorted(BETTER))
def test_a_better_term_never_costs_more(name: str) -> None:
    features, better = BETTER[name]

    @few
    @given(orders(*features))
    def hold(order: BuyingOrder) -> None:
        never_dearer(better(order), order)

    hold()


WITHOUT: dict[str, Callable[[BuyingOrder], BuyingOrder]] = {
    "standard": lambda order: replace(order, standard=()),
    "rack": lambda order: replace(order, rack=()),
    "on-hand": lambda order: replace(order, on_hand=(0, 0)),
    "credit": lambda order: replace(order, keep=None),
    "substitution": lambda order: replace(order, substitutions=()),
    "splices": lambda order: replace(order, splices=None),
}


@pytest.mark.parametrize("feature", sorted(WITHOUT))
def test_one_more_option_never_costs_more(feature: str) -> None:
    @settings(few, max_examples=3 if feature == "splices" else 10)
    @given(orders(feature))
    def hold(order: BuyingOrder) -> None:
        never_dearer(order, WITHOUT[feature](order))

    hold()


@few
@given(orders())
def test_what_is_paid_and_what_is_weighed_make_up_the_total(order: BuyingOrder) -> None:
    plan = plan_of(order)
    if plan is None:
        return
    assert plan.total == sum(line.amount for line in plan.account)
    assert plan.total == plan.certificate.cost
    assert plan.payable == sum(
        (line.amount for line in plan.account if line.kind in PAID), Decimal(0)
    )
    assert plan.payable == sum((shipment.total for shipment in plan.shipments), Decimal(0))


@few
@given(orders())
def test_the_same_plan_from_suppliers_in_another_order(order: BuyingOrder) -> None:
    whole = to_order(order)
    turned = replace(whole, catalogues=whole.catalogues[::-1])
    try:
        first = make_plan(whole)
    except NoPlan:
        return
    second = make_plan(turned)
    assert first.total == second.total
    assert first.decision == second.decision
