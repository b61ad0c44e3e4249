"""Webhooks, and the messages that are noted for them in the transaction of what they tell."""

import base64
import json
import secrets
from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta
from typing import Any
from urllib.parse import urlsplit, urlunsplit

from service.store import rows
from service.store.audit import Actor, record
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import WEBHOOK_MESSAGES, WEBHOOKS
from service.wire.webhooks import MessageState, WebhookEvent

KIND = "webhook"

SECRET_BYTES = 32
"""Standard Webhooks asks for 24 to 64."""

OLD_SECRET_SIGNS = timedelta(hours=24)
"""How long messages are signed with the secret before, too, after a rotation."""


async def announce(
    transaction: Transaction,
    tenant: str,
    event: WebhookEvent,
    payload: Mapping[str, Any],
    now: datetime,
) -> None:
    """Note a message for each active webhook of the tenant that wants the event.

    It is noted in the transaction of the change that it tells of: both are kept, or neither. The
    body has the form that Standard Webhooks recommends, with `payload`, of JSON, as its `data`.
    """
    body = {
        "type": event.value,
        "timestamp": now.astimezone(UTC).isoformat().replace("+00:00", "Z"),
        "data": dict(payload),
    }
    text = json.dumps(body, ensure_ascii=False)
    order = rows.Order(column="created_at")
    for webhook in await rows.find_all(
        transaction, WEBHOOKS, tenant, order=order, keep=True, active=True
    ):
        if webhook.events and event.value not in webhook.events.split():
            continue
        message = {
            "id": rows.new_identifier(),
            "webhook_id": webhook.id,
            "event": event.value,
            "payload": text,
            "state": MessageState.WAITING.value,
            "attempts": 0,
            "next_attempt_at": now,
            "created_at": now,
        }
        await rows.add(transaction, WEBHOOK_MESSAGES, tenant, message)


async def add_webhook(
    transaction: Transaction, actor: Actor, url: str, events: Iterable[WebhookEvent]
) -> StoredRow:
    """Set a webhook with a new secret; return it."""
    webhook_id = rows.new_identifier()
    values = {
        "id": webhook_id,
        "url": url,
        "secret": _new_secret(),
        "events": _write_events(events),
        "active": True,
        "revision": 1,
        "created_at": actor.now,
        "changed_at": actor.now,
    }
    await rows.add(transaction, WEBHOOKS, actor.tenant, values)
    row = await _read(transaction, actor.tenant, webhook_id)
    await _record(transaction, actor, "webhook-added", after=row)
    return row


async def change_webhook(
    transaction: Transaction,
    actor: Actor,
    before: StoredRow,
    *,
    url: str,
    events: Iterable[WebhookEvent],
    active: bool,
) -> StoredRow:
    """Change a webhook; return it.

    Raises:
        ChangedMeanwhile: it has changed since it was read.
    """
    values = {"url": url, "events": _write_events(events), "active": active}
    return await _change(transaction, actor, before, "webhook-changed", values)


async def rotate_secret(transaction: Transaction, actor: Actor, before: StoredRow) -> StoredRow:
    """Give a webhook a new secret; the one before signs messages too, for a day. Return it.

    Raises:
        ChangedMeanwhile: it has changed since it was read.
    """
    until = (actor.now + OLD_SECRET_SIGNS).astimezone(UTC).isoformat()
    old = current_secret(before.secret)
    values = {"secret": f"{_new_secret()} {old} {until}"}
    return await _change(transaction, actor, before, "secret-rotated", values)


async def deactivate_webhook(transaction: Transaction, actor: Actor, webhook_id: str) -> None:
    """Send nothing more to a webhook, if it is there and active."""
    before = await rows.find(
        transaction, WEBHOOKS, actor.tenant, lock=True, id=webhook_id, active=True
    )
    if before is not None:
        await _change(transaction, actor, before, "webhook-deactivated", {"active": False})


async def remove_webhook(transaction: Transaction, actor: Actor, webhook: StoredRow) -> None:
    """Remove a webhook that is locked, with its messages."""
    await rows.remove(transaction, WEBHOOK_MESSAGES, actor.tenant, webhook_id=webhook.id)
    await rows.remove(transaction, WEBHOOKS, actor.tenant, id=webhook.id)
    await _record(transaction, actor, "webhook-removed", before=webhook)


def current_secret(kept: str) -> str:
    """Return the secret that counts from now on, of what the column holds."""
    return kept.split(maxsplit=1)[0]


def signing_secrets(kept: str, now: datetime) -> tuple[str, ...]:
    """Return the secrets to sign with at a moment; the one before the current only for a day."""
    current, *rotated = kept.split()
    if rotated and now < datetime.fromisoformat(rotated[1]):
        return current, rotated[0]
    return (current,)


async def _change(
    transaction: Transaction, actor: Actor, before: StoredRow, action: str, values: dict[str, Any]
) -> StoredRow:
    await rows.change(
        transaction,
        WEBHOOKS,
        actor.tenant,
        before.id,
        revision=before.revision,
        values={**values, "changed_at": actor.now},
    )
    after = await _read(transaction, actor.tenant, before.id)
    await _record(transaction, actor, action, before=before, after=after)
    return after


async def _read(transaction: Transaction, tenant: str, webhook_id: str) -> StoredRow:
    row = await rows.find(transaction, WEBHOOKS, tenant, id=webhook_id)
    assert row is not None
    return row


async def _record(
    transaction: Transaction,
    actor: Actor,
    action: str,
    *,
    before: StoredRow | None = None,
    after: StoredRow | None = None,
) -> None:
    webhook = before or after
    assert webhook is not None
    await record(
        transaction,
        actor,
        action=action,
        kind=KIND,
        resource_id=webhook.id,
        before=_facts_of(before),
        after=_facts_of(after),
    )


def _facts_of(webhook: StoredRow | None) -> dict[str, Any] | None:
    if webhook is None:
        return None
    # What a query holds is often a key.
    url = urlunsplit((*urlsplit(webhook.url)[:3], "", ""))
    return {"url": url, "events": webhook.events.split(), "active": webhook.active}


def _write_events(events: Iterable[WebhookEvent]) -> str:
    return " ".join(sorted({event.value for event in events}))


def _new_secret() -> str:
    return "whsec_" + base64.b64encode(secrets.token_bytes(SECRET_BYTES)).decode()
