"""Bench sheets over HTTP and by the command. Orders and prices are invented."""

import json
from pathlib import Path

import httpx
import pytest

from service.command_line import main
from tests.harbour_row import ten_doors

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
MIXED = (EXAMPLES / "mixed-openings.json").read_bytes()


def send(client: httpx.Client, body: bytes, path: str, accept: str) -> httpx.Response:
    headers = {"content-type": "application/json", "accept": accept}
    return client.post(path, content=body, headers=headers)


def test_bench_sheets_are_the_example_in_both_forms(client: httpx.Client) -> None:
    for accept, ending in (("application/json", "json"), ("text/plain", "txt")):
        answer = send(client, MIXED, "/v1/bench-sheets", accept)
        assert answer.status_code == 200, answer.text
        assert answer.headers["vary"] == "Accept"
        shown = (EXAMPLES / f"mixed-openings.bench.{ending}").read_text(encoding="utf-8")
        if ending == "json":
            assert answer.json() == json.loads(shown)
        else:
            assert answer.text == shown


def test_bench_sheets_are_of_the_same_plan(client: httpx.Client) -> None:
    plan = send(client, MIXED, "/v1/plans", "application/json").json()
    sheets = send(client, MIXED, "/v1/bench-sheets", "application/json").json()
    assert [(d["pattern"], d["sku"], d["bars"]) for d in sheets["diagrams"]] == [
        (p["name"], p["sku"], p["bars"]) for p in plan["patterns"]
    ]
    bought = {
        line["sku"]: line["quantity"]
        for line in plan["purchases"]
        if line["kind"] == "stock-length"
    }
    assert {pull["sku"]: pull["bars"] for pull in sheets["bars"]} == bought
    wanted = {
        opening["mark"]: [(line["label"], line["pieces"]) for line in opening["cut_list"]]
        for opening in plan["openings"]
    }
    assert {
        opening["mark"]: [(label["text"][0], label["copies"]) for label in opening["cut_list"]]
        for opening in sheets["openings"]
    } == wanted


def test_an_order_by_kit_alone_has_nothing_to_cut(client: httpx.Client) -> None:
    body = json.dumps(ten_doors()).encode()
    text = send(client, body, "/v1/bench-sheets", "text/plain").text
    assert text.startswith(
        "Bench sheets Harbour Row hotel, first floor\n"
        "Nothing is cut at the bench: every piece comes in a kit.\n"
        "\n"
        "D-01: 10 single doors, opening 36 in × 80 in, zinc\n"
        "    nothing to cut: supplied by kit\n"
    )
    sheets = send(client, body, "/v1/bench-sheets", "application/json").json()
    assert (sheets["bars"], sheets["diagrams"]) == ([], [])
    assert sheets["openings"] == [
        {"mark": "D-01", "quantity": 10, "cut": 0, "cut_list": [], "trim_list": []}
    ]


def test_pieces_of_a_standard_kit_are_trimmed_on_site(client: httpx.Client) -> None:
    order = ten_doors()
    order["openings"][0]["quantity"] = 2
    order["catalogues"][0]["kits"] = []
    order["catalogues"][0]["standard_kits"] = [
        {
            "sku": "LSK-Z",
            "product": "interlocking-strip",
            "finish": "zinc",
            "price": "1",
            "lengths": [{"length": 84, "count": 3}, {"length": 36, "count": 2}],
        }
    ]
    (opening,) = client.post("/v1/bench-sheets", json=order).json()["openings"]
    assert (opening["cut"], opening["cut_list"]) == (0, [])
    assert [(t["label"], t["held"]["text"], t["length"]["text"], t["pieces"])
            for t in opening["trim_list"]][::4] == [
        ("D-01 hinge jamb, jamb member", "84 in", "80 in", 2),
        ("D-01 head, leaf member", "36 in", "36 in", 2),
    ]  # fmt: skip
    text = send(client, json.dumps(order).encode(), "/v1/bench-sheets", "text/plain").text
    assert (
        "    nothing to cut: supplied by kit\n"
        "    2 × D-01 hinge jamb, jamb member\n"
        "        84 in (2133.6 mm) of kit LSK-Z, trim to 80 in (2032 mm) on site\n"
    ) in text
    assert (
        "    2 × D-01 head, leaf member\n        36 in (914.4 mm) of kit LSK-Z, as it is\n"
    ) in text


def test_faults_of_the_order_are_those_of_a_plan(client: httpx.Client) -> None:
    order = ten_doors(kerf="x")
    order["openings"][0]["quantity"] = 0
    problem = client.post("/v1/bench-sheets", json=order)
    assert problem.status_code == 422
    assert {fault["pointer"] for fault in problem.json()["faults"]} == {
        "/openings/0/quantity",
        "/policy/kerf",
    }
    unserved = client.post(
        "/v1/bench-sheets", json=ten_doors(allow_kits=False, allow_cutting=False)
    )
    assert (unserved.status_code, unserved.json()["code"]) == (422, "no-plan")


def test_the_command_writes_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = str(EXAMPLES / "mixed-openings.json")
    output = tmp_path / "bench.txt"
    assert main(["bench-sheets", path, "-o", str(output)]) == 0
    shown = (EXAMPLES / "mixed-openings.bench.txt").read_text(encoding="utf-8")
    assert output.read_text(encoding="utf-8") == shown
    output = tmp_path / "bench.json"
    assert main(["bench-sheets", path, "--json", "-o", str(output)]) == 0
    wanted = json.loads((EXAMPLES / "mixed-openings.bench.json").read_text(encoding="utf-8"))
    assert json.loads(output.read_text(encoding="utf-8")) == wanted
    assert capsys.readouterr().err == ""
