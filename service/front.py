"""What every request passes first, whether or not there is a route for it.

It gives the request its identifier, answers HEAD as GET without the body, completes the header
Allow, adds the headers that protect a reader, turns what nobody caught into a problem, writes one
log line, and takes the measures of the request.
"""

import json
import re
import time
import uuid
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

import structlog
from litestar.enums import HttpMethod, ScopeType

from service.problems import BAD_REQUEST, INTERNAL_ERROR, MEDIA_TYPE, Problem, problem_document
from service.telemetry.measures import Measures
from service.telemetry.traces import Traces

if TYPE_CHECKING:
    from litestar.types import ASGIApp, HTTPScope, Message, Receive, Scope, Send

REQUEST_ID_HEADER = "X-Request-ID"

MOST_HEADERS, MOST_HEADER_BYTES = 100, 32 * 1024
"""Headers of a request, and their names and values together."""

PROBLEM_CODE = "problem_code"
"""Where the state of a request holds the code of the problem that it is answered with."""

NO_ROUTE, OTHER_METHOD, UNANSWERED = "none", "other", 499
"""What is measured for an address that no route has, for a method that HTTP does not define, and
as the status where the client went away before there was one."""

_METHODS = frozenset(("GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE"))

_REQUEST_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,63}")
_HEADERS_OF_EVERY_ANSWER = (
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
)
_KEPT_BY_NOBODY = (b"cache-control", b"no-store")
"""What one tenant is answered is for no cache, unless the route says otherwise."""

log = structlog.stdlib.get_logger("service.requests")


def current_request_id() -> str:
    """Return the identifier of the request that is being answered; empty outside of one."""
    return str(structlog.contextvars.get_contextvars().get("request_id", ""))


class Front:
    """An ASGI application around another one."""

    def __init__(
        self,
        inner: "ASGIApp",
        measures: Measures | None = None,
        traces: Traces | None = None,
    ) -> None:
        self._inner = inner
        self._measures = measures or Measures()
        self._traces = traces or Traces()

    async def __call__(self, scope: "Scope", receive: "Receive", send: "Send") -> None:
        """Answer one request, or pass on what is not one."""
        if scope["type"] != ScopeType.HTTP:
            await self._inner(scope, receive, send)
            return
        method = str(scope["method"])
        request_id = _take_request_id(scope["headers"])
        structlog.contextvars.clear_contextvars()
        structlog.contextvars.bind_contextvars(request_id=request_id)
        headers = {n.decode("latin-1"): v.decode("latin-1") for n, v in scope["headers"]}
        known = method if method in _METHODS else OTHER_METHOD
        with self._traces.request(known, headers) as span:
            answer = await self._answer(scope, receive, send, request_id)
            status = answer.status or UNANSWERED
            span.note(
                http__request__method=known,
                http__route=scope.get("path_template") or NO_ROUTE,
                http__response__status_code=status,
                request_id=request_id,
            )
            if status >= 500:
                span.fail(answer.problem_code or str(status))
        structlog.contextvars.clear_contextvars()

    async def _answer(
        self, scope: "HTTPScope", receive: "Receive", send: "Send", request_id: str
    ) -> "_Answer":
        method = str(scope["method"])
        answer = _Answer(
            send,
            request_id,
            without_body=method == "HEAD",
            for_one_key=any(name.lower() == b"authorization" for name, _ in scope["headers"]),
        )
        started = time.perf_counter()
        if method == "HEAD":
            scope["method"] = HttpMethod.GET
        try:
            if refusal := _find_excess(scope["headers"]):
                await answer.refuse(refusal)
            else:
                await self._inner(scope, receive, answer.send)
        except Exception:
            log.exception("request failed")
            await answer.refuse(Problem(INTERNAL_ERROR, INTERNAL_ERROR.meaning))
        finally:
            seconds = time.perf_counter() - started
            code = answer.problem_code or scope.get("state", {}).get(PROBLEM_CODE)
            log.info(
                "request",
                method=method[:16],
                path=str(scope["path"])[:200],
                status=answer.status,
                answer_bytes=answer.body_bytes,
                milliseconds=round(1_000 * seconds, 1),
                **({"problem": code} if code else {}),
            )
            self._measure(scope, method, answer.status, code, seconds)
        return answer

    def _measure(
        self, scope: Any, method: str, status: int | None, code: str | None, seconds: float
    ) -> None:
        self._measures.request_answered(
            method=method if method in _METHODS else OTHER_METHOD,
            route=scope.get("path_template") or NO_ROUTE,
            status=status or UNANSWERED,
            seconds=seconds,
        )
        if code:
            self._measures.problem_answered(code)


class _Answer:
    """Passes an answer on to the client and completes its headers."""

    def __init__(
        self, send: "Send", request_id: str, *, without_body: bool, for_one_key: bool
    ) -> None:
        self._send = send
        self._for_one_key = for_one_key
        self._request_id = request_id
        self._without_body = without_body
        self.status: int | None = None
        self.problem_code: str | None = None
        self.body_bytes = 0

    async def send(self, message: "Message") -> None:
        if message["type"] == "http.response.start":
            self.status = message["status"]
            headers = [_complete_allow(name, value) for name, value in message["headers"]]
            if self._for_one_key and all(name.lower() != b"cache-control" for name, _ in headers):
                headers.append(_KEPT_BY_NOBODY)
            message["headers"] = [
                *headers,
                *_HEADERS_OF_EVERY_ANSWER,
                (REQUEST_ID_HEADER.lower().encode(), self._request_id.encode()),
            ]
        elif message["type"] == "http.response.body":
            self.body_bytes += len(message.get("body", b""))
            if self._without_body:
                message["body"] = b""
        await self._send(message)

    async def refuse(self, problem: Problem) -> None:
        """Answer with a problem, unless an answer has already begun."""
        if self.status is not None:
            return
        self.problem_code = problem.kind.code
        body = json.dumps(problem_document(problem, self._request_id)).encode()
        await self.send(
            {
                "type": "http.response.start",
                "status": int(problem.kind.status),
                "headers": [
                    (b"content-type", MEDIA_TYPE.encode()),
                    (b"content-length", str(len(body)).encode()),
                ],
            }
        )
        await self.send({"type": "http.response.body", "body": body, "more_body": False})


def _find_excess(headers: Iterable[tuple[bytes, bytes]]) -> Problem | None:
    """Return the refusal of headers that are too many or too long; the server's own limit holds
    only for those that come in pieces.
    """
    sizes = [len(name) + len(value) for name, value in headers]
    if len(sizes) <= MOST_HEADERS and sum(sizes) <= MOST_HEADER_BYTES:
        return None
    return Problem(
        BAD_REQUEST,
        f"The request has {len(sizes):,} headers with {sum(sizes):,} bytes; up to {MOST_HEADERS} "
        f"with {MOST_HEADER_BYTES:,} bytes together are taken.",
    )


def _take_request_id(headers: Iterable[tuple[bytes, bytes]]) -> str:
    """Return the identifier that the client sent where it is a sound one, else a new one."""
    for name, value in headers:
        if name.lower() == REQUEST_ID_HEADER.lower().encode():
            stated = value.decode("latin-1")
            if _REQUEST_ID.fullmatch(stated):
                return stated
    return uuid.uuid4().hex


def _complete_allow(name: bytes, value: bytes) -> tuple[bytes, bytes]:
    if name.lower() != b"allow":
        return name, value
    methods = {method.strip() for method in value.decode("latin-1").split(",") if method.strip()}
    if "GET" in methods:
        methods.add("HEAD")
    return b"allow", ", ".join(sorted({*methods, "OPTIONS"})).encode()
