"""Bringing a store to the tables that this version of the service works with."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection, text

from service.store.store import Store, StoreError

_FOLDER = Path(__file__).parent / "migrations"

_LOCK = 5_703_418_662
"""PostgreSQL's advisory lock under which one process at a time migrates; any number would do."""


def newest_revision() -> str:
    """Return the revision that this version of the service works with."""
    return ScriptDirectory.from_config(alembic_config()).get_current_head() or ""


def known_revisions() -> frozenset[str]:
    """Return every revision that this version of the service knows, the newest among them."""
    scripts = ScriptDirectory.from_config(alembic_config())
    return frozenset(script.revision for script in scripts.walk_revisions())


async def read_revision(store: Store) -> str:
    """Return the revision that the store is at; empty where it has no tables yet.

    Raises:
        StoreError: the store cannot be read.
    """
    async with store.reading() as transaction:
        return await transaction.run_sync(_read)


async def migrate(store: Store) -> bool:
    """Bring the store to the newest revision, in one transaction; return whether it changed.

    Raises:
        StoreError: the store cannot be written, or a newer version of the service made it.
    """
    known = known_revisions()
    async with store.writing() as transaction:
        if not store.embedded:
            await transaction.execute(text("SELECT pg_advisory_xact_lock(:lock)"), {"lock": _LOCK})
        revision = await transaction.run_sync(_read)
        if revision and revision not in known:
            raise StoreError(
                f"{store.describe()} is at revision {revision}, which this version of the service "
                "does not know: a newer one made it. Start that version, or restore a back-up."
            )
        if revision == newest_revision():
            # A store that may only be read is told of now, and not by every request.
            await transaction.execute(text("UPDATE alembic_version SET version_num = version_num"))
            return False
        await transaction.run_sync(_upgrade)
    return True


def _read(connection: Connection) -> str:
    return MigrationContext.configure(connection).get_current_revision() or ""


def _upgrade(connection: Connection) -> None:
    config = alembic_config()
    config.attributes["connection"] = connection
    command.upgrade(config, "head")


def alembic_config() -> Config:
    """Return what Alembic needs to know: where the steps are."""
    config = Config()
    config.set_main_option("script_location", str(_FOLDER).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config
