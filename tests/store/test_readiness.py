"""Readiness says which part of the service is missing."""

import asyncio
import sqlite3
from pathlib import Path
from typing import Any

import httpx
import pytest
from sqlalchemy import text

from service.access.keys import add_tenant
from service.store.counts import count_jobs
from service.store.migrate import migrate, newest_revision
from service.store.store import Store, read_store_url
from service.store.tables import JOBS
from service.watching import Standing
from tests.serving import running_service
from tests.store.filling import MOMENT, sample
from tests.store.serving import settings_for


def ready(client: httpx.Client) -> httpx.Response:
    return client.get("/health/ready")


def set_revision(store_url: str, revision: str) -> None:
    """Have the store say that it is at another revision."""

    async def run() -> None:
        store = Store(read_store_url(store_url))
        try:
            async with store.writing() as transaction:
                await transaction.execute(
                    text("UPDATE alembic_version SET version_num = :r"), {"r": revision}
                )
        finally:
            await store.close()

    asyncio.run(run())


def parts_of(answer: httpx.Response) -> dict[str, str]:
    """Return the messages of a 503, by the part that fails."""
    problem = answer.json()
    assert answer.status_code == 503, problem
    assert problem["code"] == "not-ready"
    assert answer.headers["retry-after"] == "1"
    return {fault["pointer"]: fault["message"] for fault in problem["faults"]}


def test_tables_that_were_emptied_of_their_history_are_told(store_url: str) -> None:
    with running_service(settings_for(store_url)) as service:
        assert ready(service.client).status_code == 200
        set_revision(store_url, "")
        parts = parts_of(ready(service.client))
        assert list(parts) == ["/migrations"]
        assert newest_revision() in parts["/migrations"]
        assert "store migrate" in parts["/migrations"]
        # A newer version that is being rolled out has brought the store further.
        set_revision(store_url, "zzzz")
        assert ready(service.client).status_code == 200


def test_a_store_that_cannot_be_read_is_told_without_its_place(tmp_path: Path) -> None:
    file = tmp_path / "kept.sqlite"
    with running_service(settings_for(str(file))) as service:
        with sqlite3.connect(file) as spoiling:
            spoiling.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        for part in tmp_path.iterdir():
            part.write_bytes(b"no database " * 1_000)
        parts = parts_of(ready(service.client))
        assert "/store" in parts
        assert str(tmp_path) not in parts["/store"]
        assert service.client.get("/health/live").status_code == 200


def test_a_service_without_a_solver_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: Any) -> None:
        raise OSError("no more processes")

    monkeypatch.setattr("service.jobs.pool.SolverProcess", fails)
    with running_service(settings_for(str(tmp_path / "kept.sqlite")), solves=False) as service:
        assert list(parts_of(ready(service.client))) == ["/solver"]


def test_jobs_are_counted_by_status_over_all_tenants(store_url: str) -> None:
    async def run() -> tuple[dict[str, int], dict[str, int]]:
        store = Store(read_store_url(store_url))
        try:
            await migrate(store)
            before = await count_jobs(store)
            await keep_jobs(
                store, ("harbour-row", "queued"), ("quay-side", "queued"), ("quay-side", "failed")
            )
            return before, await count_jobs(store)
        finally:
            await store.close()

    assert asyncio.run(run()) == ({}, {"queued": 2, "failed": 1})


async def keep_jobs(store: Store, *jobs: tuple[str, str]) -> None:
    """Keep jobs of no order, each of a tenant and with a status."""
    usual = {c.name: None if c.foreign_keys else sample(c) for c in JOBS.columns}
    async with store.writing() as transaction:
        for number, (tenant, status) in enumerate(jobs):
            await add_tenant(transaction, tenant, MOMENT)
            row = {**usual, "id": f"job-{number}", "tenant_id": tenant, "status": status}
            await transaction.execute(JOBS.insert().values(**row))


def test_a_store_that_is_away_leaves_jobs_out_of_the_standing(tmp_path: Path) -> None:
    class Pool:
        solvers = at_work = waiting = 0

    async def run() -> dict[str, int]:
        (tmp_path / "kept.sqlite").write_bytes(b"no database " * 1_000)
        store = Store(read_store_url(str(tmp_path / "kept.sqlite")))
        try:
            standing = Standing(Pool(), lambda: count_jobs(store))  # type: ignore[arg-type]
            return (await standing.tell()).jobs
        finally:
            await store.close()

    assert asyncio.run(run()) == {}
