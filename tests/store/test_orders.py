"""Orders through their life, over HTTP."""

import json
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from tests.store.serving import TwoTenants, two_tenants

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
LARKMOOR = "Larkmoor Strip & Seal"


def example(name: str) -> dict[str, Any]:
    return json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))  # type: ignore[no-any-return]


class Order:
    """An order of a tenant, at the revision at which it was last seen."""

    def __init__(self, client: httpx.Client, content: dict[str, Any]) -> None:
        self.client = client
        added = client.post("/v1/orders", json=content)
        assert added.status_code == 201, added.text
        self.place = added.headers["location"]
        self.tag = added.headers["etag"]

    def read(self) -> dict[str, Any]:
        answer = self.client.get(self.place)
        assert answer.status_code == 200
        self.tag = answer.headers["etag"]
        return answer.json()  # type: ignore[no-any-return]

    def send(self, what: str, body: Any = None, method: str = "POST") -> httpx.Response:
        """Send a change of the order as it was last seen."""
        answer = self.client.request(
            method, f"{self.place}{what}", json=body, headers={"if-match": self.tag}
        )
        if answer.is_success and answer.headers.get("location", "").startswith("/v1/jobs/"):
            self.wait(answer.headers["location"])
        elif answer.is_success:
            self.tag = answer.headers["etag"]
        return answer

    def do(self, what: str, body: Any = None, method: str = "POST") -> dict[str, Any]:
        answer = self.send(what, body, method)
        assert answer.is_success, answer.text
        return answer.json()  # type: ignore[no-any-return]

    def wait(self, job: str) -> None:
        until = time.monotonic() + 120
        while (found := self.client.get(job).json())["status"] in {"queued", "running"}:
            assert time.monotonic() < until
            time.sleep(0.1)
        assert found["status"] == "finished", found
        self.read()

    def plan(self) -> dict[str, Any]:
        self.do("/planning")
        order = self.read()
        assert order["state"] == "planned"
        return self.client.get(order["plan"]).json()  # type: ignore[no-any-return]

    def open_lines(self) -> list[dict[str, Any]]:
        """Return units of everything that has not arrived."""
        lines = [line for line in self.read()["lines"] if line["open"]]
        marks = [{"mark": line["made_for"][0]} if line["made_for"] else {} for line in lines]
        return [
            units(line["sku"], line["open"], **mark)
            for line, mark in zip(lines, marks, strict=True)
        ]

    def accept(self) -> dict[str, Any]:
        return self.do("/acceptance", {"plan_id": self.read()["plan_id"]})


def units(sku: str, quantity: int, **further: Any) -> dict[str, Any]:
    return {"supplier": LARKMOOR, "sku": sku, "quantity": quantity, **further}


def lines_of(order: dict[str, Any]) -> dict[tuple[str, tuple[str, ...]], dict[str, Any]]:
    return {(line["sku"], tuple(line["made_for"])): line for line in order["lines"]}


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TwoTenants]:
    store = f"sqlite:///{tmp_path_factory.mktemp('orders')}/kept.sqlite"
    with two_tenants(store, solves=True) as service:
        yield service


def test_an_order_lives_from_draft_to_closed(store_url: str) -> None:
    with two_tenants(store_url, solves=True, webhooks_to_private_addresses=True) as service:
        hook = {"url": "http://127.0.0.1:9999/", "events": []}
        assert service.row.post("/v1/webhooks", json=hook).status_code == 201
        order = Order(service.row, example("harbour-row-order"))
        assert order.read()["state"] == "draft"
        plan = order.plan()
        accepted = order.accept()
        assert (accepted["state_before"], accepted["state_after"]) == ("planned", "accepted")
        bought = {(line["sku"], line["quantity"]) for line in plan["purchases"]}
        assert {(line["sku"], line["open_after"]) for line in accepted["lines"]} == bought
        part = order.do("/deliveries", example("order-delivery"))
        assert part["action"] == "receive-part"
        assert {(x["sku"], x["open_before"], x["open_after"]) for x in part["lines"]} == {
            ("LK-Z-N", 4, 0),
            ("LS-B-084", 5, 0),
        }
        late = order.client.get(f"{order.place}/back-orders").json()
        ready = {opening["mark"]: opening["ready"] for opening in late["openings"]}
        # The four casement windows come as kits with nails; all else waits for something.
        assert list(ready) == ["W-01", "D-02", "D-01", "P-01", "W-02"]
        assert ready == {"W-01": 4, "D-02": 0, "D-01": 0, "P-01": 0, "W-02": 0}
        assert (late["ready"], late["waiting"]) == (4, 12)
        assert order.do("/cuttings", example("order-cutting"))["action"] == "cut"
        too_many = order.send("/returns", {"lines": [units("LS-B-084", 4)]})
        assert too_many.status_code == 422
        assert too_many.json()["faults"][0]["pointer"] == "/lines/0/quantity"
        back = order.do("/returns", example("order-return"))
        # Two bars at 16.76, less 15 % (5.03, half a cent up) and 2.00.
        (credit,) = back["credit"]["suppliers"]
        assert credit == {
            "supplier": LARKMOOR,
            "credit": "33.52",
            "charge": "7.03",
            "total": "26.49",
        }
        rest = order.open_lines()
        assert order.do("/deliveries", {"lines": rest})["state_after"] == "wholly-received"
        assert order.client.get(f"{order.place}/back-orders").json()["late_lines"] == []
        assert order.do("/closing", {})["state_after"] == "closed"
        assert order.read()["allowed"] == []
        refused = order.send("/deliveries", {"lines": rest})
        assert (refused.status_code, refused.json()["code"]) == (409, "not-allowed-now")
        moved = order.client.get(f"{order.place}/movements").json()["entries"]
        assert [m["kind"] for m in moved] == ["delivery", "cutting", "return", "delivery"]
        log = order.client.get("/v1/audit-entries?resource_kind=order&limit=200").json()["entries"]
        assert [entry["action"] for entry in log] == [
            "order-added",
            "planning-asked",
            "planned",
            "accepted",
            "received",
            "cut",
            "returned",
            "received",
            "closed",
        ]
        assert [entry["after"]["state"] for entry in log][2:4] == ["planned", "accepted"]
        told = order.client.get("/v1/webhook-messages").json()["entries"]
        assert sorted(message["event"] for message in told) == [
            "job.finished",
            "order.accepted",
            "order.closed",
            "order.planned",
            "order.received",
            "order.received",
        ]


def test_what_a_plan_takes_from_the_rack_is_taken_when_it_is_accepted(service: TwoTenants) -> None:
    rack = {
        "offcuts": [
            {
                "id": "R-01",
                "product": "interlocking-strip",
                "finish": "zinc",
                "length": "81 in",
                "quantity": 2,
            }
        ],
        "fasteners": [{"fastener": "strip-nail", "count": 300}],
    }
    row = service.row
    kept = row.post("/v1/racks", json={"name": "van", "rack": rack})
    assert kept.status_code == 201
    content = {**example("harbour-row-order"), "rack": "van"}
    first, second = Order(row, content), Order(row, content)
    plan = first.plan()
    second.plan()
    used = {offcut["id"]: offcut["used"] for offcut in plan["offcuts_used"]}
    assert used == {"R-01": 2}
    assert row.get("/v1/racks/van").json()["rack"] == rack
    taken = first.accept()["rack"]
    assert taken["rack"] == "van"
    (offcuts, nails) = taken["entries"]
    assert offcuts == {"kind": "offcut", "name": "R-01", "before": 2, "after": 0}
    assert (nails["kind"], nails["before"]) == ("fasteners", 300)
    left = row.get("/v1/racks/van").json()["rack"]
    assert left.get("offcuts", []) == []
    # The other order was planned with the same offcuts: they are gone now.
    late = second.send("/acceptance", {"plan_id": second.read()["plan_id"]})
    assert (late.status_code, late.json()["code"]) == (409, "rack-changed")
    assert late.json()["faults"][0]["code"] == "rack-short"
    assert second.read()["state"] == "planned"
    withdrawn = first.do("/withdrawal", {"remark": "put off"})
    assert withdrawn["state_after"] == "withdrawn"
    assert row.get("/v1/racks/van").json()["rack"]["offcuts"][0]["quantity"] == 2
    assert second.accept()["state_after"] == "accepted"


def test_what_the_work_leaves_goes_on_the_rack_when_the_order_is_closed(
    service: TwoTenants,
) -> None:
    row = service.row
    assert row.post("/v1/racks", json={"name": "bare", "rack": {}}).status_code == 201
    order = Order(row, {**example("harbour-row-order"), "rack": "bare"})
    plan = order.plan()
    order.accept()
    order.do("/deliveries", {"lines": order.open_lines()})
    (nails,) = order.do("/closing", {})["rack"]["entries"]
    (spare,) = [held["spare"] for held in plan["fasteners"] if held["fastener"] == "strip-nail"]
    assert nails == {"kind": "fasteners", "name": "strip-nail", "before": 0, "after": spare}
    assert _counts(row.get("/v1/racks/bare").json()["rack"]) == {"strip-nail": spare}


def test_a_change_buys_the_difference(service: TwoTenants) -> None:
    order = Order(service.row, example("harbour-row-order"))
    plan = order.plan()
    order.accept()
    order.do("/deliveries", example("order-delivery"))
    changed = example("order-change")
    waiting = order.do("/change", changed, "PUT")
    assert waiting["state"] == "partly-received"
    order.wait(f"/v1/jobs/{waiting['pending_change']['job_id']}")
    order_now = order.read()
    assert order_now["pending_change"]["ready"] is True
    account = order.client.get(f"{order.place}/change").json()
    assert account["accepted"] == plan["payable"]
    # Two more fixed windows of the same size: more strip, and nothing that is bought again.
    assert account["openings"] == 18
    added = sum(float(line["amount"]) for line in account["purchases"])
    assert 0 < added < 60
    assert float(account["net"]) == pytest.approx(
        float(account["accepted"])
        + float(account["additional"])
        - float(account["credit"]["total"])
    )
    text = order.client.get(f"{order.place}/change", headers={"accept": "text/plain"}).text
    assert "18 openings after the change" in text
    done = order.do("/change/acceptance")
    assert (done["action"], done["state_after"]) == ("change-and-buy", "partly-received")
    after = order.read()
    assert [o["quantity"] for o in after["order"]["openings"] if o["mark"] == "W-02"] == [5]
    assert len(after["accepted_plan_ids"]) == 2
    # On its purchase list only what is bought beside is to be paid.
    paper = order.client.get(
        f"/v1/plans/{after['accepted_plan_ids'][1]}/documents/purchase-list",
        headers={"accept": "text/plain"},
    ).text
    assert paper.split("Total to pay")[1].split()[0] == account["additional"]
    assert "ALREADY BOUGHT" in paper
    before, now = lines_of(order_now), lines_of(after)
    assert {key: line["ordered"] for key, line in now.items() if key in before} != {}
    assert all(now[key]["ordered"] >= line["ordered"] for key, line in before.items())
    back = order.client.get(f"{order.place}/back-orders").json()
    assert sum(opening["quantity"] for opening in back["openings"]) == 18
    # And once more, back to what it was: nothing has to be bought.
    again = order.do(
        "/change", {"openings": example("harbour-row-order")["order"]["openings"]}, "PUT"
    )
    if again["pending_change"]["job_id"]:
        order.wait(f"/v1/jobs/{again['pending_change']['job_id']}")
    account = order.client.get(f"{order.place}/change").json()
    assert (account["openings"], account["purchases"]) == (16, [])
    order.read()
    assert order.do("/change", method="DELETE")["pending_change"] is None
    assert order.client.get(f"{order.place}/change").status_code == 404
    assert order.do("/deliveries", {"lines": order.open_lines()})["state_after"] == (
        "wholly-received"
    )
    back = order.client.get(f"{order.place}/back-orders").json()
    assert (back["ready"], back["waiting"], back["late_lines"]) == (18, 0, [])


def test_a_rack_is_as_it_was_when_a_changed_order_is_withdrawn(service: TwoTenants) -> None:
    offcut = {"product": "interlocking-strip", "finish": "zinc", "quantity": 2}
    rack = {
        "offcuts": [
            {"id": "R-01", "length": "81 in", **offcut},
            {"id": "R-02", "length": "30 in", **offcut},
        ],
        "fasteners": [{"fastener": "strip-nail", "count": 300}],
    }
    row = service.row
    assert row.post("/v1/racks", json={"name": "shed", "rack": rack}).status_code == 201
    order = Order(row, {**example("harbour-row-order"), "rack": "shed"})
    order.plan()
    assert order.accept()["rack"]["entries"]
    waiting = order.do("/change", example("order-change"), "PUT")["pending_change"]
    if waiting["job_id"]:
        order.wait(f"/v1/jobs/{waiting['job_id']}")
    order.read()
    assert order.do("/change/acceptance")["action"] == "change-and-buy"
    assert row.get("/v1/racks/shed").json()["rack"] != rack
    assert order.do("/withdrawal", {})["state_after"] == "withdrawn"
    left = row.get("/v1/racks/shed").json()["rack"]
    assert _counts(left) == _counts(rack)


def _counts(rack: dict[str, Any]) -> dict[str, int]:
    offcuts = {offcut["id"]: offcut["quantity"] for offcut in rack["offcuts"]}
    return offcuts | {held["fastener"]: held["count"] for held in rack["fasteners"]}


def test_an_edited_order_does_not_get_the_plan_that_was_asked_for_before(
    service: TwoTenants,
) -> None:
    content = example("harbour-row-order")
    order = Order(service.row, content)
    queued = service.row.post(f"{order.place}/planning", headers={"if-match": order.tag})
    assert queued.status_code == 202
    order.read()
    edited = order.do("", {**content, "reference": "another"}, "PUT")
    assert (edited["reference"], edited["job_id"]) == ("another", None)
    order.wait(queued.headers["location"])
    assert (order.read()["state"], order.read()["plan_id"]) == ("draft", None)


def test_faults_of_an_order_are_told_at_once_and_nothing_is_kept(service: TwoTenants) -> None:
    content = example("harbour-row-order")
    content["rack"] = "nowhere"
    answer = service.row.post("/v1/orders", json=content)
    assert (answer.status_code, answer.json()["faults"][0]["pointer"]) == (422, "/rack")
    del content["rack"]
    content["order"]["openings"][0]["mark"] = content["order"]["openings"][1]["mark"]
    content["order"]["openings"][2]["fastener_spacing"] = "0 in"
    answer = service.row.post("/v1/orders", json=content)
    pointers = {fault["pointer"] for fault in answer.json()["faults"]}
    assert "/order/openings/1/mark" in pointers
    assert "/order/openings/2/fastener_spacing" in pointers
    content = example("harbour-row-order")
    content["priority"] = ["W-01", "W-01", "X-9"]
    answer = service.row.post("/v1/orders", json=content)
    assert {f["pointer"] for f in answer.json()["faults"]} == {"/priority/1", "/priority/2"}
    assert service.row.get("/v1/orders?reference=nothing").json()["entries"] == []


def test_a_change_names_the_revision_that_it_changes(service: TwoTenants) -> None:
    order = Order(service.row, example("harbour-row-order"))
    missing = service.row.post(f"{order.place}/planning")
    assert (missing.status_code, missing.json()["code"]) == (428, "precondition-missing")
    stale = service.row.post(f"{order.place}/planning", headers={"if-match": '"9"'})
    assert (stale.status_code, stale.json()["code"]) == (412, "changed-meanwhile")
    early = order.send("/acceptance", {"plan_id": "none"})
    assert (early.status_code, early.json()["code"]) == (409, "not-allowed-now")
    assert "draft" in early.json()["detail"]
