"""The gate that answers a POST with an Idempotency-Key at most once.

Same key and same request: the answer that was kept. Same key, another request: refused. Whatever
failed without changing anything (a full queue, a defect, a client that went away) is not kept.
"""

import asyncio
import hashlib
import re
from contextlib import suppress
from typing import TYPE_CHECKING, Any

import structlog
from litestar import Response
from litestar.enums import ScopeType
from litestar.middleware import ASGIMiddleware

from service.gates.admission import CALLER
from service.problems import BODY_TOO_LARGE, Problem
from service.resource_problems import KEY_REUSED, STILL_AT_WORK, UNREADABLE_KEY
from service.responses import AnyRequest
from service.running import Running, running_of
from service.store.kept_answers import (
    LEASE,
    AtWork,
    Claim,
    ClaimLost,
    KeptAnswer,
    OtherRequest,
    claim,
    keep,
    let_go,
    renew,
)
from service.store.store import StoreError, Transaction

if TYPE_CHECKING:
    from litestar.types import ASGIApp, Message, Receive, Send
    from litestar.types import Scope as ConnectionScope

CLAIM = "claim"

MOST_KEPT_BYTES = 16 * 1024 * 1024
"""A longer answer is not kept unless something was changed: sent again, it is worked out again."""

FIRST_PASSING_STATUS = 500
PASSING = frozenset({408, 409, 413, 429})
"""Answers that may be another one the next time, as all from 500 on."""

_KEY = re.compile(r"[\x21-\x7e]{1,255}")
_OWN_HEADERS = frozenset({"content-length", "server-timing"})

log = structlog.stdlib.get_logger("service.gates")


class OnceGate(ASGIMiddleware):
    """Answers requests with a key once; the others pass."""

    scopes = (ScopeType.HTTP,)

    def __init__(self) -> None:
        # What this process works on, by tenant and key: the store need not be asked for it.
        self._at_work: dict[tuple[str, str], str] = {}

    async def handle(
        self, scope: "ConnectionScope", receive: "Receive", send: "Send", next_app: "ASGIApp"
    ) -> None:
        """Answer with what was kept, or pass the request on and keep its answer."""
        stated = dict(scope["headers"]).get(b"idempotency-key")
        caller = scope["state"].get(CALLER)
        if scope.get("method") != "POST" or stated is None or caller is None:
            await next_app(scope, receive, send)
            return
        service = running_of(scope["litestar_app"])
        body, receive = await _read_whole(receive, service.settings.max_body_bytes)
        key, fingerprint = _read_key(stated), _fingerprint(scope, body)
        if self._at_work.get((caller.tenant, key)) == fingerprint:
            raise _still_at_work()
        try:
            found = await claim(
                service.store,
                tenant=caller.tenant,
                key=key,
                fingerprint=fingerprint,
                now=service.clock(),
            )
        except OtherRequest:
            raise Problem(KEY_REUSED, KEY_REUSED.meaning) from None
        except AtWork:
            raise _still_at_work() from None
        if isinstance(found, KeptAnswer):
            await _send_kept(found, send)
            return
        scope["state"][CLAIM] = found
        self._at_work[caller.tenant, key] = fingerprint
        try:
            await _answer_once(service, found, (scope, receive, send), next_app)
        finally:
            self._at_work.pop((caller.tenant, key), None)


def keeps(request: AnyRequest) -> Claim | None:
    """Return the claim that the request is worked on under, where it has a key."""
    found: Claim | None = request.scope["state"].get(CLAIM)
    return found


async def keep_answer(
    transaction: Transaction, request: AnyRequest, response: Response[bytes]
) -> None:
    """Keep an answer in the transaction of what it answers, where the request has a key.

    Raises:
        Problem: the request took so long that another one took its place.
    """
    mine = keeps(request)
    if mine is None:
        return
    headers = [(name.lower(), value) for name, value in response.headers.items()]
    headers.append(("content-type", str(response.media_type)))
    answer = KeptAnswer(
        status=response.status_code or 200, headers=tuple(headers), body=response.content
    )
    try:
        await keep(transaction, mine, answer)
    except ClaimLost:
        raise _still_at_work() from None
    request.scope["state"][CLAIM] = None


async def _answer_once(
    service: Running,
    mine: Claim,
    connection: "tuple[ConnectionScope, Receive, Send]",
    next_app: "ASGIApp",
) -> None:
    scope, receive, send = connection
    answer = _Copy(send)
    renewing = asyncio.create_task(_keep_renewing(service, mine))
    done = False
    try:
        await next_app(scope, receive, answer.send)
        done = True
    finally:
        renewing.cancel()
        with suppress(asyncio.CancelledError):
            await renewing
        # Whatever changes something has kept its own answer by now.
        if scope["state"].get(CLAIM) is not None:
            await asyncio.shield(_settle(service, mine, answer if done else None))


async def _settle(service: Running, mine: Claim, answer: "_Copy | None") -> None:
    try:
        kept = answer.kept() if answer is not None else None
        if kept is None:
            await let_go(service.store, mine)
            return
        async with service.store.writing() as transaction:
            await keep(transaction, mine, kept)
    except ClaimLost:
        log.warning("answer not kept: the request was taken over")
    except StoreError as error:
        # It was answered; sent again, it will be worked out again.
        log.warning("answer not kept", reason=str(error))


async def _keep_renewing(service: Running, mine: Claim) -> None:
    while True:
        await asyncio.sleep(LEASE.total_seconds() / 3)
        try:
            await renew(service.store, mine, service.clock())
        except StoreError as error:
            log.warning("claim not renewed", reason=str(error))


class _Copy:
    """Passes an answer on and keeps a copy, as far as it is worth keeping."""

    def __init__(self, send: "Send") -> None:
        self._send = send
        self._start: Any = None
        self._parts: list[bytes] = []
        self._bytes = 0

    async def send(self, message: "Message") -> None:
        if message["type"] == "http.response.start":
            self._start = dict(message)
        elif message["type"] == "http.response.body":
            part = message.get("body", b"")
            self._bytes += len(part)
            if self._bytes <= MOST_KEPT_BYTES:
                self._parts.append(part)
            else:
                self._parts.clear()
        await self._send(message)

    def kept(self) -> KeptAnswer | None:
        """Return the answer, unless it is one of the moment."""
        if self._start is None or self._bytes > MOST_KEPT_BYTES:
            return None
        status = self._start["status"]
        if status >= FIRST_PASSING_STATUS or status in PASSING:
            return None
        headers = tuple(
            (name.decode("latin-1").lower(), value.decode("latin-1"))
            for name, value in self._start["headers"]
            if name.decode("latin-1").lower() not in _OWN_HEADERS
        )
        return KeptAnswer(status=status, headers=headers, body=b"".join(self._parts))


async def _send_kept(answer: KeptAnswer, send: "Send") -> None:
    headers = [(name.encode("latin-1"), value.encode("latin-1")) for name, value in answer.headers]
    headers.append((b"content-length", str(len(answer.body)).encode()))
    await send({"type": "http.response.start", "status": answer.status, "headers": headers})
    await send({"type": "http.response.body", "body": answer.body, "more_body": False})


async def _read_whole(receive: "Receive", most: int) -> "tuple[bytes, Receive]":
    """Return the body, and what hands it out once more."""
    parts: list[bytes] = []
    length = 0
    more = True
    while more:
        message = await receive()
        if message["type"] == "http.disconnect":
            break
        if message["type"] == "http.request":
            parts.append(message.get("body", b""))
            length += len(parts[-1])
            more = message.get("more_body", False)
            if length > most:
                raise Problem(
                    BODY_TOO_LARGE, f"The body is larger than {most:,} bytes; split the order."
                )
    body = b"".join(parts)
    handed_out = False

    async def hand_out() -> Any:
        nonlocal handed_out
        if not handed_out:
            handed_out = True
            return {"type": "http.request", "body": body, "more_body": False}
        return await receive()

    return body, hand_out


def _read_key(stated: bytes) -> str:
    key = stated.decode("latin-1")
    # The standard has it a quoted string; what most clients send has no quotes.
    if len(key) > 2 and key[0] == key[-1] == '"':
        key = key[1:-1]
    if not _KEY.fullmatch(key):
        raise Problem(UNREADABLE_KEY, UNREADABLE_KEY.meaning)
    return key


def _fingerprint(scope: "ConnectionScope", body: bytes) -> str:
    headers = dict(scope["headers"])
    parts = (
        scope["path"].encode(),
        scope["query_string"],
        headers.get(b"content-type", b""),
        headers.get(b"accept", b""),
        headers.get(b"if-match", b""),
        headers.get(b"prefer", b""),
        body,
    )
    digest = hashlib.sha256()
    for part in parts:
        digest.update(len(part).to_bytes(8, "big") + part)
    return digest.hexdigest()


def _still_at_work() -> Problem:
    return Problem(STILL_AT_WORK, STILL_AT_WORK.meaning, headers={"retry-after": "1"})
