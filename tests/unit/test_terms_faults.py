"""Faults of the terms of buying: code, place and message."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimiser.domain.buying import (
    CostRate,
    Freight,
    FreightBasis,
    FreightTier,
    KeptDrops,
    KitDiscount,
    OverLength,
    PriceBreak,
)
from optimiser.domain.catalogue import Catalogue, Material
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.domain.faults import InvalidOrder, NoPlan
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order, Policy
from optimiser.domain.rack import FastenersOnHand, Offcut, Rack
from optimiser.planning import make_plan
from optimiser.units.lengths import NM_PER_INCH
from tests.ten_doors import BRONZE, CATALOGUE, TEN_DOORS, ZINC

INCH = NM_PER_INCH


def faults(order: Order) -> list[tuple[tuple[str | int, ...], str, str]]:
    with pytest.raises(InvalidOrder) as rejected:
        make_plan(order)
    return [(fault.path, fault.code, fault.message) for fault in rejected.value.faults]


def with_first_bar(**changes: object) -> Order:
    first, *others = CATALOGUE.stock_lengths
    bars = (replace(first, **changes), *others)
    return replace(TEN_DOORS, catalogues=(replace(CATALOGUE, stock_lengths=bars),))


def test_breaks_that_do_not_rise_are_refused() -> None:
    steps = (
        PriceBreak(from_quantity=5, price=Decimal(20)),
        PriceBreak(from_quantity=5, price=Decimal(19)),
    )
    assert faults(with_first_bar(breaks=steps)) == [
        (
            ("catalogues", 0, "stock_lengths", 0, "breaks", 1, "from_quantity"),
            "breaks-not-rising",
            "SKU LS-96-Z: breaks begin at 5, not above 5; give quantities above 1 that rise.",
        )
    ]


def test_quantities_below_the_least_are_refused_together() -> None:
    order = with_first_bar(least_quantity=0, available=-1, bars_per_unit=0)
    assert [(path[-1], message) for path, _, message in faults(order)] == [
        ("least_quantity", "SKU LS-96-Z: least quantity is 0; give 1 or more."),
        ("available", "SKU LS-96-Z: available is -1; give 0 or more."),
        ("bars_per_unit", "SKU LS-96-Z: bars per unit is 0; give 1 or more."),
    ]


def test_a_least_value_below_nothing_is_refused_of_articles_and_kits() -> None:
    kits = (replace(CATALOGUE.kits[0], least_value=Decimal("NaN")), CATALOGUE.kits[1])
    order = with_first_bar(least_value=Decimal(-1))
    order = replace(order, catalogues=(replace(order.catalogues[0], kits=kits),))
    assert faults(order) == [
        (
            ("catalogues", 0, "stock_lengths", 0, "least_value"),
            "negative-price",
            "SKU LS-96-Z: the least value is -1; give 0 or more.",
        ),
        (
            ("catalogues", 0, "kits", 0, "least_value"),
            "negative-price",
            "SKU LK-Z: the least value is NaN; give 0 or more.",
        ),
    ]


def test_a_discount_beyond_the_whole_price_is_refused() -> None:
    steps = (KitDiscount(from_quantity=3, percent=Decimal(101)),)
    kits = (replace(CATALOGUE.kits[0], discounts=steps), CATALOGUE.kits[1])
    order = replace(TEN_DOORS, catalogues=(replace(CATALOGUE, kits=kits),))
    assert faults(order) == [
        (
            ("catalogues", 0, "kits", 0, "discounts", 0, "percent"),
            "percent-out-of-range",
            "SKU LK-Z: the discount from 3 on is 101 %; give 0 to 100.",
        )
    ]


def test_freight_by_weight_asks_for_the_weight_of_every_article() -> None:
    freight = Freight(
        basis=FreightBasis.WEIGHT,
        tiers=(FreightTier(from_amount=Fraction(0), charge=Decimal(5)),),
    )
    found = faults(replace(TEN_DOORS, catalogues=(replace(CATALOGUE, freight=freight),)))
    assert [code for _, code, _ in found] == ["weight-missing"] * 6
    assert found[-1] == (
        ("catalogues", 0, "fastener_packs", 0, "unit_weight"),
        "weight-missing",
        "SKU LN-1: Larkmoor Strip & Seal charges freight by weight, and no weight is stated; give "
        "unit_weight, or charge freight by value.",
    )


def test_tiers_must_begin_at_zero_and_rise() -> None:
    freight = Freight(
        basis=FreightBasis.VALUE,
        tiers=(FreightTier(from_amount=Fraction(10), charge=Decimal(5)),),
    )
    assert faults(replace(TEN_DOORS, catalogues=(replace(CATALOGUE, freight=freight),))) == [
        (
            ("catalogues", 0, "freight", "tiers"),
            "tiers-not-rising",
            "Larkmoor Strip & Seal: the tiers of freight begin at 10; give at least one, the "
            "first from 0 on, each above the one before.",
        )
    ]


def test_tiers_by_weight_are_told_in_kilograms() -> None:
    tiers = [(0, 5), (25_000, 9), (10_000, 12)]
    freight = Freight(
        basis=FreightBasis.WEIGHT,
        tiers=tuple(
            FreightTier(from_amount=Fraction(start), charge=Decimal(charge))
            for start, charge in tiers
        ),
    )
    found = faults(replace(TEN_DOORS, catalogues=(replace(CATALOGUE, freight=freight),)))
    assert found[0] == (
        ("catalogues", 0, "freight", "tiers"),
        "tiers-not-rising",
        "Larkmoor Strip & Seal: the tiers of freight begin at 0 kg, 25 kg, 10 kg; give at least "
        "one, the first from 0 on, each above the one before.",
    )


def test_two_currencies_and_one_supplier_twice_are_refused() -> None:
    euro = Catalogue(supplier="Larkmoor Strip & Seal", currency="EUR")
    assert [code for _, code, _ in faults(replace(TEN_DOORS, catalogues=(CATALOGUE, euro)))] == [
        "currencies-mixed",
        "repeated-supplier",
    ]


def test_a_credit_above_the_price_of_a_bar_is_refused() -> None:
    policy = Policy(
        keep_drops=KeptDrops(least_nm=INCH, credit=CostRate(price=Decimal("0.25"), per_nm=INCH))
    )
    # 96 in × 0.25 = 24.00, above 21.90; 120 in × 0.25 = 30.00, above 27.40; bronze costs 31.15.
    assert [message for _, _, message in faults(replace(TEN_DOORS, policy=policy))] == [
        "Drops are credited at 0.25 for 1 in, which is 24.00 for a bar of SKU LS-96-Z, "
        "but a bar of it costs only 21.90; lower the credit, or it would pay to buy for the rack.",
        "Drops are credited at 0.25 for 1 in, which is 30.00 for a bar of SKU LS-120-Z, "
        "but a bar of it costs only 27.40; lower the credit, or it would pay to buy for the rack.",
    ]


def test_faults_of_the_rack_are_named() -> None:
    rack = Rack(
        offcuts=(Offcut(id="LS-96-Z", material=ZINC, length_nm=0),),
        fasteners=(FastenersOnHand(fastener="strip-nail", count=-1),),
    )
    assert [(path, code) for path, code, _ in faults(replace(TEN_DOORS, rack=rack))] == [
        (("rack", "offcuts", 0, "id"), "repeated-id"),
        (("rack", "offcuts", 0, "length"), "length-not-positive"),
        (("rack", "fasteners", 0, "count"), "below-least"),
    ]


def test_a_substitution_across_finishes_does_not_go_with_matching_fasteners() -> None:
    policy = Policy(
        fasteners_match_finish=True,
        substitutions=(Substitution(wanted=ZINC, instead=BRONZE),),
    )
    assert faults(replace(TEN_DOORS, policy=policy)) == [
        (
            ("policy", "substitutions", 0),
            "substitution-across-finishes",
            "interlocking-strip, bronze instead of interlocking-strip, zinc: the policy asks for "
            "fasteners that match the finish, and these differ; set policy.fasteners_match_finish "
            "to false, or remove the substitution.",
        )
    ]


def test_a_splice_rule_needs_a_step_and_one_rule_a_product() -> None:
    rule = SpliceRule(
        product="interlocking-strip",
        edges=frozenset({Edge.HEAD}),
        least_segment_nm=12 * INCH,
        position_step_nm=0,
    )
    found = faults(replace(TEN_DOORS, policy=Policy(splices=(rule, rule))))
    step = (
        "below-least",
        "Splices of interlocking-strip: the position step is 0 in; give 5 mm or more.",
    )
    assert found == [
        (
            ("policy", "splices", 1, "product"),
            "repeated-product",
            "Splices of interlocking-strip have two rules; give one.",
        ),
        (("policy", "splices", 0, "position_step"), *step),
        (("policy", "splices", 1, "position_step"), *step),
    ]


def test_a_segment_longer_than_any_bar_and_offcut_is_refused() -> None:
    rule = SpliceRule(
        product="interlocking-strip",
        edges=frozenset({Edge.HEAD}),
        least_segment_nm=120 * INCH,
        position_step_nm=INCH,
    )
    policy = Policy(splices=(rule,), end_trim_nm=INCH)
    # 120 in less a trim of 1 in at each end; an offcut is not trimmed.
    assert faults(replace(TEN_DOORS, policy=policy)) == [
        (
            ("policy", "splices", 0, "least_segment"),
            "segment-longer-than-bar",
            "Splices of interlocking-strip: the least segment is 120 in, and no bar or offcut of "
            "it gives more than 118 in; give that or less, or add a longer stock length.",
        )
    ]
    rest = Offcut(id="R-1", material=ZINC, length_nm=120 * INCH)
    make_plan(replace(TEN_DOORS, policy=policy, rack=Rack(offcuts=(rest,))))


def test_a_substitute_that_nobody_offers_is_refused() -> None:
    rule = Substitution(wanted=ZINC, instead=Material("interlocking-strip", "bronse"))
    assert faults(replace(TEN_DOORS, policy=Policy(substitutions=(rule,)))) == [
        (
            ("policy", "substitutions", 0, "instead"),
            "substitute-not-offered",
            "interlocking-strip, bronse instead of interlocking-strip, zinc: neither a catalogue "
            "nor the rack offers interlocking-strip, bronse; correct its product or finish, or "
            "remove the substitution.",
        )
    ]


def test_fewer_available_than_are_sold_at_once_is_refused_and_none_is_not() -> None:
    # The least of 7 comes in multiples of 5 as 10.
    terms = {"least_quantity": 7, "sold_in_multiples_of": 5}
    assert faults(with_first_bar(available=9, **terms)) == [
        (
            ("catalogues", 0, "stock_lengths", 0, "available"),
            "available-below-least",
            "SKU LS-96-Z: 9 are available, and at least 10 must be bought at once; give 10 or "
            "more, or 0 where it is sold out.",
        )
    ]
    make_plan(with_first_bar(available=10, **terms))
    make_plan(with_first_bar(available=0, **terms))
    kits = (replace(CATALOGUE.kits[0], available=1, least_quantity=2), CATALOGUE.kits[1])
    order = replace(TEN_DOORS, catalogues=(replace(CATALOGUE, kits=kits),))
    assert [message for _, _, message in faults(order)] == [
        "SKU LK-Z: 1 is available, and at least 2 must be bought at once; give 2 or more, or 0 "
        "where it is sold out."
    ]


def test_two_surcharges_for_one_length_are_refused() -> None:
    limit = OverLength(longer_than_nm=96 * INCH, surcharge=Decimal(10))
    freight = Freight(
        basis=FreightBasis.VALUE,
        tiers=(FreightTier(from_amount=Fraction(0), charge=Decimal(5)),),
        over_length=(limit, replace(limit, surcharge=Decimal(20))),
    )
    assert faults(replace(TEN_DOORS, catalogues=(replace(CATALOGUE, freight=freight),))) == [
        (
            ("catalogues", 0, "freight", "over_length", 1, "longer_than"),
            "repeated-over-length",
            "Larkmoor Strip & Seal: two surcharges are for the same over-length, those at "
            "positions 0 and 1 (counted from 0); add them up in one.",
        )
    ]


def test_limits_that_leave_no_plan_are_named() -> None:
    first, second, third = CATALOGUE.stock_lengths
    bars = (replace(first, available=3), replace(second, available=0), third)
    order = replace(TEN_DOORS, catalogues=(replace(CATALOGUE, stock_lengths=bars, kits=()),))
    with pytest.raises(NoPlan) as rejected:
        make_plan(order)
    assert [fault.message for fault in rejected.value.faults] == [
        "Every piece is offered, but no purchase keeps within what is available of LS-120-Z, "
        "LS-96-Z; raise one of these, or add another article or supplier."
    ]
