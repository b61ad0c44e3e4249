"""The same order stated in another way costs the same."""

import random
from dataclasses import replace
from decimal import Decimal
from typing import TypeVar

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.faults import NoPlan
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.planning import make_plan
from optimiser.units.lengths import LengthUnit
from tests.oracle.buying_orders import BuyingOrder
from tests.oracle.buying_to_order import to_order
from tests.property.buying_strategies import few, orders_with

Item = TypeVar("Item")
some_orders = orders_with(most=5)
randoms = st.randoms(use_true_random=False)


def plan_of(order: Order) -> Plan | None:
    try:
        return make_plan(order)
    except NoPlan:
        return None


def cost_of(order: Order) -> Decimal | None:
    plan = plan_of(order)
    if plan is None:
        return None
    assert plan.certificate.proved
    return plan.total


def mixed(draw: random.Random, items: tuple[Item, ...]) -> tuple[Item, ...]:
    return tuple(draw.sample(items, len(items)))


def mix_catalogue(draw: random.Random, catalogue: Catalogue) -> Catalogue:
    return replace(
        catalogue,
        stock_lengths=mixed(draw, catalogue.stock_lengths),
        kits=mixed(draw, catalogue.kits),
        fastener_packs=mixed(draw, catalogue.fastener_packs),
        standard_kits=mixed(draw, catalogue.standard_kits),
    )


@few
@given(some_orders, randoms)
def test_the_order_of_the_input_changes_nothing(buying: BuyingOrder, draw: random.Random) -> None:
    order = to_order(buying)
    turned = replace(
        order,
        openings=mixed(draw, order.openings),
        catalogues=mixed(draw, tuple(mix_catalogue(draw, c) for c in order.catalogues)),
        rack=replace(order.rack, offcuts=mixed(draw, order.rack.offcuts)),
        policy=replace(order.policy, substitutions=mixed(draw, order.policy.substitutions)),
    )
    first, second = plan_of(order), plan_of(turned)
    if first is None or second is None:
        assert first is second
        return
    assert (second.total, second.decision) == (first.total, first.decision)
    assert second.certificate == first.certificate


@few
@given(some_orders, randoms)
def test_other_marks_change_no_cost(buying: BuyingOrder, draw: random.Random) -> None:
    order = to_order(buying)
    marks = mixed(draw, tuple(f"{letter}-{n}" for n, letter in enumerate("QXAMBZ")))
    openings = tuple(
        replace(opening, mark=mark) for opening, mark in zip(order.openings, marks, strict=False)
    )
    assert cost_of(replace(order, openings=openings)) == cost_of(order)


@few
@given(some_orders)
def test_a_group_split_into_single_openings_changes_no_cost(buying: BuyingOrder) -> None:
    order = to_order(buying)
    openings = tuple(
        replace(opening, mark=f"{opening.mark}-{number}", quantity=1)
        for opening in order.openings
        for number in range(opening.quantity)
    )
    assert cost_of(replace(order, openings=openings)) == cost_of(order)


@settings(few, max_examples=5)
@given(some_orders)
def test_the_unit_of_the_order_changes_no_decision(buying: BuyingOrder) -> None:
    order = to_order(buying)
    first, second = plan_of(order), plan_of(replace(order, unit=LengthUnit.MILLIMETRE))
    if first is None or second is None:
        assert first is second
        return
    assert (second.total, second.decision) == (first.total, first.decision)
