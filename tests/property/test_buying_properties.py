"""A better term or one more option never makes a plan dearer."""

from collections.abc import Callable
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.oracle.buying_orders import BuyingOrder, FreightTerms, Terms
from tests.oracle.small_orders import Bar, Pack
from tests.property.buying_strategies import (
    QUICK,
    THRESHOLDS,
    each_bar,
    few,
    never_dearer,
    orders,
    orders_with,
)

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
    @few
    @given(orders(feature))
    def hold(order: BuyingOrder) -> None:
        never_dearer(order, WITHOUT[feature](order))

    hold()


CHEAPER: dict[str, tuple[tuple[str, ...], Callable[[BuyingOrder, int], BuyingOrder]]] = {
    "a stock length": (
        (),
        lambda order, percent: replace(
            order,
            base=replace(
                order.base,
                bars=tuple(
                    replace(bar, cents=bar.cents * percent // 100) for bar in order.base.bars
                ),
            ),
        ),
    ),
    "a stock length from its break on": (
        ("breaks",),
        lambda order, percent: each_bar(
            order,
            lambda terms: replace(
                terms, steps=tuple((start, cents * percent // 100) for start, cents in terms.steps)
            ),
        ),
    ),
    "a pack": (
        (),
        lambda order, percent: replace(
            order,
            base=replace(
                order.base,
                packs=tuple(
                    replace(pack, cents=pack.cents * percent // 100) for pack in order.base.packs
                ),
            ),
        ),
    ),
    "a kit": (
        ("discounts",),
        lambda order, percent: replace(
            order,
            base=replace(
                order.base,
                kits=tuple(replace(kit, base=kit.base * percent // 100) for kit in order.base.kits),
            ),
        ),
    ),
    "a standard kit": (
        ("standard",),
        lambda order, percent: replace(
            order,
            standard=tuple(
                replace(kit, cents=kit.cents * percent // 100) for kit in order.standard
            ),
        ),
    ),
    "a splice": (
        ("splices",),
        lambda order, percent: replace(
            order,
            splices=order.splices
            and replace(order.splices, cents=order.splices.cents * percent // 100),
        ),
    ),
}


@pytest.mark.parametrize("name", sorted(CHEAPER))
def test_a_cheaper_price_never_costs_more(name: str) -> None:
    features, cheaper = CHEAPER[name]
    beside = tuple(feature for feature in QUICK if feature not in THRESHOLDS)

    @settings(few, max_examples=6)
    @given(orders_with(*features, beside=beside, most=3), st.integers(80, 99))
    def hold(order: BuyingOrder, percent: int) -> None:
        never_dearer(cheaper(order, percent), order)

    hold()


@few
@given(orders_with(most=4), st.integers(84, 240), st.integers(0, 2_000))
def test_one_more_stock_length_never_costs_more(
    order: BuyingOrder, inches: int, cents: int
) -> None:
    bar = Bar(finish=order.base.doors[0].finish, length=16 * inches, cents=900 + cents)
    more = replace(
        order,
        base=replace(order.base, bars=(*order.base.bars, bar)),
        bar_terms=(*order.bar_terms, Terms(grams=bar.length // 4)),
    )
    never_dearer(more, order)


@few
@given(orders_with(most=4), st.integers(700, 2_500), st.integers(0, 900), st.booleans())
def test_one_more_supplier_never_costs_more(
    order: BuyingOrder, cents: int, charge: int, least: bool
) -> None:
    number, door = len(order.freight), order.base.doors[0]
    bar = Bar(finish=door.finish, length=16 * 120, cents=cents)
    pack = Pack(contents=130, cents=cents // 4)
    more = replace(
        order,
        base=replace(order.base, bars=(*order.base.bars, bar), packs=(*order.base.packs, pack)),
        bar_terms=(*order.bar_terms, Terms(grams=500, supplier=number)),
        pack_terms=(*order.pack_terms, Terms(grams=130, supplier=number)),
        freight=(*order.freight, FreightTerms(by_value=True, tiers=((0, charge),))),
        least_order=(*order.least_order, 4_000 if least else 0),
    )
    never_dearer(more, order)
