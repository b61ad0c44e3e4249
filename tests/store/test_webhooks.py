"""Webhooks over HTTP: set, told of something, changed, removed; and what is refused."""

import json
from pathlib import Path
from typing import Any

import httpx
from standardwebhooks import Webhook

from tests.store.receiving import receiving, wait_until
from tests.store.serving import two_tenants

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
CATALOGUE = json.loads((EXAMPLES / "larkmoor-catalogue.json").read_text(encoding="utf-8"))


def add_catalogue(client: httpx.Client, name: str) -> None:
    assert client.post("/v1/catalogues", json={**CATALOGUE, "name": name}).status_code == 201


def messages(client: httpx.Client, query: str = "") -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = client.get(f"/v1/webhook-messages{query}").json()["entries"]
    return entries


def test_a_webhook_is_told_of_a_version_of_a_catalogue(store_url: str) -> None:
    with (
        receiving() as receiver,
        two_tenants(store_url, webhooks_to_private_addresses=True) as service,
    ):
        row, quay = service.row, service.quay
        url = f"{receiver.url}?token=sesame"
        set_ = row.post(
            "/v1/webhooks",
            json={"url": url, "events": ["catalogue.version-added"]},
            headers={"idempotency-key": "once"},
        )
        assert set_.status_code == 201
        place, secret = set_.headers["location"], set_.json()["secret"]
        again = row.post(
            "/v1/webhooks",
            json={"url": url, "events": ["catalogue.version-added"]},
            headers={"idempotency-key": "once"},
        )
        assert again.json() == set_.json()
        read = row.get(place)
        assert secret not in read.text + row.get("/v1/webhooks").text
        assert set_.json() == {**read.json(), "secret": secret}
        assert read.headers["etag"] == set_.headers["etag"] == '"1"'
        assert row.get(place, headers={"if-none-match": '"1"'}).status_code == 304

        # Of another tenant's catalogue nothing is told.
        add_catalogue(quay, "theirs")
        add_catalogue(row, "larkmoor")
        (request,) = receiver.wait_for(1)
        body = Webhook(secret).verify(request.body, request.headers)
        assert request.path == "/hook?token=sesame"
        assert request.headers["content-type"] == "application/json"
        assert (body["type"], body["data"]) == (
            "catalogue.version-added",
            {"name": "larkmoor", "number": 1},
        )
        wait_until(lambda: messages(row, "?state=delivered") != [])
        (message,) = messages(row)
        assert message["id"] == request.message_id
        assert message["payload"] == body
        assert (message["attempts"], message["last_status"]) == (1, 204)

        sent_again = row.post(f"/v1/webhook-messages/{message['id']}/redelivery")
        assert (sent_again.status_code, sent_again.json()["state"]) == (202, "waiting")
        assert receiver.wait_for(2)[1].message_id == message["id"]
        wait_until(lambda: messages(row, "?state=delivered") != [])

        # Whatever is there for one tenant is not there for the other.
        assert quay.get("/v1/webhooks").json() == {"entries": []}
        assert messages(quay) == []
        match = {"if-match": "*"}
        changed = {"url": url, "events": [], "active": False}
        for answer in (
            quay.get(place),
            quay.put(place, json=changed, headers=match),
            quay.delete(place, headers=match),
            quay.post(f"{place}/secret-rotation", headers=match),
            quay.get(f"/v1/webhook-messages/{message['id']}"),
            quay.post(f"/v1/webhook-messages/{message['id']}/redelivery"),
        ):
            assert answer.status_code == 404

        assert row.put(place, json=changed).status_code == 428
        assert row.put(place, json=changed, headers={"if-match": '"7"'}).status_code == 412
        put = row.put(place, json=changed, headers={"if-match": '"1"'})
        assert (put.status_code, put.headers["etag"], put.json()["active"]) == (200, '"2"', False)
        add_catalogue(row, "untold")
        assert len(messages(row)) == 1
        rotated = row.post(f"{place}/secret-rotation", headers={"if-match": '"2"'})
        assert rotated.status_code == 200
        assert rotated.json()["secret"] != secret
        assert row.delete(place).status_code == 428
        removed = row.delete(place, headers={"if-match": rotated.headers["etag"]})
        assert (removed.status_code, removed.content) == (204, b"")
        assert row.get(place).status_code == 404
        assert messages(row) == []
        assert len(receiver.received) == 2

        log = row.get("/v1/audit-entries?resource_kind=webhook").json()["entries"]
        assert [entry["action"] for entry in log] == [
            "webhook-added",
            "webhook-changed",
            "secret-rotated",
            "webhook-removed",
        ]
        assert log[1]["before"]["active"] is True
        whole = row.get("/v1/audit-entries").text
        assert "redelivery-asked" in whole
        for hidden in (secret, rotated.json()["secret"], "sesame"):
            assert hidden not in whole


def test_every_fault_is_told_and_nothing_is_set(tmp_path: Path) -> None:
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite") as service:
        row = service.row
        for url, code in (
            ("http://127.0.0.1/", "not-https"),
            ("https://127.0.0.1/", "private-address"),
            ("https://10.1.2.3/hook", "private-address"),
            ("https://169.254.169.254/latest", "private-address"),
            ("https://[::1]/", "private-address"),
            ("https://[::ffff:10.0.0.1]/", "private-address"),
            ("https://localhost:8443/", "private-address"),
            ("https://ada:pw@93.184.215.14/", "credentials-in-url"),
            ("file:///etc/passwd", "wrong-form"),
        ):
            refused = row.post("/v1/webhooks", json={"url": url})
            assert (refused.status_code, refused.json()["code"]) == (422, "invalid-content")
            assert [f["code"] for f in refused.json()["faults"]] == [code], url
        both = row.post(
            "/v1/webhooks", json={"url": "https://10.0.0.1/", "events": ["order.lost"], "x": 1}
        )
        assert {f["pointer"] for f in both.json()["faults"]} == {"/url", "/events/0", "/x"}
        assert row.get("/v1/webhooks").json() == {"entries": []}

        good = {"url": "https://93.184.215.14/hook", "events": []}
        place = row.post("/v1/webhooks", json=good).headers["location"]
        inside = {**good, "url": "https://10.0.0.1/", "active": True}
        assert row.put(place, json=inside, headers={"if-match": "*"}).status_code == 422
        assert row.get(place).json()["url"] == good["url"]
