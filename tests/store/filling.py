"""A row in every table, made of the columns' types alone: no table can be forgotten."""

from datetime import UTC, date, datetime
from typing import Any

from sqlalchemy import (
    Boolean,
    Column,
    Date,
    Float,
    Integer,
    LargeBinary,
    insert,
    select,
)

from service.store.columns import UtcDateTime
from service.store.store import Store
from service.store.tables import METADATA

MOMENT = datetime(2026, 11, 28, 8, 30, 15, 123456, tzinfo=UTC)


def sample(column: Column[Any]) -> Any:
    """Return a value of the column's type; keys are alike, so that rows refer to each other."""
    values = (
        (UtcDateTime, MOMENT),
        (Boolean, True),
        (Date, date(2027, 2, 28)),
        (Integer, 3),
        (Float, 1.5),
        (LargeBinary, b"\x00\xff{}"),
    )
    for kind, value in values:
        if isinstance(column.type, kind):
            return value
    return "x" if column.primary_key or column.foreign_keys else f"{column.name[:2]}é"


async def fill_every_table(store: Store) -> None:
    """Add one row to each table."""
    async with store.writing() as transaction:
        for table in METADATA.sorted_tables:
            row = {column.name: sample(column) for column in table.columns}
            await transaction.execute(insert(table).values(**row))


async def read_every_row(store: Store) -> dict[str, list[dict[str, Any]]]:
    """Return what every table holds."""
    async with store.reading() as transaction:
        return {
            name: [dict(row) for row in (await transaction.execute(select(table))).mappings()]
            for name, table in METADATA.tables.items()
        }
