"""What a fault of the store comes to: a clear refusal, and nothing lost. `python -m tests.benchmark
storefaults` has the slower ones.
"""

import asyncio
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import text, update

from service.access.caller import LOCAL_TENANT
from service.access.keys import add_tenant
from service.app import open_store
from service.clock import utc_now
from service.server import serve
from service.store.jobs import LEASE, add_job, claim_job, find_stalled
from service.store.kept_answers import Claim, claim
from service.store.leases import CLOCKS_DIFFER, has_ended
from service.store.migrate import migrate
from service.store.store import Store, StoreError, read_store_url
from service.store.tables import WEBHOOK_MESSAGES, WEBHOOKS
from service.store.webhook_messages import claim_next
from tests.benchmark.kept_orders import KeptOrders
from tests.benchmark.relay import relayed
from tests.benchmark.storefaults import PAGE_BYTES
from tests.serving import running_service, wait_until_ready
from tests.store.filling import sample
from tests.store.serving import settings_for
from tests.stores import POSTGRESQL, new_store_url

HOUR = timedelta(hours=1)


def refused(store_url: str) -> str:
    """Return why a service over a store refuses to start."""
    with pytest.raises(StoreError) as told:
        serve(settings_for(store_url, port=0), announce=print)
    return str(told.value)


def test_a_damaged_file_is_named_at_the_start(tmp_path: Path) -> None:
    file = tmp_path / "kept.sqlite"
    file.write_bytes(b"\xa5" * PAGE_BYTES)
    assert refused(str(file)) == (
        f"SQLite file {file}: file is not a database; the file is damaged, or no database of "
        "SQLite: restore it from its back-up, or name another one"
    )


def test_a_store_that_may_only_be_read_is_told_of_at_the_start(tmp_path: Path) -> None:
    with new_store_url(POSTGRESQL, tmp_path) as url:

        async def open_twice() -> None:
            async with open_store(settings_for(url), utc_now) as store:
                name = store.url.database
                async with store.writing() as transaction:
                    only_read = f'ALTER DATABASE "{name}" SET default_transaction_read_only = on'
                    await transaction.execute(text(only_read))

        asyncio.run(open_twice())
        assert "name a server that may be written" in refused(url)


def test_damage_is_a_refusal_and_ends_with_it(tmp_path: Path) -> None:
    file = tmp_path / "kept.sqlite"
    orders = KeptOrders()
    with running_service(settings_for(str(file)), solves=False) as service:
        orders.send(service.client, 6)
    sound = file.read_bytes()
    pages = [sound[at : at + PAGE_BYTES] for at in range(0, len(sound), PAGE_BYTES)]
    with running_service(settings_for(str(file)), solves=False) as service:
        half = len(pages) // 2
        file.write_bytes(b"".join([*pages[:half], b"\xa5" * PAGE_BYTES * (len(pages) - half)]))
        orders.read(service.client)
        assert orders.refused > 0
        file.write_bytes(sound)
        orders.check_all_is_kept(service.client)
    assert orders.findings == {}


def test_a_server_that_is_away_is_a_refusal_and_ends_with_it(tmp_path: Path) -> None:
    with (
        new_store_url(POSTGRESQL, tmp_path) as direct,
        relayed(direct) as (relay, url),
        running_service(settings_for(url), solves=False) as service,
    ):
        orders = KeptOrders()
        orders.send(service.client, 2)
        relay.cut()
        assert orders.send(service.client, 2) == orders.read(service.client) == 0
        assert orders.refused == 4
        assert service.client.get("/health/ready").status_code == 503
        relay.mend()
        wait_until_ready(service.client, sign="/health/live")
        assert orders.send(service.client, 2, again_from=2) == 2
        orders.check_all_is_kept(service.client)
        assert orders.findings == {}


def test_a_lease_ends_by_time_and_where_the_clock_was_set_back() -> None:
    now = utc_now()
    assert has_ended(now, now, LEASE)
    assert not has_ended(now + LEASE, now, LEASE)
    assert not has_ended(now + LEASE + CLOCKS_DIFFER, now, LEASE)
    assert has_ended(now + HOUR, now, LEASE)


def test_what_was_left_behind_does_not_wait_for_a_clock_that_was_set_back(store_url: str) -> None:
    async def run() -> None:
        store, now = Store(read_store_url(store_url)), utc_now()
        await migrate(store)
        async with store.writing() as transaction:
            await add_tenant(transaction, LOCAL_TENANT, now)
            asked = {"order_id": None, "openings": 1, "request": "{}", "trace_context": None}
            job_id = await add_job(transaction, LOCAL_TENANT, **asked, now=now)  # type: ignore[arg-type]
            of_tenant = {"tenant_id": LOCAL_TENANT, "created_at": now}
            hook = {c.name: sample(c) for c in WEBHOOKS.columns} | of_tenant
            message = {c.name: sample(c) for c in WEBHOOK_MESSAGES.columns} | of_tenant
            hook |= {"active": True}
            message |= {
                "webhook_id": hook["id"],
                "state": "waiting",
                "attempts": 0,
                "next_attempt_at": now,
                "lease_until": None,
            }
            await transaction.execute(WEBHOOKS.insert().values(**hook))
            await transaction.execute(WEBHOOK_MESSAGES.insert().values(**message))
        await claim_job(store, job_id, "gone", now)
        request = {"tenant": LOCAL_TENANT, "key": "left", "fingerprint": "f"}
        await claim(store, **request, now=now)
        assert await find_stalled(store, now) == []
        assert [found.job_id for found in await find_stalled(store, now - HOUR)] == [job_id]
        assert isinstance(await claim(store, **request, now=now - HOUR), Claim)
        taken = await claim_next(store, now - HOUR, ())
        assert taken is not None and taken.attempt == 1
        # One that was put off after an attempt waits for its time.
        put_off = update(WEBHOOK_MESSAGES).values(lease_until=None)
        async with store.writing() as transaction:
            await transaction.execute(put_off)
        assert await claim_next(store, now - HOUR, ()) is None
        await store.close()

    asyncio.run(run())


def test_no_connection_that_comes_free_is_a_failure_of_the_store(tmp_path: Path) -> None:
    async def run() -> None:
        store = Store(read_store_url(str(tmp_path / "kept.sqlite")), connections=1)
        store.engine.sync_engine.pool._timeout = 0.05  # type: ignore[attr-defined]
        async with store.reading():
            with pytest.raises(StoreError, match="no connection came free"):
                async with store.reading():
                    pass
        await store.close()

    asyncio.run(run())


def test_nothing_is_found_under_what_no_store_can_hold(store_url: str) -> None:
    with running_service(settings_for(store_url), solves=False) as service:
        for place in ("orders", "plans", "jobs", "catalogues", "racks", "webhooks"):
            answer = service.client.get(f"/v1/{place}/a%00b")
            assert (answer.status_code, answer.json()["code"]) == (404, "not-found"), place
        for query in ("orders?reference", "audit-entries?resource_id", "plans?order_id"):
            answer = service.client.get(f"/v1/{query}=a%00b")
            assert (answer.status_code, answer.json()["entries"]) == (200, []), query
