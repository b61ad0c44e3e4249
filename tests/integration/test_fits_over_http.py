"""Fits and pack calibrations over HTTP and by the command. Suppliers and samples are invented."""

import json
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.command_line import main
from tests.harbour_row import ten_doors

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
EXAMPLE = pytest.mark.parametrize(
    ("path", "command", "inputs", "answer"),
    [
        ("/v1/fits", "fit", "door-fit", "door-fit.fit"),
        ("/v1/pack-calibrations", "calibrate-pack", "nail-samples", "nail-samples.calibration"),
    ],
)


def door_fit(**changes: Any) -> dict[str, Any]:
    stated: dict[str, Any] = json.loads((EXAMPLES / "door-fit.json").read_text(encoding="utf-8"))
    return stated | changes


def refused(answer: httpx.Response) -> dict[str, Any]:
    assert answer.status_code == 422, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    problem: dict[str, Any] = answer.json()
    assert problem["code"] == "invalid-inputs"
    return problem


@EXAMPLE
def test_example_is_answered_as_shown(
    client: httpx.Client, path: str, command: str, inputs: str, answer: str
) -> None:
    body = (EXAMPLES / f"{inputs}.json").read_bytes()
    headers = {"content-type": "application/json"}
    shown = (EXAMPLES / f"{answer}.json").read_text(encoding="utf-8")
    assert client.post(path, content=body, headers=headers).json() == json.loads(shown)
    text = client.post(path, content=body, headers={**headers, "accept": "text/plain"}).text
    assert text == (EXAMPLES / f"{answer}.txt").read_text(encoding="utf-8")


@EXAMPLE
def test_command_writes_the_same(
    capsysbinary: pytest.CaptureFixture[bytes], path: str, command: str, inputs: str, answer: str
) -> None:
    assert main([command, str(EXAMPLES / f"{inputs}.json")]) == 0
    assert capsysbinary.readouterr().out == (EXAMPLES / f"{answer}.txt").read_bytes()
    assert main([command, "--json", str(EXAMPLES / f"{inputs}.json")]) == 0
    shown = json.loads((EXAMPLES / f"{answer}.json").read_text(encoding="utf-8"))
    assert json.loads(capsysbinary.readouterr().out) == shown


@EXAMPLE
def test_what_cannot_be_read_is_refused(
    client: httpx.Client, path: str, command: str, inputs: str, answer: str
) -> None:
    for body, status, code in ((b"{", 400, "malformed-json"), (b"[]", 422, "invalid-inputs")):
        refusal = client.post(path, content=body, headers={"content-type": "application/json"})
        assert (refusal.status_code, refusal.json()["code"]) == (status, code)
    assert refusal.json()["detail"] == "The request: an array of 0 is not an object; send one."
    assert client.post(path, content=b"{}").status_code == 415
    assert client.post(path, json={}, headers={"accept": "image/png"}).status_code == 406


def test_worked_values_of_the_section_come_out(client: httpx.Client) -> None:
    fit = client.post("/v1/fits", json=door_fit()).json()
    assert fit["groove"]["width"]["length"] == {"text": "0.12 in", "mm": "3.048"}
    assert fit["groove"]["depth"]["length"]["text"] == "0.3305 in"
    assert fit["groove"]["one_pass"]["size"]["text"] == "1/8 in"
    assert fit["groove"]["one_pass"]["clearance_each_side"]["text"] == "0.0145 in"
    assert [bit["size"]["text"] for bit in fit["groove"]["at_or_under"]] == ["3/32 in", "1/16 in"]
    assert fit["rabbet"]["width"]["length"]["text"] == "15/32 in"
    assert [(check["what"], check["enough"]) for check in fit["checks"]] == [
        ("clearance at the strip's ends", False),
        ("gap at the strike", False),
        ("gap at the head", True),
    ]
    assert fit["checks"][1]["left"] == {"text": "-0.00784 in", "mm": "-0.199136"}
    every = [
        fit["groove"]["width"],
        fit["groove"]["depth"],
        fit["rabbet"]["width"],
        fit["rabbet"]["depth"],
        *(movement for check in fit["checks"] for movement in check["movements"]),
    ]
    assert all(one["formula"] and one["lengths"] and one["source"] for one in every)
    assert {caution["code"] for caution in fit["cautions"]} == {
        "fire-rated",
        "old-paint",
        "square-and-plumb",
        "bent-strip",
        "eyes-and-hands",
    }


def test_published_figure_and_own_coefficient_go_first(client: httpx.Client) -> None:
    stated = door_fit()
    stated["profile"]["published"] = {"groove_depth": "3/8", "source": "an invented data sheet"}
    stated["heat"] |= {
        "metal": "nickel silver",
        "degrees": "°C",
        "coldest": "-10",
        "warmest": 40,
        "coefficient": {"value": "16.2", "source": "an invented mill's sheet"},
    }
    fit = client.post("/v1/fits", json=stated).json()
    depth = fit["groove"]["depth"]
    assert (depth["length"]["text"], depth["worked_out"]["text"]) == ("3/8 in", "0.3305 in")
    assert depth["published_by"] == "an invented data sheet"
    # 80 × 16.2 × 50 ÷ 10⁶ = 0.0648 in.
    (grown,) = fit["checks"][0]["movements"]
    assert grown["length"]["text"] == "0.0648 in"
    assert grown["source"] == "an invented mill's sheet"
    assert grown["numbers"][2] == {"name": "coldest", "value": "-10", "unit": "°C"}


def test_every_fault_of_a_fit_is_told_at_its_place(client: httpx.Client) -> None:
    stated = door_fit(leaf_thickness="x")
    stated["heat"] |= {"metal": "lead", "length": None}
    stated["moisture"]["wood"] = "balsa"
    problem = refused(client.post("/v1/fits", json=stated))
    assert {(fault["pointer"], fault["code"]) for fault in problem["faults"]} == {
        ("/leaf_thickness", "unreadable-length"),
        ("/heat/length", "strip-length-missing"),
        ("/heat/metal", "unknown-metal"),
        ("/moisture/wood", "unknown-wood"),
    }
    (metal,) = [f["message"] for f in problem["faults"] if f["code"] == "unknown-metal"]
    assert metal == (
        "heat.metal: there is no metal 'lead'; take one of zinc, brass, bronze, aluminium, or "
        "state a coefficient of your own with its source."
    )
    stated = door_fit()
    stated["profile"]["rib"] = "1/2"
    stated["heat"]["warmest"] = 20
    problem = refused(client.post("/v1/fits", json=stated))
    assert {fault["pointer"] for fault in problem["faults"]} == {"/profile/rib", "/heat/warmest"}


def test_calibrated_contents_go_into_a_catalogue(client: httpx.Client) -> None:
    samples = json.loads((EXAMPLES / "nail-samples.json").read_text(encoding="utf-8"))
    calibrated = client.post("/v1/pack-calibrations", json=samples).json()
    assert calibrated["low_count"] == 63
    order = ten_doors()
    order["catalogues"][0]["fastener_packs"][0]["contents"] = calibrated["contents"]
    plan = client.post("/v1/plans", json=order)
    assert plan.status_code == 200, plan.text
    (nails,) = plan.json()["fasteners"]
    assert {pack["fasteners_each"] for pack in nails["packs"]} <= {63}


def test_every_fault_of_samples_is_told(client: httpx.Client) -> None:
    stated = {
        "pack_weight": "nothing",
        "samples": [{"weight": "1 g", "count": 3}, {"weight": "2 stone", "count": 3}],
    }
    problem = refused(client.post("/v1/pack-calibrations", json=stated))
    assert {(fault["pointer"], fault["code"]) for fault in problem["faults"]} == {
        ("/pack_weight", "unreadable-mass"),
        ("/samples/1/weight", "unreadable-mass"),
    }
    light = {"pack_weight": "1 oz", "samples": [{"weight": "1 g", "count": 3}], "scale_step": "2 g"}
    (fault,) = refused(client.post("/v1/pack-calibrations", json=light))["faults"]
    assert (fault["pointer"], fault["code"]) == ("/samples/0", "sample-under-scale-step")


def test_command_tells_faults_with_its_exit_code(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "fit.json"
    path.write_text(json.dumps(door_fit(leaf_thickness=0)), encoding="utf-8")
    assert main(["fit", str(path)]) == 3
    out, err = capsys.readouterr()
    assert (out, err) == (
        "",
        "/leaf_thickness: leaf_thickness: 0 must be more than 0; correct the length.\n",
    )
