"""Install sheets, measurement sheets and reading checks, over HTTP and by the command.

Harbour Row and its orders are invented.
"""

import json
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.command_line import main
from service.wire import limits

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
EXAMPLE = pytest.mark.parametrize(
    ("path", "command", "inputs", "answer"),
    [
        ("/v1/install-sheets", "install-sheets", "front-doors", "front-doors.install"),
        (
            "/v1/measurement-sheets",
            "measurement-sheets",
            "rooms-to-measure",
            "rooms-to-measure.measure",
        ),
        ("/v1/reading-checks", "check-readings", "window-readings", "window-readings.check"),
    ],
)


def example(name: str) -> dict[str, Any]:
    stated: dict[str, Any] = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))
    return stated


def faults_of(answer: httpx.Response) -> set[tuple[str, str]]:
    assert answer.status_code == 422, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    assert answer.json()["code"] == "invalid-order"
    return {(fault["pointer"], fault["code"]) for fault in answer.json()["faults"]}


@EXAMPLE
def test_example_is_answered_as_shown(
    client: httpx.Client, path: str, command: str, inputs: str, answer: str
) -> None:
    body = (EXAMPLES / f"{inputs}.json").read_bytes()
    headers = {"content-type": "application/json"}
    assert client.post(path, content=body, headers=headers).json() == example(answer)
    text = client.post(path, content=body, headers={**headers, "accept": "text/plain"}).text
    assert text == (EXAMPLES / f"{answer}.txt").read_text(encoding="utf-8")


@EXAMPLE
def test_command_writes_the_same(
    capsysbinary: pytest.CaptureFixture[bytes], path: str, command: str, inputs: str, answer: str
) -> None:
    assert main([command, str(EXAMPLES / f"{inputs}.json")]) == 0
    assert capsysbinary.readouterr().out == (EXAMPLES / f"{answer}.txt").read_bytes()
    assert main([command, "--json", str(EXAMPLES / f"{inputs}.json")]) == 0
    assert json.loads(capsysbinary.readouterr().out) == example(answer)


@EXAMPLE
def test_faults_of_the_order_are_told_as_for_a_takeoff(
    client: httpx.Client, path: str, command: str, inputs: str, answer: str
) -> None:
    order = example(inputs)
    order["openings"][0] |= {"quantity": 0, "rule_set": "ribbon"}
    wanted = {("/openings/0/quantity", "out-of-range")}
    assert wanted <= faults_of(client.post(path, json=order))


def test_positions_of_a_sheet_add_up_to_the_count_of_the_takeoff(client: httpx.Client) -> None:
    order = example("front-doors")
    sheets = client.post("/v1/install-sheets", json=order).json()["sheets"]
    del order["fits"]
    openings = client.post("/v1/takeoffs", json=order).json()["openings"]
    for sheet, taken in zip(sheets, openings, strict=True):
        assert sheet["mark"] == taken["mark"]
        placed = sum(piece["count"] * len(piece["positions"]) for piece in sheet["pieces"])
        assert placed == sum(count["per_piece"] for count in taken["fasteners"])
        assert placed == sum(count["at_positions"] for count in sheet["fasteners"])
        assert [piece["length"] for piece in sheet["pieces"]] == [
            piece["length"] for piece in taken["pieces"]
        ]


def test_only_the_marks_of_a_fit_have_cuts(client: httpx.Client) -> None:
    sheets = client.post("/v1/install-sheets", json=example("front-doors")).json()["sheets"]
    assert [sheet["fit"] is not None for sheet in sheets] == [True, False, False]
    fit = sheets[0]["fit"]
    # The strip is the longest piece, 80 1/8 in; the leaf 79 3/4 in high.
    (grown,) = fit["checks"][0]["movements"]
    assert grown["lengths"][0]["length"]["text"] == "80 1/8 in"
    assert fit["checks"][2]["movements"][0]["lengths"][0]["length"]["text"] == "79 3/4 in"


def test_every_fault_of_the_fits_is_told_at_its_place(client: httpx.Client) -> None:
    order = example("front-doors")
    (fit,) = order["fits"]
    order["openings"].append(
        {"mark": "W-09", "kind": "fixed-window", "size": "30 x 40", "finish": "zinc"}
    )
    order["fits"] = [
        fit | {"marks": ["D-01", "D-99"], "leaf_thickness": "thick"},
        fit | {"marks": ["D-01", "W-09"]},
    ]
    assert faults_of(client.post("/v1/install-sheets", json=order)) == {
        ("/fits/0/marks/1", "unknown-mark"),
        ("/fits/0/leaf_thickness", "unreadable-length"),
        ("/fits/1/marks/0", "repeated-mark"),
        ("/fits/1/marks/1", "no-leaf"),
    }
    profile = fit["profile"] | {"rib": "1/2"}
    order["fits"] = [fit | {"marks": ["D-01", "P-01"], "profile": profile}]
    assert faults_of(client.post("/v1/install-sheets", json=order)) == {
        ("/fits/0/profile/rib", "section-impossible")
    }


def test_spacing_without_end_is_refused_before_anything_is_placed(client: httpx.Client) -> None:
    order = example("front-doors")
    order["openings"][0]["fastener_spacing"] = "0.000001 mm"
    answer = client.post("/v1/install-sheets", json=order)
    assert faults_of(answer) == {("/openings", "too-many-fasteners")}
    assert answer.json()["detail"].endswith("above the limit of 200,000; split the order.")


@pytest.mark.parametrize("path", ["/v1/install-sheets", "/v1/measurement-sheets"])
def test_sheets_are_limited_by_marks(client: httpx.Client, path: str) -> None:
    window = {"kind": "fixed-window", "size": "30 x 40", "finish": "zinc"}
    marks = [window | {"mark": f"W-{number}"} for number in range(limits.SHEETS + 1)]
    answer = client.post(path, json={"openings": marks})
    assert faults_of(answer) == {("/openings", "too-many-sheets")}
    assert answer.json()["detail"] == (
        "There are 2,001 marks, each with a sheet of its own, above the limit of 2,000; split the "
        "order."
    )


def test_readings_need_their_opening(client: httpx.Client) -> None:
    order = example("window-readings")
    first = order["readings"][0]
    order["readings"] = [
        first,
        first,
        first | {"mark": "W-99"},
        first | {"number": 3},
        first | {"number": 2, "second": {"width-top": "wide"}},
    ]
    assert faults_of(client.post("/v1/reading-checks", json=order)) == {
        ("/readings/1", "repeated-reading"),
        ("/readings/2/mark", "unknown-mark"),
        ("/readings/3/number", "no-such-opening"),
        ("/readings/4/second/width-top", "unreadable-length"),
    }


def test_limits_of_a_check_are_the_users(client: httpx.Client) -> None:
    order = example("window-readings")
    order["limits"] = {"between_readings": "1/8", "between_diagonals": "3/16"}
    checks = client.post("/v1/reading-checks", json=order).json()["checks"]
    assert [check["may_be_cut"] for check in checks] == [True, True]
    order["limits"] = {"from_order": 0, "between_readings": 1, "between_diagonals": 1}
    first, second = client.post("/v1/reading-checks", json=order).json()["checks"]
    assert {finding["code"] for finding in first["findings"]} == {"not-as-ordered"}
    assert second["findings"] == [
        {
            "code": "not-as-ordered",
            "reading": 2,
            "measurements": ["height-left"],
            "lengths": [
                {"text": "40 1/32 in", "mm": "1016.79375"},
                {"text": "40 in", "mm": "1016"},
            ],
            "difference": {"text": "1/32 in", "mm": "0.79375"},
            "limit": {"text": "0 in", "mm": "0"},
            "sentence": "Reading 2: height left is 40 1/32 in, the order gives 40 in: 1/32 in "
            "apart, above the limit of 0 in. Mend the order before anything is bought for it.",
        }
    ]


def test_a_nominal_leaf_that_is_smaller_on_site_is_caught(client: httpx.Client) -> None:
    # A nominal 3-0 leaf can be 35 13/16 in (dcihollowmetal.com, FAQ): without the setting the
    # order takes it for 36.
    door = {"mark": "D-01", "kind": "single-door", "size": "3068", "size_of": "nominal",
            "finish": "zinc"}  # fmt: skip
    order: dict[str, Any] = {
        "openings": [door],
        "readings": [
            {
                "mark": "D-01",
                "first": {"leaf-width": "35 13/16"},
                "second": {"leaf-width": "35 13/16"},
            }
        ],
    }

    def codes() -> set[str]:
        (check,) = client.post("/v1/reading-checks", json=order).json()["checks"]
        return {finding["code"] for finding in check["findings"]} - {"not-measured"}

    assert codes() == {"not-as-ordered"}
    order["policy"] = {"clearances": {"nominal_width": "3/16"}}
    assert codes() == set()


@pytest.mark.parametrize("path", ["/v1/install-sheets", "/v1/measurement-sheets"])
def test_clearances_that_leave_nothing_are_refused(client: httpx.Client, path: str) -> None:
    # Only the head is worked on, so that no piece hangs on the height.
    door = {"mark": "D-01", "kind": "single-door", "size": "3068", "size_of": "nominal",
            "finish": "zinc", "edges": ["head"]}  # fmt: skip
    order = {"openings": [door], "policy": {"clearances": {"nominal_height": "81 in"}}}
    answer = client.post(path, json=order)
    assert faults_of(answer) == {("/openings/0/size", "nothing-left")}
    assert answer.json()["faults"][0]["message"] == (
        "Opening D-01: by the clearances the opening height is -1 in; correct them, or the size."
    )


def test_rule_sets_of_your_own_serve_the_site_too(
    client: httpx.Client, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    brought = example("own-rule-set")
    order = {"openings": brought["openings"][:1], "rule_sets": brought["rule_sets"]}
    sheet = client.post("/v1/install-sheets", json=order).json()["sheets"][0]
    step = "Trim each head member to the frame before the jamb members are fastened."
    assert sheet["steps"][0]["statement"] == step
    del order["rule_sets"]
    path = tmp_path / "order.json"
    path.write_text(json.dumps(order), encoding="utf-8")
    file = str(EXAMPLES / "harbour-row-strip.toml")
    assert main(["install-sheets", str(path), "--rule-sets", file]) == 0
    assert f"1. {step}" in capsys.readouterr().out.replace("\n   ", " ")
    assert main(["measurement-sheets", str(path)]) == 3
    assert "harbour-row-strip" in capsys.readouterr().err
