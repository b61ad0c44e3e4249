"""A plan in JSON: exact values of the terms of buying, and sums that add up.

The order and its sums, worked out by hand, are in `tests.every_term`.
"""

import json
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from optimiser.domain.plan import Alternative, AlternativeOutcome
from optimiser.explain import give_reasons
from optimiser.planning import make_plan
from service.mapping.plan_out import write_plan
from tests.every_term import every_term
from tests.oracle.buying_draws import draw_buying_order
from tests.oracle.buying_to_order import to_order

Json = dict[str, Any]


def answer_of_every_term() -> Json:
    example = every_term()
    reasons, notices = give_reasons(example.order, example.takeoff, example.plan)
    plan = replace(
        example.plan,
        reasons=reasons,
        notices=notices,
        alternatives=(
            Alternative(
                code="from-one-supplier-only",
                outcome=AlternativeOutcome.PRICED,
                cost=Decimal("380.00"),
                extra_cost=Decimal("9.02"),
                supplier="Larkmoor Trade Counter",
            ),
        ),
    )
    answer: Json = json.loads(write_plan(plan).model_dump_json())
    return answer


@pytest.fixture(scope="module")
def answer() -> Json:
    return answer_of_every_term()


ZINC = {"product": "interlocking-strip", "finish": "zinc"}


def inches(count: int) -> Json:
    # 1 in is 25.4 mm exactly.
    return {"text": f"{count} in", "mm": f"{count * Decimal('25.4'):f}".removesuffix(".0")}


def facts(answer: Json, code: str) -> list[Json]:
    return [reason["facts"] for reason in answer["reasons"] if reason["code"] == code]


def test_a_line_of_each_kind_names_its_supplier_and_what_it_counts(answer: Json) -> None:
    assert [
        (line["kind"], line["supplier"], line["sku"], line["quantity"], line["unit"])
        for line in answer["purchases"]
    ] == [
        ("stock-length", "Larkmoor Strip & Seal", "LS-84-Z", 5, "length"),
        ("stock-length", "Larkmoor Trade Counter", "TC-96-Z", 1, "bundle"),
        ("kit", "Larkmoor Trade Counter", "TK-Z", 3, "kit"),
        ("fastener-pack", "Larkmoor Strip & Seal", "LN-1", 8, "pack"),
        ("standard-kit", "Larkmoor Strip & Seal", "LT-84-Z", 2, "kit"),
    ]
    assert answer["purchases"][1]["bars_per_unit"] == 3
    assert answer["purchases"][4] == {
        "kind": "standard-kit",
        "supplier": "Larkmoor Strip & Seal",
        "sku": "LT-84-Z",
        "quantity": 2,
        "unit": "kit",
        "unit_price": "39.00",
        "amount": "78.00",
        "material": ZINC,
        "lengths": [
            {"length": inches(84), "count": 3},
            {"length": inches(40), "count": 2},
        ],
        "fastener": "strip-nail",
        "packs_per_kit": 1,
    }


def test_a_shipment_shows_its_tier_its_threshold_and_its_total(answer: Json) -> None:
    assert answer["shipments"] == [
        {
            "supplier": "Larkmoor Strip & Seal",
            "goods": "143.50",
            "weight_grams": "8740",
            "freight_basis": "weight",
            "tier_from_grams": "8000",
            "tier_from_value": None,
            "freight": "11.00",
            "free_from": "150.00",
            "free": False,
            "over_length": [{"longer_than": inches(80), "surcharge": "6.00"}],
            "least_order": "50.00",
            "total": "160.50",
        },
        {
            "supplier": "Larkmoor Trade Counter",
            "goods": "192.06",
            "weight_grams": None,
            "freight_basis": "value",
            "tier_from_grams": None,
            "tier_from_value": "100.00",
            "freight": "5.00",
            "free_from": None,
            "free": False,
            "over_length": [],
            "least_order": "0.00",
            "total": "197.06",
        },
    ]
    assert [told["shipment"] for told in facts(answer, "shipment-priced")] == answer["shipments"]


def test_the_rack_before_and_after_is_stated(answer: Json) -> None:
    assert answer["offcuts_used"] == [
        {"id": "R-1", "material": ZINC, "length": inches(40), "used": 2, "value": "2.00"}
    ]
    assert answer["fasteners_used"] == [
        {"fastener": "strip-nail", "finish": None, "used": 92, "value": "0.01"}
    ]
    # 100 on hand, 92 used.
    assert answer["next_fasteners"] == [{"fastener": "strip-nail", "finish": None, "count": 8}]
    assert [
        (kept["kind"], kept["source"], kept["length"], kept["quantity"], kept["credit"])
        for kept in answer["next_rack"]
    ] == [
        ("whole-bar", "LS-84-Z", inches(84), 1, "4.20"),
        ("not-used", "R-1", inches(40), 1, "0.00"),
        ("not-used", "R-2", inches(20), 1, "0.00"),
    ]
    assert [(sheet["sku"], sheet["from_rack"]) for sheet in answer["patterns"]] == [
        ("LS-84-Z", False),
        ("R-1", True),
        ("TC-96-Z", False),
        ("TC-96-Z", False),
    ]
    assert (answer["fasteners"][0]["on_hand"], answer["fasteners"][0]["supplied"]) == (92, 742)


def test_what_supplies_an_opening_is_stated_in_every_way(answer: Json) -> None:
    supplies = {opening["mark"]: opening["supplies"][0] for opening in answer["openings"]}
    assert supplies["D-1"]["standard_kits"] == [{"sku": "LT-84-Z", "openings": 2}]
    assert supplies["D-2"]["cut"] == 1
    assert supplies["D-3"] == {
        "material": {"product": "interlocking-strip", "finish": "bronze"},
        "kits": [],
        "standard_kits": [],
        "cut": 0,
        "cut_instead": [{"material": ZINC, "openings": 1}],
    }
    assert supplies["D-4"]["kits"] == [{"sku": "TK-Z", "openings": 3}]
    trims = answer["openings"][0]["trim_list"]
    assert [(t["label"], t["held"], t["length"], t["pieces"]) for t in trims][3:] == [
        ("D-1 head, frame member", inches(40), inches(36), 2),
        ("D-1 head, leaf member", inches(40), inches(36), 2),
    ]
    cut = answer["openings"][1]["cut_list"]
    assert [(line["length"], line["segment_of"]) for line in cut] == [
        *[(inches(60), inches(100)), (inches(40), inches(100))] * 2,
        *[(inches(80), inches(100)), (inches(20), inches(100))],
        *[(inches(36), None)] * 2,
    ]


def test_reasons_of_the_terms_carry_their_arithmetic(answer: Json) -> None:
    assert facts(answer, "break-reached") == [
        {
            "sku": "LS-84-Z",
            "quantity": 5,
            "price": "10.00",
            "break_kind": "all-units",
            "tiers": [{"units": 5, "unit_price": "9.50"}],
            "saved": "2.50",
        }
    ]
    assert facts(answer, "discount-reached") == [
        {
            "sku": "TK-Z",
            "kits": 3,
            "from_quantity": 3,
            "percent": "10",
            "prices": [{"full": "61.13", "reduced": "55.02"}],
        }
    ]
    assert facts(answer, "offcut-used") == [
        {
            "id": "R-1",
            "material": ZINC,
            "length": inches(40),
            "used": 2,
            "on_rack": 3,
            "value": "2.00",
            "amount": "4.00",
        }
    ]
    assert facts(answer, "fasteners-on-hand-used") == [
        {
            "fastener": "strip-nail",
            "finish": None,
            "used": 92,
            "on_hand": 100,
            "value": "0.01",
            "amount": "0.92",
        }
    ]
    assert facts(answer, "drops-kept") == [
        {
            "material": ZINC,
            "least_length": inches(24),
            "per_length": "0.05",
            "per_length_of": inches(1),
            "lengths": [{"length": inches(84), "count": 1, "credit": "4.20"}],
            "amount": "4.20",
        }
    ]
    assert facts(answer, "cuts-charged") == [{"pieces": 13, "charge": "0.40", "amount": "5.20"}]
    assert facts(answer, "pieces-spliced")[1] == {
        "material": ZINC,
        "length": inches(100),
        "segments": [inches(80), inches(20)],
        "pieces": 1,
        "cost": "1.50",
        "amount": "1.50",
    }
    spliced = [r["marks"] for r in answer["reasons"] if r["code"] == "pieces-spliced"]
    assert spliced == [["D-2"], ["D-2"]]
    assert facts(answer, "set-substituted") == [
        {
            "wanted": {"product": "interlocking-strip", "finish": "bronze"},
            "instead": ZINC,
            "openings": 1,
            "preference": "3.00",
            "amount": "3.00",
        }
    ]
    assert facts(answer, "standard-kits-trimmed") == [
        {
            "sku": "LT-84-Z",
            "lengths": [
                {"length": inches(84), "count": 3},
                {"length": inches(40), "count": 2},
            ],
            "used": 2,
            "bought": 2,
            # Each: 3 × 84 + 2 × 40 − 3 × 80 − 2 × 36 = 20 in.
            "trimmed": inches(40),
        }
    ]


def test_what_is_payable_stands_apart_from_what_is_weighed(answer: Json) -> None:
    assert (answer["total"], answer["payable"]) == ("370.98", "357.56")
    assert {line["kind"]: (line["amount"], line["paid"]) for line in answer["account"]} == {
        "stock-length": ("74.50", True),
        "kit": ("165.06", True),
        "fastener-pack": ("18.00", True),
        "standard-kit": ("78.00", True),
        "freight": ("16.00", True),
        "over-length": ("6.00", True),
        "cut-charge": ("5.20", False),
        "splice": ("4.50", False),
        "rack": ("4.92", False),
        "drop-credit": ("-4.20", False),
        "preference": ("3.00", False),
    }
    told = facts(answer, "cost-accounted")[0]
    assert (told["payable"], told["total"]) == ("357.56", "370.98")
    assert told["others"] == answer["account"][3:]


def test_an_alternative_names_the_only_supplier(answer: Json) -> None:
    other = answer["alternatives"][0]
    assert (other["supplier"], other["statement"]) == (
        "Larkmoor Trade Counter",
        "Everything from Larkmoor Trade Counter only",
    )


@pytest.mark.parametrize("seed", range(2, 12))
def test_amounts_add_up_to_their_totals(seed: int) -> None:
    order = to_order(draw_buying_order(seed))
    policy = replace(order.policy, alternatives=False)
    answer = json.loads(write_plan(make_plan(replace(order, policy=policy))).model_dump_json())
    goods: Counter[str] = Counter()
    for line in answer["purchases"]:
        amount = line["quantity"] * Decimal(line["unit_price"])
        assert Decimal(line["amount"]) == amount
        goods[line["supplier"]] += amount
    for shipment in answer["shipments"]:
        assert Decimal(shipment["goods"]) == goods[shipment["supplier"]]
        surcharges = sum(Decimal(over["surcharge"]) for over in shipment["over_length"])
        total = Decimal(shipment["goods"]) + Decimal(shipment["freight"]) + surcharges
        assert Decimal(shipment["total"]) == total
    account = {line["kind"]: Decimal(line["amount"]) for line in answer["account"]}
    paid = sum(Decimal(line["amount"]) for line in answer["account"] if line["paid"])
    assert sum(account.values()) == Decimal(answer["total"])
    assert paid == Decimal(answer["payable"])
    assert paid == sum(Decimal(shipment["total"]) for shipment in answer["shipments"])
    used = [*answer["offcuts_used"], *answer["fasteners_used"]]
    rack = sum(entry["used"] * Decimal(entry["value"]) for entry in used)
    assert account.get("rack", 0) == rack
    credit = sum(kept["quantity"] * Decimal(kept["credit"]) for kept in answer["next_rack"])
    assert account.get("drop-credit", 0) == -credit
