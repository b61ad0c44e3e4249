"""Brings messages to webhooks: takes what is due, sends it, and keeps what came of it.

Any number of processes may have a courier over the same store. Each sends one message at a time
to a webhook, so that a receiver that is slow holds up its own messages alone.
"""

import asyncio
from collections.abc import Awaitable, Callable
from contextlib import suppress
from datetime import datetime, timedelta
from http import HTTPStatus

import structlog

from service.store.store import Store, StoreError
from service.store.webhook_messages import (
    ClaimedMessage,
    Settlement,
    claim_next,
    forget_settled,
    settle,
)
from service.webhooks.sending import Outcome
from service.wire.webhooks import MessageState

PAUSES = (
    timedelta(seconds=5),
    timedelta(seconds=30),
    timedelta(minutes=2),
    timedelta(minutes=15),
    timedelta(hours=1),
    timedelta(hours=6),
    timedelta(hours=24),
)
"""How long after each attempt the next one follows; after the attempt beyond them none does."""

MOST_AT_ONCE = 20
LOOK_EVERY_SECONDS = 1.0
AFTER_A_FAILURE_SECONDS = 5.0
FORGET_EVERY = timedelta(hours=1)

Send = Callable[[ClaimedMessage, datetime], Awaitable[Outcome]]

log = structlog.stdlib.get_logger("service.webhooks")


class Courier:
    """Brings messages from start to close. It notes neither URLs nor secrets in the log."""

    def __init__(self, store: Store, send: Send, clock: Callable[[], datetime]) -> None:
        self._store = store
        self._send = send
        self._clock = clock
        # The webhook of each message that is being sent.
        self._running: dict[asyncio.Task[None], str] = {}
        self._loop: asyncio.Task[None] | None = None
        self._forgot_at: datetime | None = None

    def start(self) -> None:
        """Begin to look for messages that are due."""
        self._loop = asyncio.create_task(self._keep_bringing())

    async def close(self, seconds: float) -> None:
        """Take no more messages; what is being sent gets so many seconds to end.

        What has not ended by then is sent again by whoever comes next, once its lease is over.
        """
        if self._loop is not None:
            self._loop.cancel()
            with suppress(asyncio.CancelledError):
                await self._loop
        tasks = list(self._running)
        if tasks:
            await asyncio.wait(tasks, timeout=seconds)
        for task in tasks:
            task.cancel()
        await asyncio.gather(*tasks, return_exceptions=True)

    async def bring_what_is_due(self) -> None:
        """Send every message that is due, and return when all have been.

        Raises:
            StoreError: the store cannot be reached.
        """
        await self._take_on()
        while self._running:
            await asyncio.wait(self._running, return_when=asyncio.FIRST_COMPLETED)
            await self._take_on()

    async def _keep_bringing(self) -> None:
        while True:
            try:
                await self._take_on()
                await self._forget_old()
            except StoreError as error:
                log.warning("no messages taken", reason=str(error))
                await asyncio.sleep(AFTER_A_FAILURE_SECONDS)
            except Exception:
                log.exception("no messages taken")
                await asyncio.sleep(AFTER_A_FAILURE_SECONDS)
            if self._running:
                await asyncio.wait(
                    self._running,
                    timeout=LOOK_EVERY_SECONDS,
                    return_when=asyncio.FIRST_COMPLETED,
                )
            else:
                await asyncio.sleep(LOOK_EVERY_SECONDS)

    async def _take_on(self) -> None:
        """Take what is due, as much as is sent at once."""
        while len(self._running) < MOST_AT_ONCE:
            busy = set(self._running.values())
            message = await claim_next(self._store, self._clock(), busy)
            if message is None:
                return
            task = asyncio.create_task(self._bring(message))
            self._running[task] = message.webhook_id
            task.add_done_callback(self._running.pop)

    async def _bring(self, message: ClaimedMessage) -> None:
        try:
            outcome = await self._send(message, self._clock())
        except Exception as error:
            # A defect: its text may show what no log may hold.
            log.error("message not sent", error=type(error).__name__, message_id=message.message_id)
            outcome = Outcome(error="The service failed to send it.")
        now = self._clock()
        what = judge(outcome, message.attempt, now)
        try:
            held = await settle(self._store, message, what, now)
        except StoreError as error:
            log.warning("outcome of a message not kept", reason=str(error))
            return
        log.info(
            "webhook message",
            message_id=message.message_id,
            webhook_id=message.webhook_id,
            webhook_event=message.event,
            attempt=message.attempt,
            status=outcome.status,
            state=what.state.value if held else "lost",
        )

    async def _forget_old(self) -> None:
        now = self._clock()
        if self._forgot_at is None or not timedelta(0) <= now - self._forgot_at < FORGET_EVERY:
            await forget_settled(self._store, now)
            self._forgot_at = now


def judge(outcome: Outcome, attempt: int, now: datetime) -> Settlement:
    """Return what comes of an attempt, counted from 1, that ends at a moment.

    Any status from 200 to 299 says that the receiver has the message, 410 that it wants nothing
    more. Source: Standard Webhooks.
    """
    status = outcome.status
    if status is not None and HTTPStatus.OK <= status < HTTPStatus.MULTIPLE_CHOICES:
        return Settlement(
            state=MessageState.DELIVERED, status=status, error=None, next_attempt_at=None
        )
    error = outcome.error or f"The receiver answered with the status {status}."
    if status == HTTPStatus.GONE:
        return Settlement(
            state=MessageState.DEAD, status=status, error=error, next_attempt_at=None, gone=True
        )
    if attempt > len(PAUSES):
        return Settlement(state=MessageState.DEAD, status=status, error=error, next_attempt_at=None)
    return Settlement(
        state=MessageState.WAITING,
        status=status,
        error=error,
        next_attempt_at=now + PAUSES[attempt - 1],
    )
