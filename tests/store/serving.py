"""A service over a store of its own, with keys of two tenants."""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

import httpx

from service.access.caller import Scope
from service.access.keys import NewKey, make_key
from service.clock import utc_now
from service.settings import Settings
from service.store.migrate import migrate
from service.store.store import Store, read_store_url
from tests.serving import running_service

EVERY_SCOPE = frozenset(Scope)


@dataclass(frozen=True)
class TwoTenants:
    """A service, and a client for each of two tenants, with every scope."""

    address: str
    store_url: str
    row: httpx.Client
    quay: httpx.Client


def make_keys(store_url: str, *asked: dict[str, Any]) -> list[NewKey]:
    """Make keys in a store, one for each set of arguments."""

    async def run() -> list[NewKey]:
        store = Store(read_store_url(store_url))
        try:
            await migrate(store)
            usual = {"name": "", "scopes": EVERY_SCOPE, "expires_at": None, "now": utc_now()}
            return [await make_key(store, **{**usual, **arguments}) for arguments in asked]
        finally:
            await store.close()

    return asyncio.run(run())


def settings_for(store_url: str, **further: Any) -> Settings:
    """Return settings for a test."""
    return Settings(
        **{"store": store_url, "shutdown_seconds": 2, "requests_per_minute": 0, **further}
    )


@contextmanager
def client_with(address: str, key: str) -> Iterator[httpx.Client]:
    """Give a client that sends a key."""
    headers = {"authorization": f"Bearer {key}"}
    with httpx.Client(base_url=address, timeout=60, headers=headers) as client:
        yield client


@contextmanager
def two_tenants(store_url: str, *, solves: bool = False, **further: Any) -> Iterator[TwoTenants]:
    """Serve two tenants: Harbour Row, and one that should see nothing of it."""
    row, quay = make_keys(store_url, {"tenant": "harbour-row"}, {"tenant": "quay-side"})
    with (
        running_service(settings_for(store_url, **further), solves=solves) as service,
        client_with(service.address, row.key) as of_row,
        client_with(service.address, quay.key) as of_quay,
    ):
        yield TwoTenants(address=service.address, store_url=store_url, row=of_row, quay=of_quay)


def expired(key_of: str = "harbour-row") -> dict[str, Any]:
    """Return the arguments of a key that has expired by the time it is used."""
    past: datetime = utc_now() - timedelta(days=2)
    return {"tenant": key_of, "now": past, "expires_at": past + timedelta(days=1)}
