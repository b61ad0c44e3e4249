"""Moving everything from one store to another: from a file of SQLite to PostgreSQL, or back."""

from dataclasses import dataclass

from sqlalchemy import func, insert, select

from service.store.migrate import migrate, newest_revision, read_revision
from service.store.store import Store, StoreError
from service.store.tables import METADATA

ROWS_AT_ONCE = 200


@dataclass(frozen=True, slots=True)
class Copied:
    """How many rows of a table were moved."""

    table: str
    rows: int


async def copy_store(source: Store, target: Store) -> tuple[Copied, ...]:
    """Copy every row of a store to another one that has none; return the rows of each table.

    Both are read and written in one transaction each: whatever fails leaves the target as it
    was. Stop the service first: what it writes meanwhile is not copied.

    Raises:
        StoreError: a store cannot be reached, the source is of another version, or the target
            holds rows already.
    """
    if await read_revision(source) != newest_revision():
        raise StoreError(
            f"{source.describe()} does not have the tables of this version; "
            "migrate it first: python -m service store migrate."
        )
    await migrate(target)
    copied: list[Copied] = []
    async with source.reading() as reading, target.writing() as writing:
        for table in METADATA.sorted_tables:
            found = (await writing.execute(select(func.count()).select_from(table))).scalar_one()
            if found:
                raise StoreError(
                    f"{target.describe()} holds {found:,} rows of {table.name} already; "
                    "nothing was copied. Name an empty store."
                )
        for table in METADATA.sorted_tables:
            rows = 0
            result = await reading.stream(select(table))
            async for part in result.mappings().partitions(ROWS_AT_ONCE):
                await writing.execute(insert(table), [dict(row) for row in part])
                rows += len(part)
            copied.append(Copied(table.name, rows))
    return tuple(copied)
