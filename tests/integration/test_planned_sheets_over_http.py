"""Install sheets of a plan over HTTP and by the command. Orders and prices are invented."""

import json
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.command_line import main

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
PATH = "/v1/planned-install-sheets"


def spliced_jambs() -> dict[str, Any]:
    stated: dict[str, Any] = json.loads(
        (EXAMPLES / "spliced-jambs.json").read_text(encoding="utf-8")
    )
    return stated


def test_sheets_of_the_plan_are_the_example_in_both_forms(client: httpx.Client) -> None:
    answer = client.post(PATH, json=spliced_jambs())
    assert answer.status_code == 200, answer.text
    assert "solve;dur=" in answer.headers["server-timing"]
    shown = (EXAMPLES / "spliced-jambs.install.json").read_text(encoding="utf-8")
    assert answer.json() == json.loads(shown)
    text = client.post(PATH, json=spliced_jambs(), headers={"accept": "text/plain"}).text
    shown_text = (EXAMPLES / "spliced-jambs.install.txt").read_text(encoding="utf-8")
    assert text == shown_text


def test_command_writes_the_same(tmp_path: Path) -> None:
    written = tmp_path / "sheets.txt"
    order = str(EXAMPLES / "spliced-jambs.json")
    assert main(["planned-install-sheets", order, "-o", str(written)]) == 0
    shown = (EXAMPLES / "spliced-jambs.install.txt").read_text(encoding="utf-8")
    assert written.read_text(encoding="utf-8") == shown


def test_splices_are_those_of_the_plan(client: httpx.Client) -> None:
    plan = client.post("/v1/plans", json=spliced_jambs()).json()
    cut = {
        (opening["mark"], line["edge"], line["member"], line["length"]["mm"]): line["pieces"]
        for opening in plan["openings"]
        for line in opening["cut_list"]
        if line["segment_of"] is not None
    }
    answer = client.post(PATH, json=spliced_jambs()).json()
    laid = {
        (sheet["mark"], piece["edge"], piece["member"], segment["mm"]): spliced["pieces"]
        for sheet in answer["sheets"]
        for piece in sheet["pieces"]
        for spliced in piece["spliced"]
        for segment in spliced["segments"]
    }
    assert laid == cut != {}
    assert [sheet["supplies"] for sheet in answer["sheets"]] == [
        opening["supplies"] for opening in plan["openings"]
    ]


def test_fits_are_shown_beside_the_splices(client: httpx.Client) -> None:
    fits = json.loads((EXAMPLES / "front-doors.json").read_text(encoding="utf-8"))["fits"]
    order = spliced_jambs() | {"fits": [fits[0] | {"marks": ["D-31"]}]}
    first, second = client.post(PATH, json=order).json()["sheets"]
    assert first["fit"]["groove"]
    assert second["fit"] is None


def test_every_fault_is_told_before_anything_is_planned(client: httpx.Client) -> None:
    order = spliced_jambs()
    order["openings"][0]["rule_set"] = "no-such-set"
    order["openings"][1]["lower_height"] = 30
    order["catalogues"][0]["stock_lengths"][0]["sku"] = "LK-Z"
    answer = client.post(PATH, json=order)
    assert answer.status_code == 422
    assert {(fault["pointer"], fault["code"]) for fault in answer.json()["faults"]} == {
        ("/openings/0/rule_set", "unknown-rule-set"),
        ("/openings/1/lower_height", "option-does-not-apply"),
        ("/catalogues/0/kits/0/sku", "repeated-sku"),
    }


def test_faults_of_fits_are_told_in_place(client: httpx.Client) -> None:
    order = spliced_jambs() | {
        "fits": [
            json.loads((EXAMPLES / "front-doors.json").read_text(encoding="utf-8"))["fits"][0]
            | {"marks": ["D-99"]}
        ]
    }
    answer = client.post(PATH, json=order)
    assert answer.status_code == 422
    assert [(fault["pointer"], fault["code"]) for fault in answer.json()["faults"]] == [
        ("/fits/0/marks/0", "unknown-mark")
    ]


def test_an_order_that_nothing_can_serve_is_refused(client: httpx.Client) -> None:
    order = spliced_jambs()
    del order["policy"]["splices"]
    answer = client.post(PATH, json=order)
    assert answer.status_code == 422
    assert answer.json()["code"] == "no-plan"
    assert "100 in" in answer.json()["faults"][0]["message"]


@pytest.mark.parametrize("member", ["catalogues", "openings"])
def test_an_order_to_plan_needs_both(client: httpx.Client, member: str) -> None:
    order = spliced_jambs()
    del order[member]
    answer = client.post(PATH, json=order)
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["pointer"] == f"/{member}"
