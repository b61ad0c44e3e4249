"""Webhooks: what is told to whom, and the messages that tell it (Standard Webhooks)."""

from enum import StrEnum
from typing import Annotated

from pydantic import Field, JsonValue, Strict, StringConstraints
from typing_extensions import TypeAliasType

from service.wire.base import WireModel
from service.wire.shown import Count
from service.wire.stored import Moment


class WebhookEvent(StrEnum):
    """What a webhook may be told of."""

    ORDER_PLANNED = "order.planned"
    ORDER_ACCEPTED = "order.accepted"
    ORDER_CHANGED = "order.changed"
    ORDER_WITHDRAWN = "order.withdrawn"
    ORDER_RECEIVED = "order.received"
    ORDER_CLOSED = "order.closed"
    JOB_FINISHED = "job.finished"
    JOB_FAILED = "job.failed"
    JOB_CANCELLED = "job.cancelled"
    CATALOGUE_VERSION_ADDED = "catalogue.version-added"


class MessageState(StrEnum):
    """Where a message stands."""

    WAITING = "waiting"
    """It has not been tried yet, or will be tried again."""
    DELIVERED = "delivered"
    """The receiver answered that it has it."""
    DEAD = "dead"
    """It was tried for the last time, or the receiver is gone."""


URL_CHARACTERS = 2_000

WebhookUrl = TypeAliasType(
    "WebhookUrl",
    Annotated[
        str,
        StringConstraints(pattern=r"^https?://[!-~]+$", max_length=URL_CHARACTERS),
        Field(
            description="Where messages are sent, in ASCII: https, without user or password, on "
            "port 443, 80 or one from 1024 on. The host has public addresses alone. Whoever runs "
            "the service may allow http and private addresses.",
            examples=["https://erp.harbour-row.example/hooks/weatherstrip"],
        ),
    ],
)
Events = TypeAliasType(
    "Events",
    Annotated[
        list[Annotated[WebhookEvent, Strict(False)]],
        Field(description="What to tell of; empty for everything.", max_length=50),
    ],
)


class NewWebhook(WireModel):
    """A webhook to set."""

    url: WebhookUrl
    events: Events = Field(default_factory=list)


class ChangedWebhook(WireModel):
    """A webhook as it shall be."""

    url: WebhookUrl
    events: Events
    active: bool
    """False: nothing more is noted for it, and what waits is kept until it is active again."""


class Webhook(WireModel):
    """A webhook, without its secret. The header ETag states its revision."""

    id: str
    url: WebhookUrl
    events: Events
    active: bool
    """False also once the receiver has answered with 410 Gone."""
    created_at: Moment
    changed_at: Moment


class WebhookWithSecret(Webhook):
    """A webhook with its secret, which is shown this once."""

    secret: Annotated[str, Field(pattern="^whsec_[A-Za-z0-9+/]+=*$")]
    """The key of the signatures, as the libraries of Standard Webhooks take it."""


class Webhooks(WireModel):
    """A page of the list; the header Link leads to the next one."""

    entries: list[Webhook]


class WebhookMessage(WireModel):
    """A message to one webhook, and what came of it."""

    id: str
    """Sent in the header webhook-id, the same however often the message is sent."""
    webhook_id: str
    event: WebhookEvent
    payload: dict[str, JsonValue]
    """The body: `type`, `timestamp` and `data`."""
    state: MessageState
    attempts: Count
    """How often it was sent since it was noted, or since it was last put back in the queue."""
    next_attempt_at: Moment | None
    """Null where none follows."""
    last_status: int | None
    """The status of the last answer; null where there was none."""
    last_error: str | None
    """Why the last attempt failed; null where it did not."""
    created_at: Moment
    delivered_at: Moment | None


class WebhookMessages(WireModel):
    """A page of the list; the header Link leads to the next one."""

    entries: list[WebhookMessage]
