"""The drop of tiny orders with every term of buying against exhaustive search."""

import random
from dataclasses import replace

import pytest

from optimiser.domain.decision import Aim, Decision
from optimiser.domain.order import Order
from optimiser.solver import ProgramInfeasible, solve_order
from optimiser.takeoff import take_off
from tests.oracle.buying_draws import draw_tiny_buying_order
from tests.oracle.buying_orders import FEATURES, BuyingOrder
from tests.oracle.buying_to_order import to_order
from tests.oracle.exhaustive_buying import least_cents_and_drop
from tests.oracle.small_orders import NM_PER_SIXTEENTH


def drop_of(order: Order, decision: Decision) -> int:
    """Return what is bought and taken from the rack to cut, less the pieces, in sixteenths."""
    stock = {item.sku: item for item in order.catalogue.stock_lengths}
    rack = {offcut.id: offcut for offcut in order.rack.offcuts}
    taken = sum(
        units * stock[sku].bars_per_unit * stock[sku].length_nm
        for sku, units in decision.stock_lengths
    ) + sum(count * rack[name].length_nm for name, count in decision.offcuts)
    cut = sum(p.bars * n * length_nm for p in decision.patterns for length_nm, n in p.cuts)
    return (taken - cut) // NM_PER_SIXTEENTH


def price_all_bars_alike(buying: BuyingOrder) -> BuyingOrder:
    """Return the order with one price for a bar of any length, so that plans cost the same."""
    bars = zip(buying.base.bars, buying.bar_terms, strict=True)
    alike = tuple(replace(bar, cents=900 * terms.bars) for bar, terms in bars)
    return replace(buying, base=replace(buying.base, bars=alike))


def check_drop(seed: int, features: tuple[str, ...]) -> bool:
    """Hold one order against everything that can be tried; return whether its drop is proved."""
    buying = price_all_bars_alike(draw_tiny_buying_order(seed, features=features))
    order, expected = to_order(buying), least_cents_and_drop(buying)
    try:
        solution = solve_order(order, take_off(order).demand)
    except ProgramInfeasible:
        assert expected is None
        return False
    assert expected is not None
    drop, proved = drop_of(order, solution.decision), solution.certificate.aims[1].proved
    assert solution.certificate.aims[1].aim is Aim.DROP
    assert solution.certificate.cost * 100 == expected[0], (seed, features)
    assert drop >= expected[1], (seed, features)
    assert not proved or drop == expected[1], (seed, features)
    return proved


@pytest.mark.parametrize("feature", FEATURES)
def test_one_term_switched_on_leaves_the_least_drop_at_its_cost(feature: str) -> None:
    proved = [check_drop(seed, (feature,)) for seed in range(5)]
    assert any(proved)


@pytest.mark.parametrize("first", range(0, 40, 10))
def test_terms_switched_on_together_leave_the_least_drop_at_their_cost(first: int) -> None:
    proved = []
    for seed in range(first, first + 10):
        draw = random.Random(seed + 500)
        proved.append(check_drop(seed, tuple(f for f in FEATURES if draw.random() < 0.3)))
    assert sum(proved) >= 5
