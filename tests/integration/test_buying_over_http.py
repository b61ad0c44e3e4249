"""Terms of buying over a socket: what each of them does to one door, worked out by hand.

The door is 36 × 80 in: three jambs of 80 and two heads of 36. A bar of 84 in holds one jamb, or
two heads: four bars. Nails cost nothing. All prices are invented.
"""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import httpx
import pytest

from tests.harbour_row import Wire

JSON = {"content-type": "application/json"}
EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
STRIP = {"product": "interlocking-strip", "finish": "zinc"}
BRONZE = {"product": "interlocking-strip", "finish": "bronze"}
BAR: Wire = {"sku": "LS-84", **STRIP, "length": "7 ft", "price": "10"}
ONE_CHARGE = [{"from_value": "0", "charge": "12"}]


def door(*bars: Wire, height: int = 80, rack: Wire | None = None, **policy: Any) -> Wire:
    return {
        "openings": [
            {
                "mark": "D-1",
                "kind": "single-door",
                "size": {"width": 36, "height": height},
                "finish": "zinc",
            }
        ],
        "catalogues": [
            {
                "supplier": "Larkmoor Strip & Seal",
                "currency": "USD",
                "stock_lengths": list(bars),
                "fastener_packs": [
                    {
                        "sku": "LN-1",
                        "fastener": "strip-nail",
                        "contents": {"count": 65},
                        "price": "0",
                        "unit_weight": "1 oz",
                    }
                ],
            }
        ],
        "rack": rack or {},
        "policy": {"alternatives": False, **policy},
    }


def sold_by(order: Wire, **terms: Any) -> Wire:
    order["catalogues"][0].update(terms)
    return order


def plan(client: httpx.Client, order: Wire) -> Any:
    answer = client.post("/v1/plans", content=json.dumps(order), headers=JSON)
    assert answer.status_code == 200, answer.text
    return answer.json()


BREAK = [{"from_quantity": 5, "price": "7"}]
OFFCUT = {"id": "R-1", **STRIP, "length": "6 ft", "value": "4"}
STANDARD_KIT = {
    "sku": "LT-84",
    **STRIP,
    "lengths": [{"length": 84, "count": 3}, {"length": 40, "count": 2}],
    "price": "39",
}


@pytest.mark.parametrize(
    ("order", "total", "payable"),
    [
        pytest.param(door(BAR), 40, 40, id="none"),
        # Five at 7 are 35; each at its own break, a fifth would cost 7 more.
        pytest.param(door(BAR | {"breaks": BREAK}), 35, 35, id="break for all units"),
        pytest.param(
            door(BAR | {"breaks": BREAK, "break_kind": "incremental"}), 40, 40, id="incremental"
        ),
        pytest.param(door(BAR | {"least_quantity": 6}), 60, 60, id="least quantity"),
        pytest.param(door(BAR | {"sold_in_multiples_of": 3}), 60, 60, id="multiples"),
        # Two bundles of three.
        pytest.param(door(BAR | {"price": "25", "bars_per_unit": 3}), 50, 50, id="bundle"),
        # Four are not there: one holds a jamb, and two of 120 in a jamb and a head each.
        pytest.param(
            door(
                BAR | {"available": 2},
                {"sku": "LS-120", **STRIP, "length": "10 ft", "price": "18"},
            ),
            10 + 2 * 18,
            46,
            id="available",
        ),
        pytest.param(sold_by(door(BAR), least_order="61"), 70, 70, id="least order"),
        pytest.param(
            sold_by(door(BAR), freight={"basis": "value", "tiers": ONE_CHARGE}),
            52,
            52,
            id="freight by value",
        ),
        # A fifth bar makes 50, from where freight is free.
        pytest.param(
            sold_by(door(BAR), freight={"basis": "value", "tiers": ONE_CHARGE, "free_from": "50"}),
            50,
            50,
            id="free freight",
        ),
        # 4 × 1 lb and nails of 2 oz (104 nails at the rule's spacing are two packs) are in the
        # second tier.
        pytest.param(
            sold_by(
                door(BAR | {"unit_weight": "1 lb"}),
                freight={
                    "basis": "weight",
                    "tiers": [
                        {"from_weight": "0 lb", "charge": "3"},
                        {"from_weight": "4 lb", "charge": "6"},
                        {"from_weight": "5 lb", "charge": "9"},
                    ],
                },
            ),
            46,
            46,
            id="freight by weight",
        ),
        pytest.param(
            sold_by(
                door(BAR),
                freight={
                    "basis": "value",
                    "tiers": [{"from_value": "0", "charge": "0"}],
                    "over_length": [{"longer_than": "83 in", "surcharge": "5"}],
                },
            ),
            45,
            45,
            id="over-length",
        ),
        pytest.param(sold_by(door(BAR), standard_kits=[STANDARD_KIT]), 39, 39, id="standard kit"),
        # Two heads fit the offcut: three bars and its value.
        pytest.param(door(BAR, rack={"offcuts": [OFFCUT]}), 34, 30, id="offcut"),
        # Five pieces are cut.
        pytest.param(door(BAR, cut_charge="0.10"), Decimal("40.50"), 40, id="cut charge"),
        # The bar with the heads leaves 12 in at 0.05 an inch; the others 4 in each, too short.
        pytest.param(
            door(
                BAR,
                keep_drops={
                    "least_length": "1 ft",
                    "credit": {"price": "0.05", "length": "1 in"},
                },
            ),
            Decimal("39.40"),
            40,
            id="kept drops",
        ),
        # Bronze at 8: 32 and a preference of 7.
        pytest.param(
            door(
                BAR,
                {"sku": "LS-B", **BRONZE, "length": "7 ft", "price": "8"},
                substitutions=[{"wanted": STRIP, "instead": BRONZE, "preference": "7"}],
            ),
            39,
            32,
            id="substitution",
        ),
        # Jambs of 100 in, each of two segments: five bars and three splices.
        pytest.param(
            door(
                BAR,
                height=100,
                splices=[
                    {
                        "product": "interlocking-strip",
                        "edges": ["hinge-jamb", "strike-jamb"],
                        "least_segment": 20,
                        "position_step": 10,
                        "cost": "2",
                    }
                ],
            ),
            56,
            50,
            id="splices",
        ),
    ],
)
def test_a_term_does_to_a_door_what_it_does_by_hand(
    client: httpx.Client, order: Wire, total: int | Decimal, payable: int
) -> None:
    made = plan(client, order)
    assert (Decimal(made["total"]), Decimal(made["payable"])) == (total, payable)
    assert made["certificate"]["proved"] is True


def test_fasteners_on_hand_are_used_before_packs_are_bought(client: httpx.Client) -> None:
    order = door(BAR, rack={"fasteners": [{"fastener": "strip-nail", "count": 1_000}]})
    order["catalogues"][0]["fastener_packs"][0]["price"] = "2"
    made = plan(client, order)
    assert made["total"] == "40.00"
    (supply,) = made["fasteners"]
    assert (supply["packs"], supply["on_hand"]) == ([], supply["needed"])


def test_a_discount_on_kits_is_reached_by_one_kit_more(client: httpx.Client) -> None:
    # A kit is 12; from two on it is 25 % less. Two doors: 2 × 9 = 18, below one at 12 + 40.
    order = sold_by(
        door(BAR),
        kits=[
            {
                "sku": "LK",
                **STRIP,
                "price": {"base": "12"},
                "discounts": [{"from_quantity": 2, "percent": 25}],
            }
        ],
    )
    order["openings"][0]["quantity"] = 2
    assert plan(client, order)["total"] == "18.00"


def test_two_suppliers_are_used_where_that_pays_their_freight(client: httpx.Client) -> None:
    # Two bars of 120 in hold a jamb and a head each: 2 × 11 + 10 + freight of 3 + 5 = 40; from
    # the first alone it is 4 × 10 + 3 = 43, which at a freight of 9 is less.
    for charge, total in (("5", "40.00"), ("9", "43.00")):
        order = sold_by(
            door(BAR),
            freight={"basis": "value", "tiers": [{"from_value": "0", "charge": "3"}]},
        )
        order["catalogues"].append(
            {
                "supplier": "Larkmoor Trade Counter",
                "currency": "USD",
                "stock_lengths": [{"sku": "TC-120", **STRIP, "length": "10 ft", "price": "11"}],
                "freight": {
                    "basis": "value",
                    "tiers": [{"from_value": "0", "charge": charge}],
                },
            }
        )
        assert plan(client, order)["total"] == total


def test_the_example_of_two_suppliers_adds_up(client: httpx.Client) -> None:
    order = json.loads((EXAMPLES / "harbour-row-two-suppliers.json").read_text("utf-8"))
    made = plan(client, order)
    assert (made["total"], made["certificate"]["proved"]) == ("468.23", True)
    goods = {shipment["supplier"]: Decimal(0) for shipment in made["shipments"]}
    for line in made["purchases"]:
        goods[line["supplier"]] += Decimal(line["amount"])
    assert len(goods) == 2
    for shipment in made["shipments"]:
        assert Decimal(shipment["goods"]) == goods[shipment["supplier"]]
        assert Decimal(shipment["goods"]) + Decimal(shipment["freight"]) == Decimal(
            shipment["total"]
        )
    paid = sum(Decimal(shipment["total"]) for shipment in made["shipments"])
    assert paid == Decimal(made["payable"])
    weighed = sum(Decimal(line["amount"]) for line in made["account"] if not line["paid"])
    assert paid + weighed == Decimal(made["total"])
    kinds = {line["kind"] for line in made["purchases"]}
    assert kinds == {"stock-length", "kit", "fastener-pack", "standard-kit"}
