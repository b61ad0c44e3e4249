"""Orders that are served, over a socket."""

import json
from decimal import Decimal
from typing import Any

import httpx

from tests.harbour_row import mixed_order, ten_doors

JSON = {"content-type": "application/json"}


def send(client: httpx.Client, order: Any, **headers: str) -> httpx.Response:
    return client.post("/v1/plans", content=json.dumps(order), headers={**JSON, **headers})


def test_ten_doors_are_planned_with_four_kits_with_nails_and_six_without(
    client: httpx.Client,
) -> None:
    answer = send(client, ten_doors())
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "application/json"
    plan = answer.json()
    # 104 nails a door at 3 in, 1,040 in all; a kit with nails carries 4 oz × 65 = 260.
    # Kit: 4.50 + 1.38 × 26 ft + 0.35 × 5 = 42.13; with nails + 4 × 2.40 = 51.73.
    # 6 × 42.13 + 4 × 51.73 = 459.70. Prices are invented.
    bought = {line["sku"]: line["quantity"] for line in plan["purchases"]}
    assert bought == {"LK-Z": 6, "LK-Z-N": 4}
    assert plan["total"] == "459.70"
    assert plan["certificate"]["proved"] is True
    assert plan["certificate"]["gap"] == "0.00"
    assert plan["certificate"]["gap_percent"] == "0"
    fasteners = plan["fasteners"][0]
    assert (fasteners["needed"], fasteners["supplied"], fasteners["spare"]) == (1040, 1040, 0)


def test_lines_of_a_plan_add_up_to_its_total(client: httpx.Client) -> None:
    plan = send(client, mixed_order(12, seed=3)).json()
    for line in plan["purchases"]:
        assert Decimal(line["amount"]) == line["quantity"] * Decimal(line["unit_price"])
    total = sum(Decimal(line["amount"]) for line in plan["purchases"])
    assert total == Decimal(plan["total"])
    assert sum(Decimal(entry["amount"]) for entry in plan["account"]) == total


def test_the_same_order_gives_the_same_bytes(client: httpx.Client) -> None:
    first = send(client, ten_doors())
    second = send(client, ten_doors())
    assert first.content == second.content


def test_a_plan_comes_as_text_for_a_buyer(client: httpx.Client) -> None:
    answer = send(client, ten_doors(), accept="text/plain")
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/plain; charset=utf-8"
    assert "Total USD 459.70" in answer.text
    assert answer.headers["vary"] == "Accept"


def test_a_plan_states_its_times_in_a_header_and_not_in_its_body(client: httpx.Client) -> None:
    answer = send(client, ten_doors())
    names = [entry.partition(";")[0] for entry in answer.headers["server-timing"].split(", ")]
    assert names == ["queue", "solve"]
    assert "seconds" not in answer.json()["certificate"]


def test_lengths_are_shown_in_the_unit_of_the_order_and_in_millimetres(
    client: httpx.Client,
) -> None:
    order = ten_doors()
    order["openings"][0]["size"] = {"width": "36 1/2 in", "height": "2032 mm"}
    piece = send(client, order).json()["openings"][0]
    assert piece["width"] == {"text": "36 1/2 in", "mm": "927.1"}
    assert piece["height"] == {"text": "80 in", "mm": "2032"}


def test_a_decimal_number_is_read_exactly(client: httpx.Client) -> None:
    # 0.1 in is 2.54 mm exactly; as a binary float it would be a hair more, and refused.
    order = ten_doors(kerf=0)
    body = json.dumps(order).replace('"kerf": 0', '"kerf": 0.1')
    answer = client.post("/v1/plans", content=body, headers=JSON)
    assert answer.status_code == 200
    order["openings"][0]["size"] = {"width": 36, "height": 80}
    text = json.dumps(order).replace('"width": 36', '"width": 36.1')
    opening = client.post("/v1/plans", content=text, headers=JSON).json()["openings"][0]
    # 36.1 × 25.4 = 916.94 by hand.
    assert opening["width"] == {"text": "36.1 in", "mm": "916.94"}


def test_a_shorthand_that_is_easily_misread_is_noticed(client: httpx.Client) -> None:
    order = ten_doors()
    order["openings"][0]["size"] = "21068"
    plan = send(client, order).json()
    opening = plan["openings"][0]
    # 2'-10" × 6'-8" = 34 × 80 in.
    assert (opening["width"]["text"], opening["height"]["text"]) == ("34 in", "80 in")
    codes = [notice["code"] for notice in plan["notices"]]
    assert codes.count("size-read-with-care") == 1
    takeoff = client.post("/v1/takeoffs", json=order).json()
    told = [notice for notice in plan["notices"] if notice["code"] == "size-read-with-care"]
    assert told[0] in takeoff["notices"]


def test_a_price_of_zero_is_taken_and_noticed(client: httpx.Client) -> None:
    order = ten_doors(allow_kits=False)
    order["catalogues"][0]["fastener_packs"][0]["price"] = "0"
    answer = send(client, order)
    assert answer.status_code == 200
    notices = {notice["code"]: notice for notice in answer.json()["notices"]}
    assert notices["price-of-zero"]["facts"]["sku"] == "LN-01"


def test_a_takeoff_needs_no_catalogue(client: httpx.Client) -> None:
    order = ten_doors()
    del order["catalogues"]
    answer = client.post("/v1/takeoffs", content=json.dumps(order), headers=JSON)
    assert answer.status_code == 200
    takeoff = answer.json()
    # 3 × 80 in + 2 × 36 in = 312 in; at 3 in 104 nails: common practice, no source.
    opening = takeoff["openings"][0]
    assert opening["running_length"]["text"] == "312 in"
    assert opening["fasteners"][0]["by_running_length"] == 104
    assert takeoff["fasteners"][0]["needed"] == 1040


def test_a_takeoff_comes_as_text(client: httpx.Client) -> None:
    answer = client.post(
        "/v1/takeoffs", content=json.dumps(ten_doors()), headers={**JSON, "accept": "text/plain"}
    )
    assert answer.status_code == 200
    assert "D-01" in answer.text


def test_a_pair_without_meeting_stiles_says_so(client: httpx.Client) -> None:
    order = ten_doors()
    order["openings"] = [
        {"mark": "P-1", "kind": "pair-of-doors", "size": {"width": 72, "height": 80},
         "finish": "zinc"}
    ]  # fmt: skip
    takeoff = client.post("/v1/takeoffs", content=json.dumps(order), headers=JSON).json()
    assert takeoff["openings"][0]["runs"] == 4
    # 2 × 80 + 72 + 2 × 36 = 304 in without meeting stiles; trade's count of four runs.
    assert takeoff["openings"][0]["running_length"]["text"] == "304 in"
    notice = next(n for n in takeoff["notices"] if n["code"] == "meeting-stiles-by-others")
    assert notice["marks"] == ["P-1"]
    assert notice["facts"] == {"height": {"text": "80 in", "mm": "2032"}, "offered": True}


def test_rule_sets_are_listed_and_each_can_be_read(client: httpx.Client) -> None:
    listed = client.get("/v1/rule-sets").json()["rule_sets"]
    assert "interlocking-strip" in {rule_set["id"] for rule_set in listed}
    for summary in listed:
        read = client.get(f"/v1/rule-sets/{summary['id']}").json()
        assert {name: read[name] for name in summary} == summary
        assert read["rules"]


def test_every_rule_states_its_source(client: httpx.Client) -> None:
    rules = client.get("/v1/rule-sets/interlocking-strip").json()["rules"]
    assert len(rules) > 10
    assert all(rule["source"] for rule in rules)
