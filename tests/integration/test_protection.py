"""What protects the service and whoever reads its answers: headers, origins, limits, shares."""

import contextlib
import json
import socket
import threading
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest

from service.settings import Settings
from tests.harbour_row import mixed_order, ten_doors
from tests.serving import running_service

ORIGIN = "https://erp.example"
PREFLIGHT = {
    "origin": ORIGIN,
    "access-control-request-method": "POST",
    "access-control-request-headers": "authorization, idempotency-key, if-match",
}


@pytest.fixture(scope="module")
def open_to_erp(tmp_path_factory: pytest.TempPathFactory) -> Iterator[httpx.Client]:
    folder: Path = tmp_path_factory.mktemp("kept")
    settings = Settings(
        store=f"{folder}/kept.sqlite",
        shutdown_seconds=2,
        requests_per_minute=0,
        allowed_origins=(ORIGIN,),
        solves_per_tenant=1,
        solvers=2,
        queue=0,
    )
    with running_service(settings) as service:
        yield service.client


def test_what_a_key_is_answered_is_for_no_cache(open_to_erp: httpx.Client) -> None:
    key = {"authorization": "Bearer wstrip_unknown"}
    assert open_to_erp.get("/v1/catalogues", headers=key).headers["cache-control"] == "no-store"
    assert open_to_erp.get("/nowhere", headers=key).headers["cache-control"] == "no-store"
    assert "cache-control" not in open_to_erp.get("/v1/rule-sets").headers
    style = open_to_erp.get("/docs/style.css", headers=key)
    assert style.headers.get_list("cache-control") == ["max-age=3600"]


def test_a_page_of_an_allowed_origin_may_ask(open_to_erp: httpx.Client) -> None:
    allowed = open_to_erp.options("/v1/plans", headers=PREFLIGHT)
    assert allowed.status_code == 204
    assert allowed.headers["access-control-allow-origin"] == ORIGIN
    assert "POST" in allowed.headers["access-control-allow-methods"]
    answer = open_to_erp.get("/v1/rule-sets", headers={"origin": ORIGIN})
    assert answer.headers["access-control-allow-origin"] == ORIGIN
    assert "ETag" in answer.headers["access-control-expose-headers"]
    assert "access-control-allow-credentials" not in answer.headers


def test_a_page_of_another_origin_may_not(open_to_erp: httpx.Client) -> None:
    other = {**PREFLIGHT, "origin": "https://elsewhere.example"}
    assert open_to_erp.options("/v1/plans", headers=other).status_code == 400
    answer = open_to_erp.get("/v1/rule-sets", headers={"origin": other["origin"]})
    assert "access-control-allow-origin" not in answer.headers


def test_without_a_setting_no_origin_is_allowed(client: httpx.Client) -> None:
    answer = client.get("/v1/rule-sets", headers={"origin": ORIGIN})
    assert not [name for name in answer.headers if name.startswith("access-control")]
    asked = client.options("/v1/plans", headers=PREFLIGHT)
    assert not [name for name in asked.headers if name.startswith("access-control")]


def test_headers_beyond_their_limit_are_refused(client: httpx.Client) -> None:
    def send(size: int) -> bytes:
        address = client.base_url
        with socket.create_connection((address.host, address.port or 80), timeout=30) as wire:
            wire.sendall(b"GET /health/live HTTP/1.1\r\nHost: test\r\nConnection: close\r\n")
            with contextlib.suppress(ConnectionError):
                wire.sendall(b"X-Long: " + b"x" * size + b"\r\n\r\n")
            return wire.recv(64).partition(b"\r\n")[0]

    assert send(20_000) == b"HTTP/1.1 200 OK"
    assert send(100_000) == b"HTTP/1.1 400 Bad Request"
    assert send(1_000_000) == b"HTTP/1.1 400 Bad Request"


def test_more_headers_than_are_taken_are_told(client: httpx.Client) -> None:
    answer = client.get("/health/live", headers={f"x-{number}": "1" for number in range(101)})
    assert answer.status_code == 400
    assert answer.json()["code"] == "bad-request"
    assert "up to 100 with 32,768 bytes together" in answer.json()["detail"]


def test_a_tenant_at_its_share_is_told_while_a_solver_is_idle(open_to_erp: httpx.Client) -> None:
    body = json.dumps(mixed_order(150, seed=4))
    headers = {"content-type": "application/json", "prefer": "wait=60"}
    statuses: list[int] = []

    def plan() -> None:
        answer = open_to_erp.post("/v1/plans", content=body, headers=headers)
        statuses.append(answer.status_code)

    first = threading.Thread(target=plan)
    first.start()
    try:
        while not open_to_erp.get("/health/ready").json()["at_work"]:
            assert first.is_alive()
        refused = open_to_erp.post("/v1/plans", json=ten_doors())
    finally:
        first.join()
    assert refused.status_code == 429
    assert refused.json()["code"] == "too-many-requests"
    assert refused.headers["retry-after"] == "5"
    assert "which is the limit" in refused.json()["detail"]
    assert statuses == [200]
