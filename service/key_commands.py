"""Commands that make, list, rotate and revoke API keys, in the store of the settings."""

import argparse
import asyncio
import os
from collections.abc import Awaitable, Callable
from datetime import datetime, timedelta
from typing import Any

from service.access.caller import Scope
from service.access.keys import NewKey, list_keys, make_key, revoke_key, rotate_key
from service.app import open_store
from service.clock import utc_now
from service.settings import read_settings
from service.store.store import Store

MOST_DAYS = 3_650


def add_key_commands(commands: Any) -> None:
    """Add `keys` with its commands to a parser's commands."""
    keys = commands.add_parser("keys", help="make, list, rotate and revoke API keys")
    ways = keys.add_subparsers(required=True, metavar="WHAT")

    make = ways.add_parser("make", help="make a key; it is shown once")
    make.set_defaults(command=_make)
    make.add_argument("--tenant", required=True, help="whose: small letters, digits, dashes")
    make.add_argument("--name", default="", help="what it is for, as in the list of keys")
    make.add_argument(
        "--scopes",
        nargs="+",
        type=Scope,
        choices=list(Scope),
        metavar="SCOPE",
        default=[Scope.PLAN, Scope.READ, Scope.WRITE],
        help=f"what it may be used for: {', '.join(Scope)}; default plan read write",
    )
    make.add_argument(
        "--days", type=_days, default=365, help="how long it is good for; default 365"
    )

    ways.add_parser("list", help="list the keys, without the keys themselves").set_defaults(
        command=_list
    )

    rotate = ways.add_parser("rotate", help="make a key that follows another one")
    rotate.set_defaults(command=_rotate)
    rotate.add_argument("key_id", help="the identifier of the key that it follows")
    rotate.add_argument(
        "--overlap-hours", type=float, default=24.0, help="how long both are good; default 24"
    )

    revoke = ways.add_parser("revoke", help="end a key at once")
    revoke.set_defaults(command=_revoke)
    revoke.add_argument("key_id", help="the identifier of the key")


def _make(options: argparse.Namespace) -> int:
    async def make(store: Store) -> NewKey:
        now = utc_now()
        return await make_key(
            store,
            tenant=options.tenant,
            name=options.name,
            scopes=frozenset(options.scopes),
            expires_at=now + timedelta(days=options.days),
            now=now,
        )

    _show(_run(make))
    return 0


def _list(_: argparse.Namespace) -> int:
    found = _run(list_keys)
    now = utc_now()
    for row in found:
        state = _name_state(row.expires_at, row.revoked_at, now)
        used = f"last used {row.last_used_at:%Y-%m-%d}" if row.last_used_at else "never used"
        print(f"{row.id}  {row.tenant_id}  {row.name or '-'}  {row.scopes}  {state}  {used}")
    if not found:
        print("There are no keys.")
    return 0


def _rotate(options: argparse.Namespace) -> int:
    async def rotate(store: Store) -> NewKey:
        overlap = timedelta(hours=max(0.0, options.overlap_hours))
        return await rotate_key(store, key_id=options.key_id, overlap=overlap, now=utc_now())

    _show(_run(rotate))
    return 0


def _revoke(options: argparse.Namespace) -> int:
    async def revoke(store: Store) -> None:
        await revoke_key(store, key_id=options.key_id, now=utc_now())

    _run(revoke)
    print(f"Key {options.key_id} has ended; a running service notices within 5 seconds.")
    return 0


def _show(made: NewKey) -> None:
    print(f"Key {made.key_id}. It is shown this once; keep it where secrets are kept:")
    print(made.key)


def _name_state(expires_at: datetime | None, revoked_at: datetime | None, now: datetime) -> str:
    if revoked_at is not None:
        return f"revoked {revoked_at:%Y-%m-%d}"
    if expires_at is None:
        return "good without end"
    word = "expired" if expires_at <= now else "good until"
    return f"{word} {expires_at:%Y-%m-%d}"


def _days(text: str) -> int:
    days = int(text)
    if not 1 <= days <= MOST_DAYS:
        raise argparse.ArgumentTypeError(f"{text} is out of range; give 1 to {MOST_DAYS} days")
    return days


def _run(work: Callable[[Store], Awaitable[Any]]) -> Any:
    async def run() -> Any:
        async with open_store(read_settings(os.environ), utc_now) as store:
            return await work(store)

    return asyncio.run(run())
