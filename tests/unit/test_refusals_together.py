"""Faults of form, of reading and of sense are told together."""

import json

import pytest

from service.mapping.reading import read_order
from service.problems import Problem, write_pointer
from service.wire.order import TakeoffOrder
from tests.harbour_row import ten_doors
from tests.unit.buying_faults import (
    BAR,
    BY_VALUE,
    OFFCUT,
    PACK,
    SPLICE,
    STANDARD_KIT,
    ZINC,
    faults_of,
    order_with,
)


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
