"""Racks over HTTP: kept, replaced, and told of in the audit log."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.store.serving import two_tenants

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"


def workshop() -> dict[str, Any]:
    return json.loads((EXAMPLES / "workshop-rack.json").read_text(encoding="utf-8"))  # type: ignore[no-any-return]


def test_a_rack_is_kept_replaced_and_told_of(store_url: str) -> None:
    new = workshop()
    counted = {"unit": "mm", "rack": {"offcuts": [{**new["rack"]["offcuts"][0], "length": 914.4}]}}
    with two_tenants(store_url) as service:
        row = service.row
        added = row.post("/v1/racks", json=new)
        assert (added.status_code, added.headers["location"]) == (201, "/v1/racks/workshop")
        assert added.json()["rack"] == new["rack"]
        taken = row.post("/v1/racks", json=new)
        assert (taken.status_code, taken.json()["code"]) == (409, "name-taken")
        place = added.headers["location"]
        assert row.put(place, json=counted).status_code == 428
        stale = row.put(place, json=counted, headers={"if-match": '"9"'})
        assert (stale.status_code, stale.headers["etag"]) == (412, added.headers["etag"])
        replaced = row.put(place, json=counted, headers={"if-match": added.headers["etag"]})
        assert replaced.status_code == 200
        read = row.get(place)
        assert (read.content, read.headers["etag"]) == (replaced.content, replaced.headers["etag"])
        kept = {"offcuts": [{**new["rack"]["offcuts"][0], "length": "914.4 mm"}]}
        assert read.json()["rack"] == kept
        known = row.get(place, headers={"if-none-match": read.headers["etag"]})
        assert (known.status_code, known.content) == (304, b"")
        (entry,) = row.get("/v1/racks").json()["entries"]
        assert (entry["name"], entry["offcuts"], entry["fasteners"]) == ("workshop", 2, 0)
        log = row.get("/v1/audit-entries?resource_kind=rack&resource_id=workshop").json()["entries"]
        assert [(e["action"], e["before"], e["after"]) for e in log] == [
            ("rack-added", None, new["rack"]),
            ("rack-replaced", new["rack"], kept),
        ]


def test_another_tenant_finds_nothing(store_url: str) -> None:
    with two_tenants(store_url) as service:
        place = service.row.post("/v1/racks", json=workshop()).headers["location"]
        content = {"rack": workshop()["rack"]}
        answers = [
            service.quay.get(place),
            service.quay.put(place, json=content, headers={"if-match": "*"}),
            service.quay.get("/v1/racks/nowhere"),
        ]
        assert [(a.status_code, a.json()["code"]) for a in answers] == [(404, "not-found")] * 3
        assert service.quay.get("/v1/racks").json() == {"entries": []}
        assert service.quay.post("/v1/racks", json=workshop()).status_code == 201


@pytest.mark.parametrize(
    ("stated", "kept"),
    [(914.4, "914.4 mm"), ("914.4", "914.4 mm"), ("3 ft", "3 ft"), ("36 1/2 in", "36 1/2 in")],
)
def test_lengths_are_kept_with_their_unit(tmp_path: Path, stated: object, kept: str) -> None:
    offcut = {"id": "R-01", "product": "interlocking-strip", "finish": "zinc", "length": stated}
    body = {"name": "metric", "unit": "mm", "rack": {"offcuts": [offcut]}}
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite") as service:
        answer = service.row.post("/v1/racks", json=body)
        assert answer.json()["rack"]["offcuts"][0]["length"] == kept


def test_every_fault_is_told_at_its_place_and_nothing_is_kept(tmp_path: Path) -> None:
    body = workshop()
    offcuts = body["rack"]["offcuts"]
    offcuts[0]["length"] = "eleven"
    offcuts[1]["id"] = offcuts[0]["id"]
    body["rack"]["fasteners"] = [{"fastener": "strip-nail", "count": -1}]
    body["colour"] = "zinc"
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite") as service:
        refused = service.row.post("/v1/racks", json=body)
        assert (refused.status_code, refused.json()["code"]) == (422, "invalid-content")
        assert {(fault["pointer"], fault["code"]) for fault in refused.json()["faults"]} == {
            ("/rack/offcuts/0/length", "unreadable-length"),
            ("/rack/offcuts/1/id", "repeated-id"),
            ("/rack/fasteners/0/count", "out-of-range"),
            ("/colour", "unknown-member"),
        }
        assert service.row.get("/v1/racks").json() == {"entries": []}
        assert service.row.get("/v1/audit-entries").json() == {"entries": []}
