"""A request that is sent again changes nothing and gets the same answer."""

import asyncio
import json
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta
from pathlib import Path

import httpx
import pytest

from service.clock import utc_now
from service.store.kept_answers import (
    KEPT,
    LEASE,
    AtWork,
    Claim,
    ClaimLost,
    KeptAnswer,
    claim,
    forget_old,
    keep,
)
from service.store.store import Store, read_store_url
from tests.store.serving import make_keys, two_tenants

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
CATALOGUE = json.loads((EXAMPLES / "larkmoor-catalogue.json").read_text(encoding="utf-8"))


def post(client: httpx.Client, key: str, body: object = CATALOGUE) -> httpx.Response:
    return client.post("/v1/catalogues", json=body, headers={"idempotency-key": key})


def test_a_request_sent_again_gets_the_same_answer_and_changes_nothing(store_url: str) -> None:
    with two_tenants(store_url) as service:
        first, again = post(service.row, "a-1"), post(service.row, '"a-1"')
        assert first.status_code == 201
        assert (again.status_code, again.content) == (201, first.content)
        for header in ("etag", "location", "content-type"):
            assert again.headers[header] == first.headers[header]
        assert len(service.row.get("/v1/catalogues").json()["entries"]) == 1
        # The same key with another body, at another address, from another tenant.
        other = post(service.row, "a-1", {**CATALOGUE, "remark": "another"})
        assert (other.status_code, other.json()["code"]) == (422, "key-reused")
        assert post(service.quay, "a-1").status_code == 201
        # A refusal is kept as well; without a key the name is found taken.
        assert post(service.row, "a-2").status_code == 409
        assert service.row.post("/v1/catalogues", json=CATALOGUE).status_code == 409


@pytest.mark.parametrize("key", ["", "a" * 256, "\xe9"])
def test_a_key_that_cannot_be_read_is_refused(tmp_path: Path, key: str) -> None:
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite") as service:
        headers = httpx.Headers([(b"idempotency-key", key.encode("latin-1"))])
        refused = service.row.post("/v1/catalogues", json=CATALOGUE, headers=headers)
        assert (refused.status_code, refused.json()["code"]) == (400, "unreadable-key")


def test_of_many_at_once_one_makes_the_change(store_url: str) -> None:
    with two_tenants(store_url) as service, ThreadPoolExecutor(16) as threads:
        answers = list(threads.map(lambda _: post(service.row, "b-1"), range(60)))
        assert {answer.status_code for answer in answers} <= {201, 409}
        made = [answer for answer in answers if answer.status_code == 201]
        assert len({answer.content for answer in made}) == 1
        assert all(
            answer.json()["code"] == "still-at-work" and "retry-after" in answer.headers
            for answer in answers
            if answer.status_code == 409
        )
        assert post(service.row, "b-1").content == made[0].content
        log = service.row.get("/v1/audit-entries").json()["entries"]
        assert [entry["action"] for entry in log] == ["version-added"]


def test_a_claim_of_a_process_that_is_gone_is_taken_over_and_lost_by_it(store_url: str) -> None:
    make_keys(store_url, {"tenant": "harbour-row"})
    asked = {"tenant": "harbour-row", "key": "c-1", "fingerprint": "f"}
    answer = KeptAnswer(status=201, headers=(("etag", '"1"'),), body=b"{}")

    async def run() -> None:
        store, now = Store(read_store_url(store_url)), utc_now()
        gone = await claim(store, **asked, now=now)
        assert isinstance(gone, Claim)
        with pytest.raises(AtWork):
            await claim(store, **asked, now=now + LEASE / 2)
        taken = await claim(store, **asked, now=now + LEASE + timedelta(seconds=1))
        assert isinstance(taken, Claim)
        with pytest.raises(ClaimLost):
            async with store.writing() as transaction:
                await keep(transaction, gone, answer)
        async with store.writing() as transaction:
            await keep(transaction, taken, answer)
        assert await claim(store, **asked, now=now) == answer
        assert await forget_old(store, now + KEPT / 2) == 0
        assert await forget_old(store, now + KEPT + timedelta(seconds=1)) == 1
        await store.close()

    asyncio.run(run())
