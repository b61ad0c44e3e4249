"""Every operation, with no key, a bad one, one without the scope, and another tenant's names.

The operations are those of the exported document, so that none can be forgotten.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.access.caller import Scope
from tests.serving import running_service
from tests.store.serving import client_with, expired, make_keys, settings_for
from tests.store.test_jobs import CATALOGUE, TEN_DOORS, wait_for

ROOT = Path(__file__).parents[2]
DOCUMENT = json.loads((ROOT / "openapi" / "openapi.json").read_text(encoding="utf-8"))
OPERATIONS = [
    (method.upper(), path, operation)
    for path, methods in DOCUMENT["paths"].items()
    for method, operation in methods.items()
    if operation["security"]
]
# The built-in rule sets are everybody's.
NAMED = [
    entry for entry in OPERATIONS if "{" in entry[1] and not entry[1].startswith("/v1/rule-sets/")
]


class Clients:
    """A service that holds something of one tenant, and clients with keys of several kinds."""

    def __init__(self, row: httpx.Client, others: dict[str, httpx.Client]) -> None:
        self.row, self.others = row, others
        row.post("/v1/catalogues", json=CATALOGUE)
        # Things of every kind have one name, so that an operation of each finds something by it.
        rack = {**example("workshop-rack"), "name": "larkmoor"}
        assert row.post("/v1/racks", json=rack).status_code == 201
        hook = row.post("/v1/webhooks", json={"url": "http://127.0.0.1:9999/", "events": []}).json()
        content = {"order": TEN_DOORS, "rack": "larkmoor"}
        order = row.post("/v1/orders", json=content).headers["location"]
        job = row.post(f"{order}/planning", headers={"if-match": "*"}).headers["location"]
        plan = wait_for(row, job)["plan_id"]
        accepted = row.post(
            f"{order}/acceptance", json={"plan_id": plan}, headers={"if-match": "*"}
        )
        assert accepted.status_code == 200, accepted.text
        openings = {"openings": TEN_DOORS["openings"]}
        row.put(f"{order}/change", json=openings, headers={"if-match": "*"})
        asked = {"order": TEN_DOORS, "scenarios": [{"name": "as it is"}]}
        later = {"prefer": "respond-async"}
        place = row.post("/v1/studies", json=asked, headers=later).headers["location"]
        study = wait_for(row, place)
        message = row.get("/v1/webhook-messages").json()["entries"][0]["id"]
        self.names = {
            "job_id": job.rpartition("/")[2],
            "plan_id": plan,
            "name": "larkmoor",
            "order_id": order.rpartition("/")[2],
            "webhook_id": hook["id"],
            "message_id": message,
            "study_id": study["study_id"],
        }
        self.changes = self.count_changes()

    def count_changes(self) -> int:
        """Return how many entries the audit log of the tenant has."""
        return len(self.row.get("/v1/audit-entries?limit=200").json()["entries"])


@pytest.fixture(scope="module")
def clients(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Clients]:
    url = f"sqlite:///{tmp_path_factory.mktemp('store')}/a.sqlite"
    row, quay, past, *narrow = make_keys(
        url,
        {"tenant": "harbour-row"},
        {"tenant": "quay-side"},
        expired(),
        *({"tenant": "harbour-row", "scopes": frozenset(Scope) - {scope}} for scope in Scope),
    )
    keys = {"quay": quay, "expired": past, **dict(zip(Scope, narrow, strict=True))}
    with running_service(settings_for(url, webhooks_to_private_addresses=True)) as service:
        opened = {
            name: httpx.Client(
                base_url=service.address,
                timeout=60,
                headers={"authorization": f"Bearer {made.key}"},
            )
            for name, made in keys.items()
        }
        opened["none"] = httpx.Client(base_url=service.address)
        with client_with(service.address, row.key) as client:
            yield Clients(client, opened)
        for client in opened.values():
            client.close()


def ask(client: httpx.Client, method: str, path: str, **names: str) -> httpx.Response:
    """Ask as a client would who knows the names, or makes them up."""
    place = path
    for part in path.split("/"):
        if part.startswith("{"):
            name = part.strip("{}")
            made_up = "1" if name == "number" else "0" * 32
            place = place.replace(part, names.get(name, made_up))
    if path.endswith("/differences"):
        place += "?from=1&to=1"
    headers = {"if-match": "*", "content-type": "application/json"}
    return client.request(method, place, content=sound_body(method, path), headers=headers)


def example(name: str) -> Any:
    return json.loads((ROOT / "openapi" / "examples" / f"{name}.json").read_text("utf-8"))


def sound_body(method: str, path: str) -> bytes:
    """Return a body that the operation would take, where the document has an example of one."""
    operation = DOCUMENT["paths"][path][method.lower()]
    shown = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
    for body in shown.get("examples", {}).values():
        return json.dumps(body["value"]).encode()
    return b"{}"


@pytest.mark.parametrize(
    ("method", "path", "operation"), OPERATIONS, ids=lambda value: str(value)[:60]
)
def test_no_operation_answers_without_a_key_that_is_good_for_it(
    clients: Clients, method: str, path: str, operation: dict[str, Any]
) -> None:
    (needed,) = operation["security"][0]["key"]
    for client, status in (("none", 401), ("expired", 401), (needed, 403)):
        known = ask(clients.others[client], method, path, **clients.names)
        unknown = ask(clients.others[client], method, path)
        assert known.status_code == unknown.status_code == status, (client, known.text)
        assert told(known) == told(unknown)


@pytest.mark.parametrize(("method", "path", "operation"), NAMED, ids=lambda value: str(value)[:60])
def test_names_of_another_tenant_are_names_of_nothing(
    clients: Clients, method: str, path: str, operation: dict[str, Any]
) -> None:
    quay = clients.others["quay"]
    known, unknown = ask(quay, method, path, **clients.names), ask(quay, method, path)
    assert known.status_code == unknown.status_code
    assert known.status_code >= 400
    hidden = json.dumps(told(known))
    shown = json.dumps(told(unknown))
    for name in (*clients.names.values(), "0" * 32):
        hidden = hidden.replace(name, "")
    assert hidden == shown.replace("0" * 32, "")


def test_what_is_there_is_as_it_was(clients: Clients) -> None:
    # Run after the others: whatever they asked for, nothing has changed.
    assert clients.count_changes() == clients.changes
    assert clients.others["quay"].get("/v1/audit-entries").json() == {"entries": []}


def told(answer: httpx.Response) -> dict[str, Any]:
    """Return a problem without the identifier of its request."""
    return {name: part for name, part in answer.json().items() if name != "request_id"}
