"""Commands on the store itself: bring it to this version, move it, tell its state."""

import argparse
import asyncio
import os
from typing import Any

from service.settings import read_settings
from service.store.copying import copy_store
from service.store.migrate import migrate, newest_revision, read_revision
from service.store.store import Store, read_store_url


def add_store_commands(commands: Any) -> None:
    """Add `store` with its commands to a parser's commands."""
    store = commands.add_parser("store", help="migrate, move or look at what the service keeps")
    ways = store.add_subparsers(required=True, metavar="WHAT")
    ways.add_parser(
        "migrate", help="bring the store to this version; the server does so when it starts"
    ).set_defaults(command=_migrate)
    ways.add_parser("state", help="tell where the store is and its version").set_defaults(
        command=_tell
    )
    move = ways.add_parser(
        "copy",
        help="copy everything to another, empty store",
        description="Copies every row to another store that has none: from a file of SQLite to "
        "PostgreSQL, or back. Stop the service first. The source is not changed.",
    )
    move.set_defaults(command=_copy)
    move.add_argument("--to", required=True, metavar="STORE", type=read_store_url)


def _migrate(_: argparse.Namespace) -> int:
    async def run(store: Store) -> str:
        changed = await migrate(store)
        done = "was brought to" if changed else "is at"
        return f"{store.describe()} {done} revision {newest_revision()}."

    print(_with_store(run))
    return 0


def _tell(_: argparse.Namespace) -> int:
    async def run(store: Store) -> str:
        revision = await read_revision(store) or "none"
        return f"{store.describe()}: revision {revision}, this version has {newest_revision()}."

    print(_with_store(run))
    return 0


def _copy(options: argparse.Namespace) -> int:
    async def run(store: Store) -> str:
        target = Store(options.to)
        try:
            copied = await copy_store(store, target)
        finally:
            await target.close()
        lines = [f"{part.rows:>9,}  {part.table}" for part in copied]
        return "\n".join([*lines, f"Copied to {target.describe()}."])

    print(_with_store(run))
    return 0


def _with_store(work: Any) -> str:
    async def run() -> str:
        store = Store(read_store_url(read_settings(os.environ).store))
        try:
            return str(await work(store))
        finally:
            await store.close()

    return asyncio.run(run())
