"""Catalogues, rule sets and profiles in versions, over HTTP."""

import json
from pathlib import Path
from typing import Any

import httpx
import pytest

from tests.store.serving import two_tenants

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"


def example(name: str) -> dict[str, Any]:
    return json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))  # type: ignore[no-any-return]


@pytest.mark.parametrize(
    ("path", "name"),
    [
        ("/v1/catalogues", "larkmoor-catalogue"),
        ("/v1/own-rule-sets", "harbour-row-rule-set"),
        ("/v1/profiles", "harbour-row-profile"),
    ],
)
def test_versions_are_added_and_never_change(store_url: str, path: str, name: str) -> None:
    new = example(name)
    with two_tenants(store_url) as service:
        row = service.row
        added = row.post(path, json=new)
        assert added.status_code == 201
        place = added.headers["location"]
        assert place == f"{path}/{new['name']}"
        further = {"content": new["content"], "remark": "the same once more", "valid_from": None}
        assert row.post(f"{place}/versions", json=further).status_code == 428
        stale = row.post(f"{place}/versions", json=further, headers={"if-match": '"7"'})
        assert stale.status_code == 412
        assert stale.headers["etag"] == added.headers["etag"]
        second = row.post(
            f"{place}/versions", json=further, headers={"if-match": added.headers["etag"]}
        )
        assert (second.status_code, second.json()["latest"]) == (201, 2)
        first = row.get(f"{place}/versions/1").json()
        # More than a column of PostgreSQL holds is a number of nothing, too.
        assert row.get(f"{place}/versions/5312037755445808").status_code == 404
        listed = row.get(f"{place}/versions").json()["versions"]
        assert [version["number"] for version in listed] == [1, 2]
        assert first["digest"] == listed[0]["digest"]
        assert listed[0]["digest"] == listed[1]["digest"]
        # What is read can be sent: nothing was lost on the way.
        again = row.post(path, json={"name": "again", "content": first["content"]})
        assert again.status_code == 201
        kept = row.get(f"{path}/again/versions/1").json()
        assert (kept["digest"], kept["content"]) == (first["digest"], first["content"])
        read = row.get(place)
        assert read.headers["etag"] == second.headers["etag"]
        unchanged = row.get(place, headers={"if-none-match": read.headers["etag"]})
        assert (unchanged.status_code, unchanged.content) == (304, b"")
        # Another tenant sees nothing: the same answer as for what is not there.
        for address in (place, f"{place}/versions", f"{place}/versions/1"):
            theirs, nowhere = service.quay.get(address), service.quay.get(f"{path}/nowhere")
            assert theirs.status_code == nowhere.status_code == 404
        assert service.quay.get(path).json() == {"entries": []}


def test_lengths_are_kept_with_their_unit(tmp_path: Path) -> None:
    new = example("larkmoor-catalogue")
    stock = new["content"]["stock_lengths"][0]
    millimetres = {**new["content"], "stock_lengths": [{**stock, "length": 2133.6}], "kits": []}
    body = {"name": "metric", "unit": "mm", "content": millimetres}
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite") as service:
        assert service.row.post("/v1/catalogues", json=body).status_code == 201
        kept = service.row.get("/v1/catalogues/metric/versions/1").json()["content"]
        assert kept["stock_lengths"][0]["length"] == "2133.6 mm"


def test_every_fault_is_told_at_its_place_and_nothing_is_kept(tmp_path: Path) -> None:
    new = example("larkmoor-catalogue")
    content = new["content"]
    content["stock_lengths"][0]["price"] = "7,50"
    content["kits"][0]["sku"] = content["stock_lengths"][0]["sku"]
    content["supplier"] = 7
    body = {**new, "valid_from": "2027-02-30", "colour": "zinc"}
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite") as service:
        refused = service.row.post("/v1/catalogues", json=body)
        assert (refused.status_code, refused.json()["code"]) == (422, "invalid-content")
        places = {fault["pointer"] for fault in refused.json()["faults"]}
        assert places >= {
            "/colour",
            "/valid_from",
            "/content/supplier",
            "/content/stock_lengths/0/price",
            "/content/kits/0/sku",
        }
        assert service.row.get("/v1/catalogues").json() == {"entries": []}
        assert service.row.get("/v1/audit-entries").json() == {"entries": []}


def test_a_list_is_read_page_by_page(store_url: str) -> None:
    content = example("harbour-row-profile")["content"]
    names = [f"profile-{number:02}" for number in range(11)]
    with two_tenants(store_url) as service:
        for name in names:
            service.row.post("/v1/profiles", json={"name": name, "content": content})
        for sort, expected in (("name", names), ("-created_at", names[::-1])):
            seen, address = [], f"/v1/profiles?limit=4&sort={sort}"
            while address:
                page: httpx.Response = service.row.get(address)
                seen += [entry["name"] for entry in page.json()["entries"]]
                address = page.links.get("next", {}).get("url", "")
            assert seen == expected
        bad = service.row.get("/v1/profiles?limit=0&sort=colour&cursor=!")
        assert (bad.status_code, bad.json()["code"]) == (422, "invalid-query")
        assert {fault["pointer"] for fault in bad.json()["faults"]} == {
            "/limit",
            "/sort",
            "/cursor",
        }
