"""Terms of a catalogue that are refused: articles, kits, freight, several suppliers."""

from typing import Any

import pytest

from tests.harbour_row import Wire, ten_doors
from tests.unit.buying_faults import (
    BAR,
    BY_VALUE,
    KIT,
    MONEY_AS_NUMBER,
    NOT_A_MASS,
    NOT_MONEY,
    PACK,
    STANDARD_KIT,
    faults_of,
    order_with,
)


@pytest.mark.parametrize(
    ("place", "value", "inner", "code", "message"),
    [
        (
            f"{BAR}/sold_in_multiples_of",
            0,
            "",
            "out-of-range",
            "SKU LS-Z-084, sold_in_multiples_of: 0 is too low; send 1 or more.",
        ),
        (
            f"{PACK}/least_quantity",
            2.5,
            "",
            "wrong-type",
            "SKU LN-01, least_quantity: 2.5 is not a whole number; send one.",
        ),
        (
            f"{BAR}/available",
            -1,
            "",
            "out-of-range",
            "SKU LS-Z-084, available: -1 is too low; send 0 or more.",
        ),
        (
            f"{BAR}/bars_per_unit",
            0,
            "",
            "out-of-range",
            "SKU LS-Z-084, bars_per_unit: 0 is too low; send 1 or more.",
        ),
        (
            f"{BAR}/break_kind",
            "each",
            "",
            "not-one-of",
            "SKU LS-Z-084, break_kind: \"each\" is not known; send 'all-units' or 'incremental'.",
        ),
        (
            f"{BAR}/breaks",
            [{"from_quantity": 1, "price": "3"}],
            "/0/from_quantity",
            "out-of-range",
            "SKU LS-Z-084, breaks[0].from_quantity: 1 is too low; send 2 or more.",
        ),
        (
            f"{BAR}/breaks",
            [{"from_quantity": 5, "price": "3"}, {"from_quantity": 4, "price": "2"}],
            "/1/from_quantity",
            "breaks-not-rising",
            "SKU LS-Z-084: breaks begin at 4, not above 5; give quantities above 1 that rise.",
        ),
        (
            f"{BAR}/breaks",
            [{"from_quantity": 5, "price": 3}],
            "/0/price",
            "money-as-number",
            f"SKU LS-Z-084, breaks[0].price: 3 {MONEY_AS_NUMBER}",
        ),
        (
            f"{BAR}/unit_weight",
            "0 lb",
            "",
            "unreadable-mass",
            "SKU LS-Z-084, unit_weight: “0 lb” weighs nothing; state a mass above 0.",
        ),
        (
            f"{PACK}/unit_weight",
            5,
            "",
            "wrong-type",
            "SKU LN-01, unit_weight: 5 is not a text; send one.",
        ),
        (
            f"{KIT}/discounts",
            [{"from_quantity": 5, "percent": 101}],
            "/0/percent",
            "out-of-range",
            "SKU LK-Z, discounts[0].percent: 101 is out of range; send a number from 0 to 100, "
            "or a text such as '5'.",
        ),
        (
            f"{KIT}/discounts",
            [{"from_quantity": 5, "percent": 5}, {"from_quantity": 5, "percent": 6}],
            "/1/from_quantity",
            "breaks-not-rising",
            "SKU LK-Z: discounts begin at 5, not above 5; give quantities above 1 that rise.",
        ),
        (
            f"{KIT}/weight",
            {"weight": "heavy", "length": "1 ft"},
            "/weight",
            "unreadable-mass",
            f"SKU LK-Z, weight.weight: “heavy” {NOT_A_MASS}",
        ),
        (
            "/catalogues/0/least_order",
            "-5",
            "",
            "wrong-form",
            f'Larkmoor Strip & Seal, least_order: "-5" {NOT_MONEY}',
        ),
        (
            "/policy/cut_charge",
            "-1",
            "",
            "wrong-form",
            f'policy.cut_charge: "-1" {NOT_MONEY}',
        ),
        (
            "/policy/keep_drops",
            {"least_length": "-2 in", "credit": {"price": "1", "length": "1 ft"}},
            "/least_length",
            "unreadable-length",
            "policy.keep_drops.least_length: “-2 in” is negative; state a length of 0 or more.",
        ),
        (
            "/policy/keep_drops",
            {"least_length": 12},
            "/credit",
            "missing",
            "policy.keep_drops.credit: is missing; send it.",
        ),
    ],
)
def test_a_wrong_term_is_refused(
    place: str, value: Any, inner: str, code: str, message: str
) -> None:
    assert faults_of(order_with(place, value)) == [(f"{place}{inner}", code, message)]


def test_fewer_available_than_are_sold_at_once_is_refused() -> None:
    order = order_with(f"{BAR}/available", 3)
    assert faults_of(order_with(f"{BAR}/least_quantity", 4, order=order)) == [
        (
            f"{BAR}/available",
            "available-below-least",
            "SKU LS-Z-084: 3 are available, and at least 4 must be bought at once; give 4 or "
            "more, or 0 where it is sold out.",
        )
    ]


@pytest.mark.parametrize(
    ("members", "inner", "code", "message"),
    [
        (
            {"lengths": []},
            "lengths",
            "number-of-entries",
            "SKU LT-3068, lengths: has 0 entries; send 1 or more.",
        ),
        (
            {"lengths": [{"length": 84, "count": 0}]},
            "lengths/0/count",
            "out-of-range",
            "SKU LT-3068, lengths[0].count: 0 is too low; send 1 or more.",
        ),
        (
            {"sku": "LK-Z"},
            "sku",
            "repeated-sku",
            "SKU LK-Z stands twice in the catalogues, first at catalogues/0/kits/0; a SKU names "
            "one article: remove one, or give it its own SKU.",
        ),
        (
            {
                "fasteners": {
                    "fastener": "strip-nail",
                    "contents": {"count": 1, "tolerance_percent": 5},
                }
            },
            "fasteners/contents",
            "empty-pack",
            "SKU LT-3068: a pack holds no fastener at the low end of its tolerance; give contents "
            "of at least one.",
        ),
    ],
)
def test_a_wrong_standard_kit_is_refused(
    members: Wire, inner: str, code: str, message: str
) -> None:
    order = order_with("/catalogues/0/standard_kits", [STANDARD_KIT | members])
    assert faults_of(order) == [(f"/catalogues/0/standard_kits/0/{inner}", code, message)]


@pytest.mark.parametrize(
    ("freight", "inner", "code", "message"),
    [
        (
            {"basis": "volume", "tiers": BY_VALUE["tiers"]},
            "/basis",
            "not-one-of",
            "Larkmoor Strip & Seal, freight.basis: \"volume\" is not known; send 'weight' or "
            "'value'.",
        ),
        (
            {"tiers": BY_VALUE["tiers"]},
            "/basis",
            "missing",
            "Larkmoor Strip & Seal, freight.basis: is missing; send it.",
        ),
        (
            {"basis": "value", "tiers": BY_VALUE["tiers"][::-1]},
            "/tiers",
            "tiers-not-rising",
            "Larkmoor Strip & Seal: the tiers of freight begin at 100, 0; give at least one, the "
            "first from 0 on, each above the one before.",
        ),
        (
            {"basis": "weight", "tiers": [{"from_weight": "lots", "charge": "5"}]},
            "/tiers/0/from_weight",
            "unreadable-mass",
            f"Larkmoor Strip & Seal, freight.tiers[0].from_weight: “lots” {NOT_A_MASS}",
        ),
        (
            BY_VALUE | {"over_length": [{"longer_than": "8 ft", "surcharge": "-4"}]},
            "/over_length/0/surcharge",
            "wrong-form",
            f'Larkmoor Strip & Seal, freight.over_length[0].surcharge: "-4" {NOT_MONEY}',
        ),
        (
            BY_VALUE | {"free_from": 100},
            "/free_from",
            "money-as-number",
            f"Larkmoor Strip & Seal, freight.free_from: 100 {MONEY_AS_NUMBER}",
        ),
    ],
)
def test_wrong_freight_is_refused(freight: Wire, inner: str, code: str, message: str) -> None:
    place = "/catalogues/0/freight"
    assert faults_of(order_with(place, freight)) == [(f"{place}{inner}", code, message)]


def test_a_tier_by_value_is_none_by_weight() -> None:
    freight = {"basis": "weight", "tiers": [{"from_value": "0", "charge": "5"}]}
    assert [fault[:2] for fault in faults_of(order_with("/catalogues/0/freight", freight))] == [
        ("/catalogues/0/freight/tiers/0/from_weight", "missing"),
        ("/catalogues/0/freight/tiers/0/from_value", "unknown-member"),
    ]


def test_freight_by_weight_needs_the_weight_of_every_article() -> None:
    freight = {"basis": "weight", "tiers": [{"from_weight": "0 lb", "charge": "5"}]}
    found = faults_of(order_with("/catalogues/0/freight", freight))
    assert [pointer for pointer, _, _ in found] == [
        "/catalogues/0/stock_lengths/0/unit_weight",
        "/catalogues/0/stock_lengths/1/unit_weight",
        "/catalogues/0/kits/0/weight",
        "/catalogues/0/kits/1/weight",
        "/catalogues/0/fastener_packs/0/unit_weight",
    ]
    assert {code for _, code, _ in found} == {"weight-missing"}


@pytest.mark.parametrize(
    ("catalogue", "pointer", "code", "message"),
    [
        (
            {"supplier": "Larkmoor Trade Counter", "currency": "EUR"},
            "/catalogues/1/currency",
            "currencies-mixed",
            "Larkmoor Trade Counter sells in EUR and Larkmoor Strip & Seal in USD; an order is "
            "bought in one currency: state all prices in one, or send an order for each.",
        ),
        (
            {"supplier": "Larkmoor Strip & Seal", "currency": "USD"},
            "/catalogues/1/supplier",
            "repeated-supplier",
            "Supplier Larkmoor Strip & Seal has two catalogues, the first at catalogues/0; put "
            "all that a supplier offers into one.",
        ),
    ],
)
def test_a_second_catalogue_that_does_not_go_with_the_first_is_refused(
    catalogue: Wire, pointer: str, code: str, message: str
) -> None:
    order = ten_doors()
    order["catalogues"].append(catalogue)
    assert faults_of(order) == [(pointer, code, message)]


def test_a_second_catalogue_is_held_to_the_currency_that_is_expected() -> None:
    order = ten_doors() | {"currency": "USD"}
    order["catalogues"].append({"supplier": "Larkmoor Trade Counter", "currency": "EUR"})
    assert faults_of(order)[0] == (
        "/currency",
        "currency-mismatch",
        "currency: the order is in USD and the catalogue of Larkmoor Trade Counter in EUR; an "
        "order is bought in one currency: correct one, or send a catalogue in USD.",
    )
