"""Studies over HTTP: at once, as jobs, of kept plans, with what is kept put in."""

import csv
import json
import time
from io import StringIO
from typing import Any

import pytest

from tests.store.serving import two_tenants
from tests.store.test_jobs import CATALOGUE, EXAMPLES, LATER, TEN_DOORS, wait_for

STUDY = json.loads((EXAMPLES / "ten-doors-study.json").read_text(encoding="utf-8"))
PACK = "/catalogues/0/fastener_packs/0/price"


def test_a_study_is_answered_at_once_and_as_a_job_alike(store_url: str) -> None:
    with two_tenants(store_url, solves=True) as service:
        row = service.row
        at_once = row.post("/v1/studies", json=STUDY)
        assert at_once.status_code == 200, at_once.text
        study = at_once.json()
        assert (len(study["rows"]), study["planned"], study["proved"]) == (24, 24, 24)
        # By hand: ten bare kits at 42.13 and 16 loose packs at 0.50.
        assert study["rows"][0]["cost"] == "429.30"
        assert study["base"]["cost"] == "459.70"
        (found,) = study["break_evens"]
        # By hand: four packs in a kit cost 9.60 more than the bare kit, which is 2.40 each.
        (flip,) = found["flips"]
        assert (flip["low"], flip["high"], flip["even"], found["complete"]) == (
            "2.40",
            "2.41",
            True,
            True,
        )
        assert [(b["sku"], b["quantity"]) for b in flip["below"]] == [("LK-Z", 10), ("LN-01", 16)]
        assert [one["swing"] for one in study["ranking"]] == [
            "54.10",
            "25.40",
            "16.80",
            "12.05",
            "4.16",
        ]
        accepted = row.post("/v1/studies", json=STUDY, headers=LATER)
        assert (accepted.status_code, accepted.json()["kind"]) == (202, "study")
        job = wait_for(row, accepted.headers["location"])
        assert (job["status"], job["plan_id"]) == ("finished", None)
        # 24 points, one break-even, five inputs; a job that is done at once tells of none.
        assert (job["progress"] or {"points": 30})["points"] == 30
        kept = row.get(job["study"])
        assert kept.json() == study
        table = row.get(job["study"], headers={"accept": "text/csv"})
        records = list(csv.DictReader(StringIO(table.text)))
        assert [r["cost"] for r in records[:2]] == ["459.70", "429.30"]
        text = row.get(job["study"], headers={"accept": "text/plain"}).text
        assert text.startswith("Study of an order that costs USD 459.70, proved to be the least.")
        (listed,) = row.get("/v1/studies").json()["entries"]
        assert (listed["id"], listed["points"], listed["proved"]) == (job["study_id"], 24, True)
        assert service.quay.get(job["study"]).status_code == 404
        assert service.quay.get("/v1/studies").json() == {"entries": []}


def test_a_study_of_a_kept_plan_and_of_a_kept_catalogue(store_url: str) -> None:
    with two_tenants(store_url, solves=True) as service:
        row = service.row
        row.post("/v1/catalogues", json=CATALOGUE)
        plan = wait_for(
            row, row.post("/v1/plans", json=TEN_DOORS, headers=LATER).headers["location"]
        )
        asked: dict[str, Any] = {
            "plan_id": plan["plan_id"],
            "scenarios": [
                {"name": "as kept", "patch": {"catalogues": [{"stored": "larkmoor"}]}},
                {"name": "dear packs", "values": {PACK: "9.00"}},
            ],
        }
        study = row.post("/v1/studies", json=asked).json()
        assert study["base"]["cost"] == "459.70"
        assert [r["outcome"] for r in study["rows"]] == ["planned", "planned"]
        offer = {"name": "kept", "catalogues": [{"stored": "larkmoor"}]}
        asked["questions"] = [{"question": "other-catalogue", "offers": [offer]}]
        study = row.post("/v1/studies", json=asked).json()
        assert study["answers"][0]["cheapest"] == "kept"
        assert study["rows"][2]["cost"] == study["rows"][0]["cost"]
        offer["catalogues"] = [{"stored": "elsewhere"}]
        asked["scenarios"][0]["patch"]["catalogues"][0]["stored"] = "nowhere"
        asked["plan_id"] = "0" * 32
        refused = row.post("/v1/studies", json=asked)
        assert refused.status_code == 422
        assert [(f["pointer"], f["code"]) for f in refused.json()["faults"]] == [
            ("/plan_id", "unknown-plan"),
            ("/scenarios/0/patch/catalogues/0/stored", "unknown-stored"),
            ("/questions/0/offers/0/catalogues/0/stored", "unknown-stored"),
        ]


def test_a_long_study_tells_of_its_points_and_is_cancelled(store_url: str) -> None:
    prices = {"pointer": PACK, "range": {"first": "0.01", "last": "90.00", "step": "0.01"}}
    with two_tenants(store_url, solves=True) as service:
        row = service.row
        asked = {"order": TEN_DOORS, "axes": [prices], "time_limit_seconds": 600}
        accepted = row.post("/v1/studies", json=asked)
        # More points than are answered at once.
        assert accepted.status_code == 202
        place, deadline = accepted.headers["location"], time.monotonic() + 60
        while not (job := row.get(place).json())["progress"] or not job["progress"]["points_done"]:
            assert job["status"] in {"queued", "running"}, job
            assert time.monotonic() < deadline, job
            time.sleep(0.2)
        assert job["progress"]["phase"] == "studying"
        assert 0 < job["progress"]["points_done"] < job["progress"]["points"] == 9_000
        assert row.post(f"{place}/cancellation").status_code == 202
        assert wait_for(row, place)["status"] == "cancelled"
        assert row.get("/v1/studies").json() == {"entries": []}


def test_a_study_may_not_take_longer_than_the_service_allows(store_url: str) -> None:
    with two_tenants(store_url, longest_study_seconds=60) as service:
        asked = {"order": TEN_DOORS, "scenarios": [{"name": "a"}], "time_limit_seconds": 61}
        refused = service.row.post("/v1/studies", json=asked)
        assert refused.status_code == 422
        (fault,) = refused.json()["faults"]
        assert (fault["pointer"], fault["code"]) == ("/time_limit_seconds", "time-limit-too-long")


@pytest.mark.parametrize(
    ("body", "places"),
    [
        ({"order": TEN_DOORS}, [("", "nothing-asked")]),
        (
            {"order": TEN_DOORS, "plan_id": "1", "scenarios": [{"name": "a"}]},
            [("/plan_id", "order-or-plan")],
        ),
        ({"scenarios": [{"name": "a"}]}, [("/order", "no-order")]),
        (
            {"order": {**TEN_DOORS, "openings": []}, "scenarios": [{"name": "a"}]},
            [("/order/openings", "number-of-entries")],
        ),
    ],
)
def test_a_study_that_cannot_be_read_is_refused_with_every_fault(
    store_url: str, body: Any, places: list[tuple[str, str]]
) -> None:
    with two_tenants(store_url) as service:
        refused = service.row.post("/v1/studies", json=body)
        assert refused.status_code == 422
        assert [(f["pointer"], f["code"]) for f in refused.json()["faults"]] == places


def test_a_base_that_nothing_can_serve_is_refused_with_its_place(store_url: str) -> None:
    with two_tenants(store_url, solves=True) as service:
        policy = {"allow_kits": False, "allow_cutting": False}
        asked = {"order": {**TEN_DOORS, "policy": policy}, "scenarios": [{"name": "a"}]}
        refused = service.row.post("/v1/studies", json=asked)
        assert (refused.status_code, refused.json()["code"]) == (422, "no-plan")
        assert refused.json()["faults"][0]["pointer"].startswith("/order/")
