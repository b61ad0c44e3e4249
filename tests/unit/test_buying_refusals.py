"""Wrong values in the terms of buying: the pointer, code and message of each, all at once."""

import json
from typing import Any

import pytest

from service.jobs.outcomes import PlanJob
from service.jobs.work import carry_out
from service.mapping.reading import read_order
from service.problems import Problem, write_pointer
from service.use_cases import settle_outcome
from service.wire.order import Order, TakeoffOrder
from tests.harbour_row import Wire, ten_doors

NOT_MONEY = (
    "is not a price; write digits and a decimal point, 0 or more, with at most 9 digits before "
    'the point and 6 after it, such as "12.40".'
)
MONEY_AS_NUMBER = 'is a number; send money as a text, such as "12.40", so that no digit is lost.'
NOT_A_MASS = "is not a mass; write a number with its unit: oz, lb, g or kg."


def faults_of(order: Wire) -> list[tuple[str, str, str]]:
    """Return pointer, code and message of what a request for a plan is refused for.

    The same is told beside a fault of form elsewhere, which keeps the planner from seeing it.
    """
    found = refusal_of(order)
    beside = refusal_of(order | {"colour": "red"})
    assert sorted(fault for fault in beside if fault[0] != "/colour") == sorted(found)
    return found


def refusal_of(order: Wire) -> list[tuple[str, str, str]]:
    body = json.dumps(order).encode()
    with pytest.raises(Problem) as refused:
        outcome = carry_out(PlanJob(order=read_order(body, Order), as_text=False))
        settle_outcome(outcome, body)
    assert refused.value.kind.code == "invalid-order"
    return [(write_pointer(f.path), f.code, f.message) for f in refused.value.faults]


def order_with(path: str, value: Any, *, order: Wire | None = None) -> Wire:
    """Return ten doors with a value put where a pointer leads."""
    order = order or ten_doors()
    *inner, last = (int(part) if part.isdigit() else part for part in path.split("/")[1:])
    holder: Any = order
    for part in inner:
        holder = holder[part]
    holder[last] = value
    return order


BAR, KIT, PACK = (f"/catalogues/0/{part}/0" for part in ("stock_lengths", "kits", "fastener_packs"))


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


STANDARD_KIT = {
    "sku": "LT-3068",
    "product": "interlocking-strip",
    "finish": "zinc",
    "lengths": [{"length": 84, "count": 3}, {"length": 40, "count": 2}],
    "price": "38.50",
}


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


BY_VALUE: Wire = {
    "basis": "value",
    "tiers": [{"from_value": "0", "charge": "5"}, {"from_value": "100", "charge": "9"}],
}


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


OFFCUT = {"id": "R-01", "product": "interlocking-strip", "finish": "zinc", "length": 50}


@pytest.mark.parametrize(
    ("rack", "pointer", "code", "message"),
    [
        (
            {"offcuts": [OFFCUT | {"quantity": -1}]},
            "/rack/offcuts/0/quantity",
            "out-of-range",
            "Offcut R-01, quantity: -1 is too low; send 0 or more.",
        ),
        (
            {"offcuts": [OFFCUT | {"length": "0 in"}]},
            "/rack/offcuts/0/length",
            "length-not-positive",
            "Offcut R-01: the length is 0 in; give more than 0.",
        ),
        (
            {"offcuts": [OFFCUT, OFFCUT]},
            "/rack/offcuts/1/id",
            "repeated-id",
            "Offcut R-01 has the name of another offcut; give it one of its own.",
        ),
        (
            {"offcuts": [OFFCUT | {"id": "LS-Z-084"}]},
            "/rack/offcuts/0/id",
            "repeated-id",
            "Offcut LS-Z-084 has the name of a SKU; give it one of its own.",
        ),
        (
            {"fasteners": [{"fastener": "strip-nail", "count": -1}]},
            "/rack/fasteners/0/count",
            "out-of-range",
            "rack.fasteners[0].count: -1 is too low; send 0 or more.",
        ),
        (
            {"fasteners": [{"fastener": "strip-nail", "count": 1}] * 2},
            "/rack/fasteners/1/fastener",
            "repeated-fastener",
            "strip-nail on hand stands twice; give one entry with the whole count.",
        ),
    ],
)
def test_a_wrong_rack_is_refused(rack: Wire, pointer: str, code: str, message: str) -> None:
    assert faults_of(ten_doors() | {"rack": rack}) == [(pointer, code, message)]


SPLICE = {
    "product": "interlocking-strip",
    "edges": ["hinge-jamb"],
    "least_segment": 12,
    "position_step": 1,
}


@pytest.mark.parametrize(
    ("splices", "inner", "code", "message"),
    [
        (
            [SPLICE | {"least_segment": "10 ft 1 in"}],
            "0/least_segment",
            "segment-longer-than-bar",
            "Splices of interlocking-strip: the least segment is 121 in, and no bar or offcut of "
            "it gives more than 120 in; give that or less, or add a longer stock length.",
        ),
        (
            [SPLICE | {"position_step": "1 mm"}],
            "0/position_step",
            "below-least",
            "Splices of interlocking-strip: the position step is 1 mm; give 5 mm or more.",
        ),
        (
            [SPLICE | {"edges": []}],
            "0/edges",
            "number-of-entries",
            "policy.splices[0].edges: has 0 entries; send 1 or more.",
        ),
        (
            [SPLICE | {"least_head": -1}],
            "0/least_head",
            "out-of-range",
            "policy.splices[0].least_head: -1 must be 0 or more; correct the length.",
        ),
        (
            [SPLICE, SPLICE],
            "1/product",
            "repeated-product",
            "Splices of interlocking-strip have two rules; give one.",
        ),
    ],
)
def test_a_wrong_rule_for_splices_is_refused(
    splices: list[Wire], inner: str, code: str, message: str
) -> None:
    found = faults_of(ten_doors(splices=splices))
    assert found == [(f"/policy/splices/{inner}", code, message)]


ZINC = {"product": "interlocking-strip", "finish": "zinc"}


@pytest.mark.parametrize(
    ("substitution", "inner", "code", "message"),
    [
        (
            {"wanted": ZINC, "instead": ZINC | {"finish": "bronse"}},
            "/instead",
            "substitute-not-offered",
            "interlocking-strip, bronse instead of interlocking-strip, zinc: neither a catalogue "
            "nor the rack offers interlocking-strip, bronse; correct its product or finish, or "
            "remove the substitution.",
        ),
        (
            {"wanted": ZINC, "instead": ZINC},
            "",
            "repeated-substitution",
            "interlocking-strip, zinc instead of interlocking-strip, zinc: it stands twice, or is "
            "no change; remove it.",
        ),
        (
            {"wanted": "zinc", "instead": ZINC},
            "/wanted",
            "wrong-type",
            'policy.substitutions[0].wanted: "zinc" is not an object; send one.',
        ),
    ],
)
def test_a_wrong_substitution_is_refused(
    substitution: Wire, inner: str, code: str, message: str
) -> None:
    found = faults_of(ten_doors(substitutions=[substitution]))
    assert found == [(f"/policy/substitutions/0{inner}", code, message)]


def test_a_credit_above_the_price_of_a_bar_is_refused() -> None:
    keep = {"least_length": "1 ft", "credit": {"price": "1.60", "length": "1 ft"}}
    # 7 ft × 1.60 = 11.20, below 11.48; 10 ft × 1.60 = 16.00, above 15.85.
    assert faults_of(ten_doors(keep_drops=keep)) == [
        (
            "/policy/keep_drops/credit",
            "credit-above-price",
            "Drops are credited at 1.60 for 12 in, which is 16.00 for a bar of SKU LS-Z-120, but "
            "a bar of it costs only 15.85; lower the credit, or it would pay to buy for the rack.",
        )
    ]


def test_faults_of_form_of_reading_and_of_sense_are_told_together() -> None:
    order = ten_doors(
        kerf="thin",
        splices=[SPLICE | {"cost": 1}, SPLICE | {"product": "sweep", "position_step": "1 mm"}],
        substitutions=[{"wanted": ZINC, "instead": ZINC}],
    )
    order["openings"].append({"mark": "D-02", "kind": "single-door", "size": "3068"})
    order["openings"].append(order["openings"][0] | {"mark": "D-03", "rule_set": "felt"})
    catalogue = order["catalogues"][0]
    catalogue["stock_lengths"][0]["price"] = 11.48
    falling = [{"from_quantity": 5, "price": "3"}, {"from_quantity": 4, "price": "2"}]
    catalogue["stock_lengths"][1]["breaks"] = falling
    catalogue["standard_kits"] = [STANDARD_KIT | {"sku": "LN-01", "unit_weight": "light"}]
    catalogue["freight"] = {"basis": "value", "tiers": BY_VALUE["tiers"][::-1]}
    order["catalogues"].append({"supplier": "Larkmoor Trade Counter", "currency": "EUR"})
    order["rack"] = {"offcuts": [OFFCUT | {"id": "LS-Z-120"}, OFFCUT | {"length": "0 in"}]}
    assert {fault[:2] for fault in faults_of(order)} == {
        ("/policy/kerf", "unreadable-length"),
        ("/policy/splices/0/cost", "money-as-number"),
        ("/policy/splices/1/position_step", "below-least"),
        ("/policy/substitutions/0", "repeated-substitution"),
        ("/openings/1/finish", "missing"),
        ("/openings/2/rule_set", "unknown-rule-set"),
        ("/catalogues/0/stock_lengths/0/price", "money-as-number"),
        ("/catalogues/0/stock_lengths/1/breaks/1/from_quantity", "breaks-not-rising"),
        ("/catalogues/0/standard_kits/0/unit_weight", "unreadable-mass"),
        ("/catalogues/0/standard_kits/0/sku", "repeated-sku"),
        ("/catalogues/0/freight/tiers", "tiers-not-rising"),
        ("/catalogues/1/currency", "currencies-mixed"),
        ("/rack/offcuts/0/id", "repeated-id"),
        ("/rack/offcuts/1/length", "length-not-positive"),
    }


def test_what_is_offered_nowhere_is_not_told_before_every_entry_could_be_read() -> None:
    bronze = {"product": "interlocking-strip", "finish": "bronze"}
    order = ten_doors(substitutions=[{"wanted": ZINC, "instead": bronze}])
    order["catalogues"][0]["stock_lengths"][0] |= {"finish": "bronze", "price": 11.48}
    assert [fault[:2] for fault in faults_of(order)] == [
        ("/catalogues/0/stock_lengths/0/price", "money-as-number")
    ]


def test_a_stand_in_for_a_faulty_member_has_no_faults_of_its_own() -> None:
    # Without a price of its own a bar would cost less than the credit of its drop.
    keep = {"least_length": "1 ft", "credit": {"price": "0.60", "length": "1 ft"}}
    order = order_with(f"{BAR}/price", "cheap", order=ten_doors(keep_drops=keep))
    assert [fault[0] for fault in faults_of(order)] == [f"{BAR}/price"]


def test_a_takeoff_does_not_look_at_what_is_bought() -> None:
    order = ten_doors(substitutions=[{"wanted": ZINC, "instead": ZINC}])
    order["openings"][0]["fastener_spacing"] = "3 cubits"
    with pytest.raises(Problem) as refused:
        read_order(json.dumps(order).encode(), TakeoffOrder)
    assert [write_pointer(fault.path) for fault in refused.value.faults] == [
        "/openings/0/fastener_spacing"
    ]


def test_a_fault_of_one_of_two_forms_is_told_at_its_own_member() -> None:
    # The form by weight has the name of a member; the fault is not told there.
    contents = {"count_per_weight": 1040, "weight": "1 lb", "pack_weight": 1}
    assert faults_of(order_with(f"{PACK}/contents", contents)) == [
        (
            f"{PACK}/contents/pack_weight",
            "wrong-type",
            "SKU LN-01, contents.pack_weight: 1 is not a text; send one.",
        )
    ]
