"""Keys: who is let in, for what, and for how long."""

import asyncio
import json
from datetime import timedelta
from pathlib import Path

import httpx
import pytest
from sqlalchemy import select, text

from service.access.caller import Scope
from service.access.keys import KeyFault, NewKey, make_key, revoke_key, rotate_key
from service.clock import utc_now
from service.store.store import Store, read_store_url
from service.store.tables import API_KEYS
from tests.serving import running_service
from tests.store.serving import client_with, expired, make_keys, settings_for

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
TEN_DOORS = json.loads((EXAMPLES / "ten-doors.json").read_text(encoding="utf-8"))


def with_store(store_url: str, work: object) -> object:
    async def run() -> object:
        store = Store(read_store_url(store_url))
        try:
            return await work(store)  # type: ignore[operator]
        finally:
            await store.close()

    return asyncio.run(run())


def test_no_key_is_needed_on_this_machine_until_one_is_made(store_url: str) -> None:
    with running_service(settings_for(store_url), solves=False) as service:
        assert service.client.get("/v1/catalogues").status_code == 200
    make_keys(store_url, {"tenant": "harbour-row"})
    with running_service(settings_for(store_url), solves=False) as service:
        refused = service.client.get("/v1/catalogues")
        assert refused.status_code == 401
        assert refused.json()["code"] == "no-key"
        assert refused.headers["www-authenticate"] == "Bearer"
        # Whoever watches over the service needs none.
        assert service.client.get("/health/live").status_code == 200
        assert service.client.get("/openapi.json").status_code == 200


def test_a_key_is_good_for_its_scopes_alone(store_url: str) -> None:
    plans, reads = make_keys(
        store_url,
        {"tenant": "harbour-row", "scopes": frozenset({Scope.PLAN})},
        {"tenant": "harbour-row", "scopes": frozenset({Scope.READ})},
    )
    with running_service(settings_for(store_url)) as service:
        with client_with(service.address, plans.key) as client:
            assert client.post("/v1/plans", json=TEN_DOORS).status_code == 200
            refused = client.get("/v1/catalogues")
            assert refused.status_code == 403
            assert "scope read" in refused.json()["detail"]
            assert 'scope="read"' in refused.headers["www-authenticate"]
        with client_with(service.address, reads.key) as client:
            assert client.get("/v1/catalogues").status_code == 200
            assert client.post("/v1/plans", json=TEN_DOORS).status_code == 403
            assert client.get("/v1/audit-entries").status_code == 403


def test_whatever_is_no_good_key_is_refused_alike(store_url: str) -> None:
    make_keys(store_url, {"tenant": "harbour-row"})
    with running_service(settings_for(store_url), solves=False) as service:
        for stated in ("Bearer", "Basic eDp5", "Bearer wstrip_unknown", "\xe9 x", ""):
            headers = httpx.Headers([(b"authorization", stated.encode("latin-1"))])
            refused = service.client.get("/v1/catalogues", headers=headers)
            assert refused.status_code == 401, stated


def test_keys_end_when_they_expire_or_are_revoked(store_url: str) -> None:
    past, good = make_keys(store_url, expired(), {"tenant": "harbour-row"})
    with_store(store_url, lambda s: revoke_key(s, key_id=good.key_id, now=utc_now()))
    with running_service(settings_for(store_url), solves=False) as service:
        for made in (past, good):
            with client_with(service.address, made.key) as client:
                assert client.get("/v1/catalogues").status_code == 401


def test_a_rotated_key_follows_and_the_old_one_ends(store_url: str) -> None:
    (old,) = make_keys(store_url, {"tenant": "harbour-row", "name": "erp"})
    now = utc_now()
    new = with_store(
        store_url,
        lambda s: rotate_key(s, key_id=old.key_id, overlap=timedelta(seconds=-1), now=now),
    )
    assert isinstance(new, NewKey)
    with running_service(settings_for(store_url), solves=False) as service:
        with client_with(service.address, new.key) as client:
            assert client.get("/v1/catalogues").status_code == 200
        with client_with(service.address, old.key) as client:
            assert client.get("/v1/catalogues").status_code == 401
    with pytest.raises(KeyFault, match="has ended"):
        with_store(
            store_url,
            lambda s: rotate_key(s, key_id=old.key_id, overlap=timedelta(0), now=utc_now()),
        )


def test_the_store_holds_no_key_and_the_last_use_is_noted(store_url: str) -> None:
    (made,) = make_keys(store_url, {"tenant": "harbour-row"})
    with (
        running_service(settings_for(store_url), solves=False) as service,
        client_with(service.address, made.key) as client,
    ):
        assert client.get("/v1/catalogues").status_code == 200

    async def look(store: Store) -> None:
        async with store.reading() as transaction:
            row = (await transaction.execute(select(API_KEYS))).one()
            assert made.key not in " ".join(map(str, row))
            assert utc_now() - row.last_used_at < timedelta(minutes=1)

    with_store(store_url, look)


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        ({"tenant": "Harbour Row"}, "Tenant 'Harbour Row'"),
        ({"tenant": "harbour-row", "scopes": frozenset()}, "needs a scope"),
        ({"tenant": "harbour-row", "expires_at": utc_now() - timedelta(1)}, "expired already"),
    ],
)
def test_a_key_that_cannot_be_made_is_refused(
    store_url: str, arguments: dict[str, object], told: str
) -> None:
    with pytest.raises(KeyFault, match=told):
        make_keys(store_url, arguments)


def test_what_a_key_reads_stays_within_the_log(
    store_url: str, caplog: pytest.LogCaptureFixture
) -> None:
    (made,) = make_keys(store_url, {"tenant": "harbour-row"})
    with (
        caplog.at_level("INFO"),
        running_service(settings_for(store_url), solves=False) as service,
        client_with(service.address, made.key) as client,
    ):
        client.get("/v1/catalogues")
        client.get("/v1/catalogues", headers={"authorization": f"Bearer {made.key}x"})
    told = [str(record.__dict__) for record in caplog.records if record.name.startswith("service")]
    assert any("/v1/catalogues" in line for line in told)
    assert not any(made.key in line or "127.0.0.1" in line for line in told)


def test_requests_beyond_the_limit_are_told_when_to_come_back(store_url: str) -> None:
    one, other = make_keys(store_url, {"tenant": "harbour-row"}, {"tenant": "quay-side"})
    with running_service(settings_for(store_url, requests_per_minute=3), solves=False) as service:
        with client_with(service.address, one.key) as client:
            answers = [client.get("/v1/catalogues") for _ in range(5)]
            assert [a.status_code for a in answers] == [200, 200, 200, 429, 429]
            assert [a.headers["ratelimit-remaining"] for a in answers[:3]] == ["2", "1", "0"]
            assert 0 < int(answers[3].headers["retry-after"]) <= 60
            assert answers[3].json()["code"] == "too-many-requests"
        with client_with(service.address, other.key) as client:
            assert client.get("/v1/catalogues").status_code == 200


def test_a_key_made_for_a_tenant_that_is_there_is_added_to_it(store_url: str) -> None:
    make_keys(store_url, {"tenant": "harbour-row"}, {"tenant": "harbour-row"})

    async def count(store: Store) -> None:
        async with store.reading() as transaction:
            found = await transaction.execute(text("SELECT count(*) FROM tenants"))
            assert found.scalar_one() == 1
        await make_key(
            store,
            tenant="harbour-row",
            name="",
            scopes=frozenset({Scope.READ}),
            expires_at=None,
            now=utc_now(),
        )

    with_store(store_url, count)
