"""API keys: made, rotated, revoked and looked up. The key itself is shown once and never kept."""

import hashlib
import re
import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Row, or_, select, update

from service.access.caller import Caller, Scope
from service.store import rows
from service.store.store import Store, Transaction
from service.store.tables import API_KEYS, TENANTS

SIGN = "wstrip_"
"""What every key begins with, so that one that leaked is recognised."""

SECRET_BYTES = 32
"""256 bits: a key cannot be guessed, so that a plain digest of it is enough."""

TENANT_NAME = re.compile(r"[a-z0-9][a-z0-9-]{0,62}")

USE_NOTED_EVERY = timedelta(minutes=1)
"""The last use of a key is exact to this."""


class KeyFault(Exception):
    """A key cannot be made, rotated or revoked as asked; the message says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewKey:
    """A key that was made: its identifier, and the key, which cannot be shown again."""

    key_id: str
    key: str


async def add_tenant(transaction: Transaction, tenant: str, now: datetime) -> None:
    """Add a tenant, unless it is there."""
    found = await transaction.execute(select(TENANTS.c.id).where(TENANTS.c.id == tenant))
    if found.one_or_none() is None:
        await transaction.execute(TENANTS.insert().values(id=tenant, created_at=now))


async def make_key(
    store: Store,
    *,
    tenant: str,
    name: str,
    scopes: frozenset[Scope],
    expires_at: datetime | None,
    now: datetime,
) -> NewKey:
    """Make a key for a tenant, which is added where it is new.

    Raises:
        KeyFault: the tenant's name has another form, there are no scopes, or the key would have
            expired already.
    """
    if not TENANT_NAME.fullmatch(tenant):
        raise KeyFault(
            f"Tenant {tenant!r}: a tenant's name is 1 to 63 small letters, digits and dashes, "
            "and begins with a letter or a digit."
        )
    if not scopes:
        raise KeyFault(f"A key needs a scope; there are {', '.join(Scope)}.")
    if expires_at is not None and expires_at <= now:
        raise KeyFault(f"The key would have expired already, at {expires_at:%Y-%m-%d %H:%M} UTC.")
    async with store.writing() as transaction:
        await add_tenant(transaction, tenant, now)
        return await _add_key(
            transaction,
            tenant,
            {
                "name": name,
                "scopes": _write_scopes(scopes),
                "created_at": now,
                "expires_at": expires_at,
            },
        )


async def rotate_key(store: Store, *, key_id: str, overlap: timedelta, now: datetime) -> NewKey:
    """Make a key like another one, which ends when the overlap is over.

    Raises:
        KeyFault: there is no such key, or it has ended.
    """
    async with store.writing() as transaction:
        row = await _find_by_id(transaction, key_id)
        if not _is_live(row, now):
            raise KeyFault(f"Key {key_id} has ended; make a new one.")
        lasted = row.expires_at - row.created_at if row.expires_at else None
        made = await _add_key(
            transaction,
            row.tenant_id,
            {
                "name": row.name,
                "scopes": row.scopes,
                "created_at": now,
                "expires_at": now + lasted if lasted else None,
                "follows": row.id,
            },
        )
        ends = now + overlap
        if row.expires_at is None or row.expires_at > ends:
            await rows.change_where(
                transaction, API_KEYS, row.tenant_id, values={"expires_at": ends}, id=row.id
            )
        return made


async def revoke_key(store: Store, *, key_id: str, now: datetime) -> None:
    """End a key at once.

    Raises:
        KeyFault: there is no such key.
    """
    async with store.writing() as transaction:
        row = await _find_by_id(transaction, key_id)
        if row.revoked_at is None:
            await rows.change_where(
                transaction, API_KEYS, row.tenant_id, values={"revoked_at": now}, id=row.id
            )


async def list_keys(store: Store) -> Sequence[Row[Any]]:
    """Return every key of every tenant, without what would let anyone use it."""
    async with store.reading() as transaction:
        shown = [column for column in API_KEYS.c if column.name != "digest"]
        order = (API_KEYS.c.tenant_id, API_KEYS.c.created_at, API_KEYS.c.id)
        return (await transaction.execute(select(*shown).order_by(*order))).all()


async def any_key(store: Store) -> bool:
    """Return whether there is a key that has not been revoked, expired or not."""
    async with store.reading() as transaction:
        statement = select(API_KEYS.c.id).where(API_KEYS.c.revoked_at.is_(None)).limit(1)
        return (await transaction.execute(statement)).one_or_none() is not None


async def find_caller(store: Store, key: str, now: datetime) -> Caller | None:
    """Return who asks with a key; nobody where it is unknown, revoked or expired."""
    if not key.startswith(SIGN):
        return None
    async with store.reading() as transaction:
        statement = select(API_KEYS).where(API_KEYS.c.digest == digest_of(key))
        row = (await transaction.execute(statement)).one_or_none()
    if row is None or not _is_live(row, now):
        return None
    return Caller(
        tenant=row.tenant_id,
        who=row.id,
        scopes=frozenset(Scope(scope) for scope in row.scopes.split()),
    )


async def note_use(store: Store, key_id: str, now: datetime) -> None:
    """Note that a key was used, unless that was noted a moment ago."""
    stale = or_(API_KEYS.c.last_used_at.is_(None), API_KEYS.c.last_used_at < now - USE_NOTED_EVERY)
    async with store.writing() as transaction:
        statement = update(API_KEYS).where(API_KEYS.c.id == key_id, stale)
        await transaction.execute(statement.values(last_used_at=now))


def digest_of(key: str) -> str:
    """Return the SHA-256 of a key in hexadecimal digits."""
    return hashlib.sha256(key.encode("utf-8", "surrogateescape")).hexdigest()


async def _add_key(transaction: Transaction, tenant: str, values: dict[str, Any]) -> NewKey:
    key = SIGN + secrets.token_urlsafe(SECRET_BYTES)
    key_id = rows.new_identifier()
    await rows.add(
        transaction, API_KEYS, tenant, {"id": key_id, "digest": digest_of(key), **values}
    )
    return NewKey(key_id=key_id, key=key)


async def _find_by_id(transaction: Transaction, key_id: str) -> Row[Any]:
    statement = select(API_KEYS).where(API_KEYS.c.id == key_id)
    row = (await transaction.execute(statement)).one_or_none()
    if row is None:
        raise KeyFault(f"There is no key {key_id!r}; `keys list` shows those that there are.")
    return row


def _is_live(row: Row[Any], now: datetime) -> bool:
    return row.revoked_at is None and (row.expires_at is None or now < row.expires_at)


def _write_scopes(scopes: frozenset[Scope]) -> str:
    return " ".join(scope for scope in Scope if scope in scopes)
