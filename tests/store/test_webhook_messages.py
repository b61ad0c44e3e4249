"""Messages on their way: attempts, pauses, leases, receivers that are gone."""

import asyncio
import logging
from collections.abc import AsyncIterator, Awaitable, Callable
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import structlog
from sqlalchemy import insert, select

from service.store.audit import Actor
from service.store.migrate import migrate
from service.store.rows import StoredRow
from service.store.store import Store, read_store_url
from service.store.tables import AUDIT_ENTRIES, TENANTS, WEBHOOK_MESSAGES, WEBHOOKS
from service.store.webhook_messages import (
    KEPT,
    LEASE,
    Settlement,
    claim_next,
    forget_settled,
    put_back,
    settle,
)
from service.store.webhooks import add_webhook, announce, current_secret, rotate_secret
from service.webhooks.courier import PAUSES, Courier
from service.webhooks.destinations import Destinations
from service.webhooks.sending import Outcome, Sender
from service.wire.webhooks import MessageState, WebhookEvent
from tests.store.receiving import receiving

PLANNED, ACCEPTED = WebhookEvent.ORDER_PLANNED, WebhookEvent.ORDER_ACCEPTED


@dataclass
class Scene:
    """A store with two tenants, at a moment that the test sets."""

    store: Store
    now: datetime = field(default_factory=lambda: datetime.now(UTC))

    def courier(self, send: Any = None) -> Courier:
        send = send or Sender(Destinations(private=True)).send
        return Courier(self.store, send, lambda: self.now)

    async def set(self, url: str, *events: WebhookEvent, tenant: str = "harbour-row") -> StoredRow:
        async with self.store.writing() as transaction:
            return await add_webhook(transaction, self.actor(tenant), url, events)

    async def announce(self, event: WebhookEvent = PLANNED, **data: Any) -> None:
        async with self.store.writing() as transaction:
            await announce(transaction, "harbour-row", event, data, self.now)

    async def messages(self) -> list[Any]:
        return await self._all(WEBHOOK_MESSAGES)

    async def webhooks(self) -> list[Any]:
        return await self._all(WEBHOOKS)

    async def audit(self) -> list[Any]:
        return await self._all(AUDIT_ENTRIES)

    def actor(self, tenant: str = "harbour-row") -> Actor:
        return Actor(tenant=tenant, who="k", request_id="", now=self.now)

    async def _all(self, table: Any) -> list[Any]:
        async with self.store.reading() as transaction:
            return list((await transaction.execute(select(table))).all())


@asynccontextmanager
async def a_scene(store_url: str) -> AsyncIterator[Scene]:
    store = Store(read_store_url(store_url))
    try:
        await migrate(store)
        scene = Scene(store)
        async with store.writing() as transaction:
            for tenant in ("harbour-row", "quay-side"):
                await transaction.execute(insert(TENANTS).values(id=tenant, created_at=scene.now))
        yield scene
    finally:
        await store.close()


def play(store_url: str, scene: Callable[[Scene], Awaitable[None]]) -> None:
    async def run() -> None:
        async with a_scene(store_url) as given:
            await scene(given)

    asyncio.run(run())


def test_a_message_is_tried_after_each_pause_and_is_dead_after_the_last(store_url: str) -> None:
    async def run(scene: Scene) -> None:
        webhook = await scene.set(receiver.url)
        await scene.announce(order="1", total="459.70")
        courier = scene.courier()
        for number, pause in enumerate(PAUSES, start=1):
            await courier.bring_what_is_due()
            (message,) = await scene.messages()
            assert (message.state, message.attempts) == ("waiting", number)
            assert message.next_attempt_at == scene.now + pause
            scene.now += pause - timedelta(seconds=1)
            await courier.bring_what_is_due()
            assert len(receiver.received) == number
            scene.now += timedelta(seconds=1)
        await courier.bring_what_is_due()
        (message,) = await scene.messages()
        assert (message.state, message.last_status) == ("dead", 500)
        assert message.last_error == "The receiver answered with the status 500."
        scene.now += timedelta(days=30)
        await courier.bring_what_is_due()
        assert len(receiver.received) == len(PAUSES) + 1 == 8
        for request in receiver.received:
            assert request.message_id == message.id
            assert request.is_signed_with(webhook.secret)
        # Put back in the queue it is sent once more, and arrives.
        receiver.answers = [200]
        async with scene.store.writing() as transaction:
            await put_back(transaction, scene.actor(), message)
        await courier.bring_what_is_due()
        (message,) = await scene.messages()
        assert (message.state, message.attempts, message.last_error) == ("delivered", 1, None)
        assert message.delivered_at == scene.now

    with receiving() as receiver:
        receiver.answers = [500]
        play(store_url, run)


def test_a_message_is_noted_for_those_who_want_it_or_not_at_all(store_url: str) -> None:
    async def run(scene: Scene) -> None:
        every = await scene.set("https://a.harbour-row.example/")
        some = await scene.set("https://b.harbour-row.example/", ACCEPTED)
        await scene.set("https://c.quay-side.example/", tenant="quay-side")
        await scene.announce(PLANNED)
        assert [message.webhook_id for message in await scene.messages()] == [every.id]
        await scene.announce(ACCEPTED)
        noted = sorted((m.webhook_id, m.event) for m in await scene.messages())
        assert noted == sorted(
            [(every.id, "order.planned"), (every.id, "order.accepted"), (some.id, "order.accepted")]
        )
        with pytest.raises(ZeroDivisionError):
            async with scene.store.writing() as transaction:
                await announce(transaction, "harbour-row", PLANNED, {}, scene.now)
                raise ZeroDivisionError
        assert len(await scene.messages()) == 3

    play(store_url, run)


def test_a_receiver_that_is_gone_is_sent_nothing_more(store_url: str) -> None:
    async def run(scene: Scene) -> None:
        webhook = await scene.set(receiver.url)
        await scene.announce(order="1")
        await scene.announce(order="2")
        await scene.courier().bring_what_is_due()
        assert len(receiver.received) == 1
        assert sorted(m.state for m in await scene.messages()) == ["dead", "waiting"]
        (after,) = await scene.webhooks()
        assert (after.active, after.revision) == (False, webhook.revision + 1)
        entry = next(e for e in await scene.audit() if e.action == "webhook-deactivated")
        assert (entry.who, entry.resource_id) == ("courier", webhook.id)
        await scene.announce(order="3")
        assert len(await scene.messages()) == 2

    with receiving() as receiver:
        receiver.answers = [410]
        play(store_url, run)


def test_couriers_of_several_processes_send_each_message_once(store_url: str) -> None:
    sent: list[str] = []

    async def send(message: Any, _: datetime) -> Outcome:
        sent.append(message.message_id)
        await asyncio.sleep(0.01)
        return Outcome(status=200)

    async def run(scene: Scene) -> None:
        for number in range(8):
            await scene.set(f"https://hook-{number}.harbour-row.example/")
        await scene.announce(order="1")
        await scene.announce(order="2")
        couriers = [scene.courier(send) for _ in range(3)]
        await asyncio.gather(*(courier.bring_what_is_due() for courier in couriers))
        messages = await scene.messages()
        assert sorted(sent) == sorted(message.id for message in messages)
        assert {message.state for message in messages} == {"delivered"}
        assert len(sent) == 16

    play(store_url, run)


def test_a_message_of_a_process_that_is_gone_is_sent_by_another(store_url: str) -> None:
    arrived = Settlement(state=MessageState.DELIVERED, status=200, error=None, next_attempt_at=None)

    async def run(scene: Scene) -> None:
        await scene.set("https://a.harbour-row.example/")
        await scene.announce()
        lost = await claim_next(scene.store, scene.now, ())
        assert lost is not None
        assert await claim_next(scene.store, scene.now + LEASE / 2, ()) is None
        scene.now += LEASE
        assert await claim_next(scene.store, scene.now, {lost.webhook_id}) is None
        taken = await claim_next(scene.store, scene.now, ())
        assert taken is not None
        assert (taken.message_id, taken.attempt) == (lost.message_id, 2)
        # What the first one says now counts no more.
        assert not await settle(scene.store, lost, arrived, scene.now)
        assert (await scene.messages())[0].state == "waiting"
        assert await settle(scene.store, taken, arrived, scene.now)
        assert (await scene.messages())[0].state == "delivered"
        assert await forget_settled(scene.store, scene.now + KEPT / 2) == 0
        assert await forget_settled(scene.store, scene.now + KEPT) == 1

    play(store_url, run)


def test_after_a_rotation_both_secrets_sign_for_a_day(store_url: str) -> None:
    async def run(scene: Scene) -> None:
        first = await scene.set(receiver.url)
        async with scene.store.writing() as transaction:
            second = await rotate_secret(transaction, scene.actor(), first)
        old, new = first.secret, current_secret(second.secret)
        assert old != new
        for hours, signed_with_old in ((23, True), (2, False)):
            scene.now += timedelta(hours=hours)
            await scene.announce()
            await scene.courier().bring_what_is_due()
            latest = receiver.received[-1]
            assert latest.is_signed_with(new)
            assert latest.is_signed_with(old) is signed_with_old
        told = str([(entry.before, entry.after) for entry in await scene.audit()])
        assert "secret-rotated" in {entry.action for entry in await scene.audit()}
        assert old not in told
        assert new not in told

    with receiving() as receiver:
        play(store_url, run)
    assert len(receiver.received) == 2


def test_the_log_holds_neither_secret_nor_query(
    tmp_path: Any, caplog: pytest.LogCaptureFixture
) -> None:
    structlog.configure(
        processors=[structlog.stdlib.render_to_log_kwargs],
        logger_factory=structlog.stdlib.LoggerFactory(),
        wrapper_class=structlog.stdlib.BoundLogger,
    )
    caplog.set_level(logging.INFO)

    async def broken(message: Any, _: datetime) -> Outcome:
        raise RuntimeError(f"{message.url} {message.secrets}")

    async def run(scene: Scene) -> None:
        webhook = await scene.set(f"{receiver.url}?token=sesame")
        unheard = await scene.set("http://127.0.0.1:1024/?token=sesame")
        await scene.announce()
        await scene.courier().bring_what_is_due()
        await scene.announce()
        await scene.courier(broken).bring_what_is_due()
        kept = [m.last_error for m in await scene.messages()] + [
            text for e in await scene.audit() for text in (e.before, e.after)
        ]
        assert receiver.received[0].path == "/hook?token=sesame"
        logged = " ".join(str(vars(record)) for record in caplog.records)
        assert logged.count("webhook message") >= 3
        assert "RuntimeError" in logged
        for told in (logged, str(kept)):
            assert "sesame" not in told
            assert webhook.secret not in told
            assert unheard.secret not in told

    with receiving() as receiver:
        play(f"sqlite:///{tmp_path}/a.sqlite", run)
