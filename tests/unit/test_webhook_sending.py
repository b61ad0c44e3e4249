"""Sending a message: to the address that was looked at, as the host, and nowhere else."""

import asyncio
import ssl
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
import trustme
from standardwebhooks import Webhook

from service.store.webhook_messages import ClaimedMessage
from service.webhooks.destinations import Destinations
from service.webhooks.sending import Outcome, Sender
from tests.store.receiving import receiving

HOST = "hooks.harbour-row.example"
PUBLIC = "93.184.215.14"
SECRET = "whsec_aGFyYm91ci1yb3ctaGFyYm91ci1yb3ctaGFyYm91cg=="


def message_to(url: str) -> ClaimedMessage:
    now = datetime.now(UTC)
    return ClaimedMessage(
        message_id="m1",
        tenant="harbour-row",
        webhook_id="w1",
        event="order.planned",
        payload='{"type": "order.planned", "data": {"name": "Café"}}',
        attempt=1,
        lease_until=now,
        url=url,
        secrets=SECRET,
    )


class Names:
    """A name server that gives another answer each time it is asked."""

    def __init__(self, *answers: tuple[str, ...]) -> None:
        self._answers = list(answers)
        self.asked = 0

    async def resolve(self, host: str, port: int) -> Sequence[str]:
        self.asked += 1
        return self._answers.pop(0)


class Wire(httpx.AsyncBaseTransport):
    """Notes what would be sent; addresses in `closed` take no connection."""

    def __init__(self, *closed: str) -> None:
        self.requests: list[httpx.Request] = []
        self._closed = closed

    async def handle_async_request(self, request: httpx.Request) -> httpx.Response:
        self.requests.append(request)
        if request.url.host in self._closed:
            raise httpx.ConnectError("refused")
        return httpx.Response(204)


def send(url: str, names: Names, wire: Wire | None = None, *, private: bool = False) -> Outcome:
    async def run() -> Outcome:
        destinations = Destinations(private=private, resolve=names.resolve)
        sender = Sender(destinations, wire, longest_seconds=5)
        try:
            return await sender.send(message_to(url), datetime.now(UTC))
        finally:
            await sender.close()

    return asyncio.run(run())


def test_a_name_that_leads_elsewhere_the_next_moment_gains_nothing() -> None:
    # Looked up once, and sent to what was looked at: a second answer would be of this machine.
    names, wire = Names((PUBLIC,), ("127.0.0.1",)), Wire()
    url = f"https://{HOST}:8443/hook?a=b%20c"
    assert send(url, names, wire) == Outcome(status=204)
    (request,) = wire.requests
    assert names.asked == 1
    assert str(request.url) == f"https://{PUBLIC}:8443/hook?a=b%20c"
    assert request.headers["host"] == f"{HOST}:8443"
    assert request.extensions["sni_hostname"] == HOST
    body = Webhook(SECRET).verify(request.content, dict(request.headers))
    assert body["data"] == {"name": "Café"}
    # At the next message the name is looked up anew, and refused.
    refused = send(url, names, wire)
    assert refused.status is None
    assert "not public" in str(refused.error)
    assert len(wire.requests) == 1


def test_the_next_address_is_tried_where_one_takes_no_connection() -> None:
    other = "2606:2800:21f:cb07::1"
    wire = Wire(other)
    assert send(f"https://{HOST}/", Names((other, PUBLIC)), wire) == Outcome(status=204)
    assert [request.url.host for request in wire.requests] == [other, PUBLIC]
    failed = send(f"https://{HOST}/", Names((other,)), Wire(other))
    assert failed == Outcome(error="No connection: refused.")


def test_a_redirect_is_not_followed() -> None:
    with receiving() as receiver, receiving() as inside:
        receiver.answers, receiver.headers = [307], {"location": inside.url}
        assert send(receiver.url, Names(("127.0.0.1",)), private=True) == Outcome(status=307)
        assert (len(receiver.received), len(inside.received)) == (1, 0)


def test_a_proxy_of_the_environment_is_not_used(monkeypatch: pytest.MonkeyPatch) -> None:
    with receiving() as receiver, receiving() as proxy:
        for name in ("http_proxy", "HTTP_PROXY", "all_proxy", "ALL_PROXY"):
            monkeypatch.setenv(name, f"http://127.0.0.1:{proxy.port}")
        url = f"http://{HOST}:{receiver.port}/hook"
        assert send(url, Names(("127.0.0.1",)), private=True) == Outcome(status=204)
        assert (len(receiver.received), len(proxy.received)) == (1, 0)


def test_the_certificate_has_to_be_that_of_the_host(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    authority = trustme.CA()
    authority.cert_pem.write_to_path(tmp_path / "ca.pem")
    monkeypatch.setenv("SSL_CERT_FILE", str(tmp_path / "ca.pem"))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    authority.issue_cert(HOST).configure_cert(context)
    asked_for: list[str | None] = []
    context.sni_callback = lambda _socket, name, _context: asked_for.append(name)
    with receiving(context) as receiver:
        port = receiver.port
        sent = send(f"https://{HOST}:{port}/hook", Names(("127.0.0.1",)), private=True)
        assert sent == Outcome(status=204)
        assert receiver.received[0].headers["host"] == f"{HOST}:{port}"
        assert asked_for == [HOST]
        other = send(f"https://other.example:{port}/", Names(("127.0.0.1",)), private=True)
        assert other.status is None
        assert "Hostname mismatch" in str(other.error)
        assert len(receiver.received) == 1


def test_an_answer_that_does_not_come_is_not_waited_for() -> None:
    class Slow(Wire):
        async def handle_async_request(self, request: httpx.Request) -> httpx.Response:
            await asyncio.sleep(60)
            raise AssertionError

    async def run() -> Outcome:
        names = Names((PUBLIC,))
        destinations = Destinations(private=False, resolve=names.resolve)
        sender = Sender(destinations, Slow(), longest_seconds=0.1)
        return await sender.send(message_to(f"https://{HOST}/"), datetime.now(UTC))

    assert asyncio.run(run()) == Outcome(error="No answer within 0.1 s.")
