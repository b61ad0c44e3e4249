"""The store: one file of SQLite or one database of PostgreSQL, and transactions over it."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import event, text
from sqlalchemy.engine import URL, ExceptionContext, make_url
from sqlalchemy.exc import ArgumentError, DBAPIError, SQLAlchemyError
from sqlalchemy.exc import TimeoutError as NoConnectionFree
from sqlalchemy.ext.asyncio import AsyncConnection, AsyncEngine, create_async_engine

SQLITE, POSTGRESQL = "sqlite", "postgresql"

BUSY_MILLISECONDS = 10_000
"""How long SQLite waits for another process that writes."""

Transaction = AsyncConnection


class StoreError(Exception):
    """The store cannot be opened, read or written; the message says why and what would mend it."""


def read_store_url(stated: str) -> URL:
    """Return the address of a store: `postgresql://...`, `sqlite:///file`, or the file's name.

    Raises:
        ValueError: neither.
    """
    if "://" not in stated:
        if not stated or "\0" in stated:
            raise ValueError(stated)
        return URL.create("sqlite+aiosqlite", database=str(Path(stated).absolute()))
    try:
        url = make_url(stated)
    except ArgumentError:
        raise ValueError(stated) from None
    backend = url.get_backend_name()
    if backend == SQLITE and url.database:
        return url.set(drivername="sqlite+aiosqlite", database=str(Path(url.database).absolute()))
    if backend == POSTGRESQL or url.drivername == "postgres":
        return url.set(drivername="postgresql+psycopg")
    raise ValueError(stated)


class Store:
    """Owns the connections. Reads see one moment; a transaction that raises leaves nothing."""

    def __init__(self, url: URL, *, connections: int = 10) -> None:
        self.url = url
        self.embedded = url.get_backend_name() == SQLITE
        self._engine = _make_engine(url, connections)
        # SQLite has one writer at a time: those of this process wait for each other here, in
        # turn, and not by trying again and again.
        self._writing = asyncio.Lock()

    @property
    def engine(self) -> AsyncEngine:
        """Return the engine, for migrations and for moving data."""
        return self._engine

    @asynccontextmanager
    async def reading(self) -> AsyncIterator[Transaction]:
        """Give a transaction that only reads.

        Raises:
            StoreError: the store cannot be reached or read.
        """
        async with self._failures_named(), self._engine.connect() as connection:
            await connection.execution_options(writes=False)
            async with connection.begin():
                yield connection

    @asynccontextmanager
    async def writing(self) -> AsyncIterator[Transaction]:
        """Give a transaction that is committed at the end of the block, or rolled back.

        Raises:
            StoreError: the store cannot be reached or written: a full disk, a file that may
                only be read, a damaged file, a server that is away.
        """
        if not self.embedded:
            async with self._failures_named(), self._engine.begin() as connection:
                yield connection
            return
        async with self._writing, self._failures_named(), self._engine.connect() as connection:
            await connection.execution_options(writes=True)
            async with connection.begin():
                yield connection

    async def answers(self) -> bool:
        """Return whether the store can be reached."""
        try:
            async with self.reading() as transaction:
                await transaction.execute(text("SELECT 1"))
        except StoreError:
            return False
        return True

    async def close(self) -> None:
        """Close every connection."""
        await self._engine.dispose()

    def describe(self) -> str:
        """Return what the store is and where, without a password."""
        if self.embedded:
            return f"SQLite file {self.url.database}"
        return f"PostgreSQL at {self.url.render_as_string(hide_password=True)}"

    @asynccontextmanager
    async def _failures_named(self) -> AsyncIterator[None]:
        try:
            yield
        except (DBAPIError, OSError) as error:
            if isinstance(error, DBAPIError) and not is_failure_of_the_store(error):
                raise
            raise StoreError(f"{self.describe()}: {_reason(error)}") from error
        except NoConnectionFree:
            raise StoreError(
                f"{self.describe()}: no connection came free; send fewer requests at once, or see "
                "what keeps the store"
            ) from None


def is_failure_of_the_store(error: DBAPIError) -> bool:
    """Return whether an error is the store's, and not of a statement that broke a constraint."""
    return type(error).__name__ in _FAILURES


def _reason(error: DBAPIError | OSError) -> str:
    told = str(error.orig if isinstance(error, DBAPIError) else error).splitlines()[0]
    lowered = told.lower()
    for sign, remedy in _REMEDIES:
        if sign in lowered:
            return f"{told}; {remedy}"
    return told


_FAILURES = frozenset({"OperationalError", "DatabaseError", "InterfaceError", "InternalError"})

_REMEDIES = (
    ("disk is full", "make room on the disk"),
    (
        "readonly",
        "give the service's user the right to write the file, its folder, and those beside it of "
        "the same name with -wal and -shm",
    ),
    ("read-only transaction", "name a server that may be written, not one that follows another"),
    ("unable to open", "create the folder, or give the service's user the right to write to it"),
    ("malformed", "the file is damaged: restore it from its back-up"),
    (
        "not a database",
        "the file is damaged, or no database of SQLite: restore it from its back-up, or name "
        "another one",
    ),
    ("disk i/o", "see that the disk is sound, and that no limit keeps the file from growing"),
    ("locked", "another process writes to the file; stop it, or use PostgreSQL for several"),
    ("no space", "make room on the disk"),
    ("connection", "see that the server runs and can be reached"),
)


def _make_engine(url: URL, connections: int) -> AsyncEngine:
    try:
        if url.get_backend_name() != SQLITE:
            return create_async_engine(
                url, pool_size=connections, max_overflow=0, pool_pre_ping=True, pool_timeout=30
            )
        engine = create_async_engine(url, pool_size=connections, max_overflow=0)
    except SQLAlchemyError as error:
        raise StoreError(f"The store cannot be opened: {error}") from error
    event.listen(engine.sync_engine, "connect", _set_up_sqlite)
    event.listen(engine.sync_engine, "begin", _begin_sqlite)
    event.listen(engine.sync_engine, "handle_error", _give_up_damaged)
    return engine


def _set_up_sqlite(connection: Any, _record: Any) -> None:
    # Transactions begin where `_begin_sqlite` says, not where the driver thinks fit.
    connection.isolation_level = None
    cursor = connection.cursor()
    try:
        cursor.execute(f"PRAGMA busy_timeout = {BUSY_MILLISECONDS}")
        cursor.execute("PRAGMA journal_mode = WAL")
        # What was answered as kept survives a failure of the power.
        cursor.execute("PRAGMA synchronous = FULL")
        cursor.execute("PRAGMA foreign_keys = ON")
    finally:
        cursor.close()


def _give_up_damaged(context: ExceptionContext) -> None:
    # Connections remember pages of a file that was damaged, and has been mended since: as where a
    # server has gone away, they are made anew.
    told = str(context.original_exception).lower()
    if any(sign in told for sign in ("malformed", "not a database", "disk i/o")):
        context.is_disconnect = True


def _begin_sqlite(connection: Any) -> None:
    # A transaction that will write takes the right to do so at once: one that asked for it only
    # later could be refused for what another has written in between.
    writes = connection.get_execution_options().get("writes", True)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")
