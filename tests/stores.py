"""Stores for tests: a new file of SQLite each, and a new database where PostgreSQL is there.

The address of a server of PostgreSQL is taken from the environment, as in
`WEATHERSTRIP_TEST_POSTGRESQL=postgresql://user@127.0.0.1/postgres`. Tests that need one are
skipped without it.
"""

import os
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import NullPool, create_engine, make_url, text

VARIABLE = "WEATHERSTRIP_TEST_POSTGRESQL"
SQLITE, POSTGRESQL = "sqlite", "postgresql"
BACKENDS = (SQLITE, POSTGRESQL)


@contextmanager
def new_store_url(backend: str, folder: Path) -> Iterator[str]:
    """Give the address of a store that nothing is in yet, and remove it at the end."""
    if backend == SQLITE:
        yield f"sqlite:///{folder / uuid.uuid4().hex}.sqlite"
        return
    stated = os.environ.get(VARIABLE)
    if not stated:
        pytest.skip(f"needs a server of PostgreSQL: set {VARIABLE} to its address")
    server = make_url(stated).set(drivername="postgresql+psycopg")
    name = f"weatherstrip_{uuid.uuid4().hex[:16]}"
    engine = create_engine(server, isolation_level="AUTOCOMMIT", poolclass=NullPool)
    try:
        with engine.connect() as connection:
            connection.execute(text(f'CREATE DATABASE "{name}"'))
        yield server.set(drivername="postgresql", database=name).render_as_string(
            hide_password=False
        )
        with engine.connect() as connection:
            connection.execute(text(f'DROP DATABASE "{name}" WITH (FORCE)'))
    finally:
        engine.dispose()
