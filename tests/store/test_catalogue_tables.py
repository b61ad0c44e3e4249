"""Catalogues as tables over HTTP, and what differs between two versions."""

import io
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest
from openpyxl import load_workbook

from service.media_types import XLSX, ZIP
from tests.catalogue_files import OFFER, csv_archive, workbook
from tests.store.serving import TwoTenants, two_tenants

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
PATH = "/v1/catalogues"


def example(name: str) -> Any:
    return json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[TwoTenants]:
    store = f"sqlite:///{tmp_path_factory.mktemp('tables')}/kept.sqlite"
    with two_tenants(store) as service:
        yield service


def send(client: httpx.Client, place: str, table: bytes, media_type: str, **headers: str) -> Any:
    headers = {name.replace("_", "-"): value for name, value in headers.items()}
    return client.post(place, content=table, headers={"content-type": media_type, **headers})


def keep(client: httpx.Client, name: str, content: Any) -> str:
    added = client.post(PATH, json={"name": name, "content": content})
    assert added.status_code == 201, added.text
    return f"{PATH}/{name}"


@pytest.mark.parametrize(("media_type", "ending"), [(XLSX, "xlsx"), (ZIP, "zip")])
def test_a_version_comes_as_tables_and_goes_back_as_a_catalogue(
    service: TwoTenants, media_type: str, ending: str
) -> None:
    row = service.row
    place = keep(row, f"spring-{ending}", example("larkmoor-spring"))
    read = row.get(f"{place}/versions/1", headers={"accept": media_type})
    assert (read.status_code, read.headers["content-type"]) == (200, media_type)
    assert read.headers["vary"] == "Accept"
    assert f'filename="spring-{ending}-1.{ending}"' in read.headers["content-disposition"]
    query = f"name=again-{ending}&valid_from=2027-03-01&remark=Spr%C3%BChling"
    added = send(row, f"{PATH}?{query}", read.content, media_type)
    assert (added.status_code, added.headers["location"]) == (201, f"{PATH}/again-{ending}")
    again = row.get(f"{PATH}/again-{ending}/versions/1").json()
    assert (again["valid_from"], again["remark"]) == ("2027-03-01", "Sprühling")
    # Nothing is lost on the way, whichever way it is written.
    row_of = {"if-match": '"1"'}
    further = {"content": again["content"]}
    assert row.post(f"{place}/versions", json=further, headers=row_of).status_code == 201
    assert row.get(f"{place}/differences?from=1&to=2").json()["changes"] == []
    assert row.get(f"{place}/versions/2", headers={"accept": media_type}).content == read.content


def test_a_price_list_that_was_changed_in_a_spreadsheet_is_a_further_version(
    service: TwoTenants,
) -> None:
    row = service.row
    place = keep(row, "changed", example("larkmoor-spring"))
    read = row.get(f"{place}/versions/1", headers={"accept": f"{XLSX}, application/json;q=0.5"})
    book = load_workbook(io.BytesIO(read.content))
    header, first, *_ = book["Stock lengths"].iter_rows()
    (price,) = [c for c, h in zip(first, header, strict=True) if h.value == "Price"]
    before, price.value = price.value, 99.5
    changed = io.BytesIO()
    book.save(changed)
    versions = f"{place}/versions"
    assert send(row, versions, changed.getvalue(), XLSX).status_code == 428
    once = {"if_match": '"1"', "idempotency_key": "spring-changed"}
    added = send(row, f"{versions}?remark=dearer", changed.getvalue(), XLSX, **once)
    assert (added.status_code, added.json()["latest"]) == (201, 2)
    again = send(row, f"{versions}?remark=dearer", changed.getvalue(), XLSX, **once)
    assert (again.status_code, again.content) == (201, added.content)
    other = send(row, f"{versions}?remark=other", changed.getvalue(), XLSX, **once)
    assert (other.status_code, other.json()["code"]) == (422, "key-reused")
    assert row.get(place).json()["latest"] == 2
    found = row.get(f"{place}/differences?from=1&to=2").json()
    (change,) = found["changes"]
    assert (change["kind"], change["member"], change["after"]) == (
        "price-changed",
        "price",
        "99.50",
    )
    assert float(change["before"]) == float(before)
    back = row.get(f"{place}/differences?from=2&to=1").json()["changes"]
    assert [(entry["before"], entry["after"]) for entry in back] == [
        (change["after"], change["before"])
    ]


def test_differences_come_as_the_examples_say(service: TwoTenants) -> None:
    row = service.row
    place = keep(row, "seasons", example("larkmoor-spring"))
    autumn = {"content": example("larkmoor-autumn")}
    assert row.post(f"{place}/versions", json=autumn, headers={"if-match": "*"}).is_success
    read = row.get(f"{place}/differences?from=1&to=2")
    assert read.json() == example("larkmoor-autumn.difference")
    text = row.get(f"{place}/differences?from=1&to=2", headers={"accept": "text/plain"})
    assert text.text == (EXAMPLES / "larkmoor-autumn.difference.txt").read_text(encoding="utf-8")
    for query, pointers in (
        ("from=0&colour=zinc", {"/from", "/to", "/colour"}),
        ("from=1.0&to=2&to=3", {"/from", "/to"}),
    ):
        refused = row.get(f"{place}/differences?{query}")
        assert (refused.status_code, refused.json()["code"]) == (422, "invalid-query")
        assert {fault["pointer"] for fault in refused.json()["faults"]} == pointers
    missing = row.get(f"{place}/differences?from=7&to=9")
    assert (missing.status_code, missing.json()["detail"]) == (
        404,
        "'seasons' has no version 7 or 9; its latest is 2.",
    )
    # Of another tenant's catalogue nothing is told.
    theirs = service.quay.get(f"{place}/differences?from=1&to=2")
    assert (theirs.status_code, theirs.json()["code"]) == (404, "not-found")
    for accept in (XLSX, ZIP):
        assert (
            service.quay.get(f"{place}/versions/1", headers={"accept": accept}).status_code == 404
        )


@pytest.mark.parametrize(
    ("write", "media_type", "folder", "name"),
    [
        (workbook, XLSX, "sheets", "Stock lengths"),
        (csv_archive, ZIP, "files", "Stock lengths.csv"),
    ],
)
def test_every_fault_is_told_with_its_cell_and_nothing_is_kept(
    service: TwoTenants, write: Any, media_type: str, folder: str, name: str
) -> None:
    row = service.row
    log = "/v1/audit-entries?limit=200"
    before = [row.get(PATH).json(), row.get(log).json()]
    header, first, second = OFFER["Stock lengths"]
    tables = {**OFFER, "Stock lengths": [header, (*first[:4], "dear"), ("LS-Z-084", *second[1:])]}
    place = f"{PATH}?valid_from=2027-03-02&valid_until=2027-03-01&unit=ell&colour=zinc"
    refused = send(row, place, write(tables), media_type)
    assert (refused.status_code, refused.json()["code"]) == (422, "invalid-catalogue-table")
    assert {(fault["pointer"], fault["code"]) for fault in refused.json()["faults"]} >= {
        ("/name", "name-needed"),
        ("/valid_until", "ends-before-it-begins"),
        ("/unit", "not-one-of"),
        ("/colour", "unknown-parameter"),
        (f"/{folder}/{name}/rows/2/E", "not-an-amount"),
        (f"/{folder}/{name}/rows/3/A", "repeated-sku"),
    }
    only_query = send(row, f"{PATH}?name=Large", write(OFFER), media_type)
    assert (only_query.status_code, only_query.json()["code"]) == (422, "invalid-query")
    assert [row.get(PATH).json(), row.get(log).json()] == before


def test_bare_lengths_are_in_the_unit_of_the_query(service: TwoTenants) -> None:
    header, first, _ = OFFER["Stock lengths"]
    tables = {**OFFER, "Stock lengths": [header, (*first[:3], 99_000, first[4])]}
    added = send(service.row, f"{PATH}?name=metric&unit=mm", workbook(tables), XLSX)
    assert added.status_code == 201
    kept = service.row.get(f"{PATH}/metric/versions/1").json()["content"]
    assert kept["stock_lengths"][0]["length"] == "99000 mm"
    # 99 m is within the limit, 99,000 in is not: what is refused hangs on the unit that is stated.
    refused = send(service.row, f"{PATH}?name=inches", workbook(tables), XLSX)
    (fault,) = refused.json()["faults"]
    assert fault["pointer"] == "/sheets/Stock lengths/rows/2/D"


def test_a_form_brings_either_file_and_json_states_its_name_itself(service: TwoTenants) -> None:
    row = service.row
    for name, table in (("form-book", workbook(OFFER)), ("form-zip", csv_archive(OFFER))):
        added = row.post(f"{PATH}?name={name}", files={"file": ("offer", table)})
        assert added.status_code == 201, added.text
    parts = row.post(PATH, files={"file": ("offer", workbook(OFFER))}, data={"name": "unread"})
    assert (parts.status_code, parts.json()["code"]) == (400, "bad-request")
    assert "not name" in parts.json()["detail"]
    no_file = row.post(f"{PATH}?name=none", files={"table": ("offer", b"")})
    assert (no_file.status_code, no_file.json()["code"]) == (400, "bad-request")
    body = {"name": "json", "content": example("larkmoor-spring")}
    refused = row.post(f"{PATH}?name=json&remark=x", json=body)
    assert (refused.status_code, refused.json()["code"]) == (422, "invalid-query")
    assert [f["pointer"] for f in refused.json()["faults"]] == ["/name", "/remark"]
    # Rule sets and profiles come and go as JSON alone.
    for path in ("/v1/own-rule-sets", "/v1/profiles"):
        assert send(row, path, workbook(OFFER), XLSX).status_code == 415
    text = send(row, f"{PATH}?name=text", b"SKU", "text/csv")
    assert text.status_code == 415
    assert XLSX in text.json()["detail"] and "application/json" in text.json()["detail"]
