"""Rows of one tenant: the only statements through which the service reads and changes them."""

import uuid
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Row, Table, and_, delete, false, insert, or_, select, update
from sqlalchemy.exc import IntegrityError

from service.store.store import Transaction

Values = Mapping[str, Any]
StoredRow = Row[Any]


class Taken(Exception):
    """A row with the same name, or another value that must be unique, is there already."""


class ChangedMeanwhile(Exception):
    """The row has another revision than the one that was read, or is gone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """How a list is sorted: by a column that never is null, and by the identifier after it."""

    column: str = "created_at"
    descending: bool = False


def new_identifier() -> str:
    """Return an identifier that nobody can guess."""
    return uuid.uuid4().hex


async def find(
    transaction: Transaction, table: Table, tenant: str, *, lock: bool = False, **where: Any
) -> StoredRow | None:
    """Return the tenant's row whose columns have these values; `lock` keeps others from it."""
    statement = select(table).where(*_conditions(table, tenant, where))
    if lock:
        statement = statement.with_for_update()
    return (await transaction.execute(statement)).one_or_none()


async def find_all(
    transaction: Transaction,
    table: Table,
    tenant: str,
    *further: ColumnElement[bool],
    order: Order | None = None,
    keep: bool = False,
    **where: Any,
) -> Sequence[StoredRow]:
    """Return all of the tenant's rows whose columns have these values.

    `keep` is for rows that others are added to: nobody removes them before the transaction ends.
    """
    statement = select(table).where(*_conditions(table, tenant, where), *further)
    if order is not None:
        statement = statement.order_by(*_sorting(table, order))
    if keep:
        statement = statement.with_for_update(read=True, key_share=True)
    return (await transaction.execute(statement)).all()


async def add(transaction: Transaction, table: Table, tenant: str, values: Values) -> None:
    """Add a row.

    Raises:
        Taken: a value that must be unique is there already; the transaction is void then.
    """
    try:
        async with transaction.begin_nested():
            await transaction.execute(insert(table).values(tenant_id=tenant, **values))
    except IntegrityError as error:
        raise Taken(table.name) from error


async def change(
    transaction: Transaction,
    table: Table,
    tenant: str,
    row_id: str,
    *,
    revision: int,
    values: Values,
) -> int:
    """Change a row that still has this revision; return its new revision.

    Raises:
        ChangedMeanwhile: it has another one by now.
    """
    statement = (
        update(table)
        .where(*_conditions(table, tenant, {"id": row_id, "revision": revision}))
        .values(revision=revision + 1, **values)
    )
    if (await transaction.execute(statement)).rowcount != 1:
        raise ChangedMeanwhile(table.name)
    return revision + 1


async def change_where(
    transaction: Transaction,
    table: Table,
    tenant: str,
    *further: ColumnElement[bool],
    values: Values,
    **where: Any,
) -> int:
    """Change the tenant's rows whose columns have these values; return how many they were."""
    statement = update(table).where(*_conditions(table, tenant, where), *further).values(**values)
    return int((await transaction.execute(statement)).rowcount)


async def remove(transaction: Transaction, table: Table, tenant: str, **where: Any) -> int:
    """Remove the tenant's rows whose columns have these values; return how many they were."""
    statement = delete(table).where(*_conditions(table, tenant, where))
    return int((await transaction.execute(statement)).rowcount)


async def read_page(
    transaction: Transaction,
    table: Table,
    tenant: str,
    *further: ColumnElement[bool],
    order: Order,
    after: tuple[Any, str] | None,
    limit: int,
    **where: Any,
) -> tuple[Sequence[StoredRow], bool]:
    """Return the rows that follow a place in a list, and whether more follow them.

    `after` is the value of the sorted column and the identifier of the last row that was read.
    """
    conditions = [*_conditions(table, tenant, where), *further]
    if after is not None:
        conditions.append(_beyond(table, order, after))
    statement = select(table).where(*conditions).order_by(*_sorting(table, order)).limit(limit + 1)
    rows = (await transaction.execute(statement)).all()
    return rows[:limit], len(rows) > limit


def _conditions(table: Table, tenant: str, where: Values) -> list[ColumnElement[bool]]:
    # Nothing that is kept holds NUL, and PostgreSQL takes no text with one: no row has it.
    held = (
        false() if isinstance(value, str) and "\0" in value else table.c[name] == value
        for name, value in where.items()
    )
    return [table.c.tenant_id == tenant, *held]


def _sorting(table: Table, order: Order) -> list[ColumnElement[Any]]:
    columns = [table.c[order.column], *(table.c[name] for name in ("id",) if name in table.c)]
    return [column.desc() if order.descending else column.asc() for column in columns]


def _beyond(table: Table, order: Order, after: tuple[Any, str]) -> ColumnElement[bool]:
    column, value, row_id = table.c[order.column], *after
    if order.descending:
        return or_(column < value, and_(column == value, table.c.id < row_id))
    return or_(column > value, and_(column == value, table.c.id > row_id))
