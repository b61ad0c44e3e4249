"""The history of the tables leads to the tables that the service works with, on both backends."""

import asyncio

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import Connection, text

from service.store.copying import copy_store
from service.store.migrate import migrate, newest_revision, read_revision
from service.store.store import Store, StoreError, read_store_url
from service.store.tables import METADATA
from tests.store.filling import fill_every_table, read_every_row
from tests.stores import SQLITE, new_store_url


def test_the_history_leads_to_the_tables(store_url: str) -> None:
    def differences(connection: Connection) -> list[object]:
        return list(compare_metadata(MigrationContext.configure(connection), METADATA))

    async def run() -> None:
        store = Store(read_store_url(store_url))
        assert await read_revision(store) == ""
        assert await migrate(store)
        assert await read_revision(store) == newest_revision()
        assert not await migrate(store)
        async with store.reading() as transaction:
            assert await transaction.run_sync(differences) == []
        await store.close()

    asyncio.run(run())


def test_two_processes_may_migrate_at_once(store_url: str) -> None:
    async def run() -> None:
        stores = [Store(read_store_url(store_url)) for _ in range(3)]
        done = await asyncio.gather(*(migrate(store) for store in stores))
        assert sorted(done) == [False, False, True]
        await asyncio.gather(*(store.close() for store in stores))

    asyncio.run(run())


def test_a_store_of_a_newer_version_is_refused_and_left_alone(store_url: str) -> None:
    async def run() -> None:
        store = Store(read_store_url(store_url))
        await migrate(store)
        async with store.writing() as transaction:
            await transaction.execute(text("UPDATE alembic_version SET version_num = '9999'"))
        with pytest.raises(StoreError, match=r"revision 9999.*newer"):
            await migrate(store)
        assert await read_revision(store) == "9999"
        await store.close()

    asyncio.run(run())


def test_everything_is_copied_and_nothing_to_a_store_that_is_in_use(
    store_url: str, tmp_path: object
) -> None:
    async def run(other_url: str) -> None:
        source, target = Store(read_store_url(store_url)), Store(read_store_url(other_url))
        await migrate(source)
        await fill_every_table(source)
        copied = await copy_store(source, target)
        assert {part.table for part in copied} == set(METADATA.tables)
        assert all(part.rows for part in copied)
        assert await read_every_row(target) == await read_every_row(source)
        # The other way round neither store may be written over.
        with pytest.raises(StoreError, match="nothing was copied"):
            await copy_store(target, source)
        await source.close()
        await target.close()

    with new_store_url(SQLITE, tmp_path) as other_url:  # type: ignore[arg-type]
        asyncio.run(run(other_url))
