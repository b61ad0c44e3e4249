"""Purchase orders over HTTP and by the command. Orders and prices are invented."""

import io
import json
import zipfile
from decimal import Decimal
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.command_line import main
from tests.ubl import hold_it_adds_up, read_ubl

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
PATH = "/v1/purchase-orders"


def example(name: str) -> Any:
    return json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))


def two_suppliers() -> dict[str, Any]:
    """Return an order that needs both suppliers: one sells strip alone, the other nails alone."""
    order = example("ten-doors-to-order")
    (catalogue,) = order["catalogues"]
    packs = catalogue.pop("fastener_packs")
    catalogue["kits"] = []
    order["catalogues"].append(
        {"supplier": "Larkmoor Trade Counter", "currency": "USD", "fastener_packs": packs}
    )
    return {**order, "openings": [order["openings"][0] | {"quantity": 1}]}


def test_the_orders_are_the_example_and_the_one_order_comes_as_xml(client: httpx.Client) -> None:
    answer = client.post(PATH, json=example("ten-doors-to-order"))
    assert answer.status_code == 200, answer.text
    assert "solve;dur=" in answer.headers["server-timing"]
    shown = example("ten-doors-to-order.orders")
    assert answer.json() == shown
    sent = example("ten-doors-to-order")
    alone = client.post(PATH, json=sent, headers={"accept": "application/xml"})
    assert alone.headers["content-type"].startswith("application/xml")
    assert alone.content.decode() == shown["purchase_orders"][0]["xml"]
    hold_it_adds_up(read_ubl(alone.content), Decimal("459.70"))


def test_orders_to_several_suppliers_come_as_an_archive_and_not_as_one_xml(
    client: httpx.Client,
) -> None:
    answer = client.post(PATH, json=two_suppliers())
    assert answer.status_code == 200, answer.text
    listed = answer.json()["purchase_orders"]
    assert [o["order_id"] for o in listed] == ["HR-2027-114-1", "HR-2027-114-2"]
    payable = sum(Decimal(order["payable"]) for order in listed)
    assert payable == Decimal(answer.json()["payable"])
    packed = client.post(PATH, json=two_suppliers(), headers={"accept": "application/zip"})
    with zipfile.ZipFile(io.BytesIO(packed.content)) as archive:
        assert archive.namelist() == [order["file_name"] for order in listed]
        for order in listed:
            content = archive.read(order["file_name"])
            assert content.decode() == order["xml"]
            hold_it_adds_up(read_ubl(content), Decimal(order["payable"]))
    refused = client.post(PATH, json=two_suppliers(), headers={"accept": "application/xml"})
    assert refused.status_code == 406
    assert refused.json()["detail"] == (
        "The plan buys from 2 suppliers, and application/xml holds one order; accept "
        "application/json or application/zip."
    )


def test_every_fault_of_order_and_ordering_is_told_before_anything_is_planned(
    client: httpx.Client,
) -> None:
    sent = example("ten-doors-to-order")
    sent["openings"][0]["rule_set"] = "no-such-set"
    sent["ordering"]["issue_date"] = "2027-02-30"
    sent["ordering"]["buyer"]["address"]["country"] = "QQ"
    sent["ordering"]["suppliers"][0]["supplier"] = "Elsewhere"
    answer = client.post(PATH, json=sent)
    assert answer.status_code == 422
    assert {(fault["pointer"], fault["code"]) for fault in answer.json()["faults"]} == {
        ("/openings/0/rule_set", "unknown-rule-set"),
        ("/ordering/issue_date", "no-such-day"),
        ("/ordering/buyer/address/country", "unknown-country"),
        ("/ordering/suppliers/0/supplier", "unknown-supplier"),
    }


def test_faults_of_form_are_told_with_the_place_of_their_value(client: httpx.Client) -> None:
    sent = example("ten-doors-to-order")
    del sent["ordering"]["buyer"]["name"]
    sent["ordering"]["delivery"]["latest"] = "soon"
    answer = client.post(PATH, json=sent)
    assert answer.status_code == 422
    assert {(fault["pointer"], fault["code"]) for fault in answer.json()["faults"]} == {
        ("/ordering/buyer/name", "missing"),
        ("/ordering/delivery/latest", "wrong-form"),
    }


def test_command_writes_the_order_from_one_file_or_from_two(tmp_path: Path) -> None:
    shown = example("ten-doors-to-order.orders")["purchase_orders"][0]["xml"]
    one, two = tmp_path / "one.xml", tmp_path / "two.zip"
    whole = str(EXAMPLES / "ten-doors-to-order.json")
    assert main(["purchase-order", whole, "--to", str(one)]) == 0
    assert one.read_text(encoding="utf-8") == shown
    ordering = str(EXAMPLES / "harbour-row-ordering.json")
    bare = str(EXAMPLES / "ten-doors.json")
    assert main(["purchase-order", bare, "--ordering", ordering, "--to", str(two)]) == 0
    with zipfile.ZipFile(two) as archive:
        assert archive.read("HR-2027-114.xml").decode() == shown


def test_command_refuses_one_xml_for_two_suppliers(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    order = tmp_path / "order.json"
    order.write_text(json.dumps(two_suppliers()), encoding="utf-8")
    with pytest.raises(SystemExit) as refused:
        main(["purchase-order", str(order), "--to", str(tmp_path / "order.xml")])
    assert refused.value.code == 2
    assert "holds one order, and the plan has more or none; use FILE.zip" in capsys.readouterr().err
    assert not (tmp_path / "order.xml").exists()
