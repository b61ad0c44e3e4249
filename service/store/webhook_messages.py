"""Messages to webhooks, on their way: taken under a lease, settled by whoever holds it.

A message that is due is claimed by setting its lease, if that is still what it was when it was
read. What came of it counts only under that lease. A process that is gone leaves a lease that
ends: then another one sends the message again.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Select, and_, delete, or_, select, update

from service.store import rows
from service.store.audit import Actor, record
from service.store.leases import ended
from service.store.rows import StoredRow
from service.store.store import Store, Transaction
from service.store.tables import WEBHOOK_MESSAGES, WEBHOOKS
from service.store.webhooks import deactivate_webhook
from service.wire.webhooks import MessageState

KIND = "webhook-message"

LEASE = timedelta(seconds=60)
"""How long a message stays with whoever has taken it; sending takes less."""

KEPT = timedelta(days=30)
"""How long a message is kept once nothing more is done about it, counted from when it was noted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimedMessage:
    """A message that was taken in order to send it, with where it goes and what it is signed with.

    `attempt` counts from 1. `secrets` is what the webhook's column holds.
    """

    message_id: str
    tenant: str
    webhook_id: str
    event: str
    payload: str
    attempt: int
    lease_until: datetime
    url: str
    secrets: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Settlement:
    """What came of an attempt. `gone` is whether the webhook wants nothing more."""

    state: MessageState
    status: int | None
    error: str | None
    next_attempt_at: datetime | None
    gone: bool = False


async def claim_next(store: Store, now: datetime, busy: Collection[str]) -> ClaimedMessage | None:
    """Take the message that is due for the longest time; nothing where none is.

    Those of the webhooks in `busy` are left alone.
    """
    while True:
        async with store.reading() as transaction:
            row = (await transaction.execute(_next_due(now, busy))).one_or_none()
        if row is None:
            return None
        async with store.writing() as transaction:
            taken = (
                update(WEBHOOK_MESSAGES)
                .where(
                    WEBHOOK_MESSAGES.c.id == row.id,
                    WEBHOOK_MESSAGES.c.state == MessageState.WAITING.value,
                    WEBHOOK_MESSAGES.c.attempts == row.attempts,
                    WEBHOOK_MESSAGES.c.lease_until.is_not_distinct_from(row.lease_until),
                )
                .values(lease_until=now + LEASE, attempts=row.attempts + 1)
            )
            if (await transaction.execute(taken)).rowcount != 1:
                continue
        return ClaimedMessage(
            message_id=row.id,
            tenant=row.tenant_id,
            webhook_id=row.webhook_id,
            event=row.event,
            payload=row.payload,
            attempt=row.attempts + 1,
            lease_until=now + LEASE,
            url=row.url,
            secrets=row.secret,
        )


async def settle(store: Store, mine: ClaimedMessage, what: Settlement, now: datetime) -> bool:
    """Keep what came of an attempt; return whether the message was still held."""
    async with store.writing() as transaction:
        if what.gone:
            actor = Actor(tenant=mine.tenant, who="courier", request_id="", now=now)
            await deactivate_webhook(transaction, actor, mine.webhook_id)
        changed = await rows.change_where(
            transaction,
            WEBHOOK_MESSAGES,
            mine.tenant,
            values={
                "state": what.state.value,
                "lease_until": None,
                "next_attempt_at": what.next_attempt_at,
                "last_status": what.status,
                "last_error": what.error,
                "delivered_at": now if what.state is MessageState.DELIVERED else None,
            },
            id=mine.message_id,
            state=MessageState.WAITING.value,
            lease_until=mine.lease_until,
        )
    return changed == 1


async def put_back(transaction: Transaction, actor: Actor, message: StoredRow) -> StoredRow:
    """Put a message that is locked back in the queue, to be sent at once; return it.

    One that has come to an end gets all its attempts anew; one that waits keeps its count.
    """
    values: dict[str, Any] = {"next_attempt_at": actor.now}
    if message.state != MessageState.WAITING.value:
        values |= {
            "state": MessageState.WAITING.value,
            "attempts": 0,
            "lease_until": None,
            "delivered_at": None,
        }
    await rows.change_where(
        transaction, WEBHOOK_MESSAGES, actor.tenant, values=values, id=message.id
    )
    await record(
        transaction,
        actor,
        action="redelivery-asked",
        kind=KIND,
        resource_id=message.id,
        before={"state": message.state, "attempts": message.attempts},
        after={"state": MessageState.WAITING.value, "event": message.event},
    )
    row = await rows.find(transaction, WEBHOOK_MESSAGES, actor.tenant, id=message.id)
    assert row is not None
    return row


async def forget_settled(store: Store, now: datetime) -> int:
    """Forget messages that were kept long enough; return how many. What waits stays."""
    async with store.writing() as transaction:
        old = delete(WEBHOOK_MESSAGES).where(
            WEBHOOK_MESSAGES.c.state != MessageState.WAITING.value,
            WEBHOOK_MESSAGES.c.created_at < now - KEPT,
        )
        return int((await transaction.execute(old)).rowcount)


def _next_due(now: datetime, busy: Collection[str]) -> Select[Any]:
    message = WEBHOOK_MESSAGES.c
    return (
        select(
            message.id,
            message.tenant_id,
            message.webhook_id,
            message.event,
            message.payload,
            message.attempts,
            message.lease_until,
            WEBHOOKS.c.url,
            WEBHOOKS.c.secret,
        )
        .join(WEBHOOKS, WEBHOOKS.c.id == message.webhook_id)
        .where(
            message.state == MessageState.WAITING.value,
            # One that was noted before the clock was set back is new, not put off.
            or_(
                message.next_attempt_at <= now,
                and_(message.attempts == 0, message.created_at > now),
            ),
            ended(message.lease_until, now, LEASE),
            WEBHOOKS.c.active.is_(True),
            message.webhook_id.not_in(list(busy)),
        )
        .order_by(message.next_attempt_at, message.created_at, message.id)
        .limit(1)
    )
