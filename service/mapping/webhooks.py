"""Writing webhooks and their messages as the contract has them."""

import json
from typing import Any

from service.mapping.stored import write_moment
from service.store.rows import StoredRow
from service.store.webhooks import current_secret
from service.wire import webhooks as wire


def write_webhook(row: StoredRow) -> wire.Webhook:
    """Return a webhook without its secret."""
    return wire.Webhook(**_facts_of(row))


def write_with_secret(row: StoredRow) -> wire.WebhookWithSecret:
    """Return a webhook with its secret, for whoever has just set it."""
    return wire.WebhookWithSecret(**_facts_of(row), secret=current_secret(row.secret))


def write_message(row: StoredRow) -> wire.WebhookMessage:
    """Return a message and what came of it."""
    return wire.WebhookMessage(
        id=row.id,
        webhook_id=row.webhook_id,
        event=wire.WebhookEvent(row.event),
        payload=json.loads(row.payload),
        state=wire.MessageState(row.state),
        attempts=row.attempts,
        next_attempt_at=row.next_attempt_at and write_moment(row.next_attempt_at),
        last_status=row.last_status,
        last_error=row.last_error,
        created_at=write_moment(row.created_at),
        delivered_at=row.delivered_at and write_moment(row.delivered_at),
    )


def _facts_of(row: StoredRow) -> dict[str, Any]:
    return {
        "id": row.id,
        "url": row.url,
        "events": [wire.WebhookEvent(name) for name in row.events.split()],
        "active": row.active,
        "created_at": write_moment(row.created_at),
        "changed_at": write_moment(row.changed_at),
    }
