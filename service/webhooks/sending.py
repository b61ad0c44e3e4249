"""Sending one message: signed by Standard Webhooks, to an address that was looked at before."""

import asyncio
from dataclasses import dataclass
from datetime import datetime

import httpx
from standardwebhooks import Webhook

from service.store.webhook_messages import ClaimedMessage
from service.store.webhooks import signing_secrets
from service.webhooks.destinations import Destination, Destinations, UnfitUrl, host_of

LONGEST_SECONDS = 15.0
"""How long an attempt may take, from the look-up of the host to the head of the answer."""

CONNECT_SECONDS = 5.0

MOST_ADDRESSES = 4
"""How many addresses of a host are tried, one after the other, until one takes a connection."""

LONGEST_ERROR = 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """The status of the answer, or why there was none. Never shows the URL or a secret."""

    status: int | None = None
    error: str | None = None


class Sender:
    """Sends messages. It follows no redirect, uses no proxy and keeps no connection.

    It works on a transport of httpx and not on a client: that would write every URL to the log.
    """

    def __init__(
        self,
        destinations: Destinations,
        transport: httpx.AsyncBaseTransport | None = None,
        longest_seconds: float = LONGEST_SECONDS,
    ) -> None:
        self._destinations = destinations
        self._longest_seconds = longest_seconds
        # A connection that was kept would be taken for another host at the same address, without
        # a look at the certificate.
        self._transport = transport or httpx.AsyncHTTPTransport(
            verify=httpx.create_ssl_context(),
            limits=httpx.Limits(max_keepalive_connections=0),
            trust_env=False,
        )

    async def send(self, message: ClaimedMessage, now: datetime) -> Outcome:
        """Send a message, and return what came of it."""
        try:
            async with asyncio.timeout(self._longest_seconds):
                destination = await self._destinations.find(message.url)
                headers = _headers_of(message, now)
                return Outcome(
                    status=await self._post(destination, headers, message.payload.encode())
                )
        except UnfitUrl as error:
            return Outcome(error=str(error)[:LONGEST_ERROR])
        except (TimeoutError, httpx.TimeoutException):
            return Outcome(error=f"No answer within {self._longest_seconds:g} s.")
        except httpx.ConnectError as error:
            return Outcome(error=f"No connection: {error}."[:LONGEST_ERROR])
        except httpx.TransportError as error:
            return Outcome(error=f"The connection broke off ({type(error).__name__}).")

    async def close(self) -> None:
        """Close what is open."""
        await self._transport.aclose()

    async def _post(self, destination: Destination, headers: dict[str, str], body: bytes) -> int:
        """Return the status of the answer; the rest of it is not read."""
        *earlier, last = destination.addresses[:MOST_ADDRESSES]
        for address in earlier:
            try:
                return await self._post_to(address, destination.url, headers, body)
            except (httpx.ConnectError, httpx.ConnectTimeout):
                continue
        return await self._post_to(last, destination.url, headers, body)

    async def _post_to(
        self, address: str, url: httpx.URL, headers: dict[str, str], body: bytes
    ) -> int:
        timeout = httpx.Timeout(self._longest_seconds, connect=CONNECT_SECONDS)
        request = httpx.Request(
            "POST",
            url.copy_with(host=address),
            headers={"host": url.netloc.decode("ascii"), **headers},
            content=body,
            # The certificate has to be that of the host, whatever the address.
            extensions={"timeout": timeout.as_dict(), "sni_hostname": host_of(url)},
        )
        response = await self._transport.handle_async_request(request)
        await response.aclose()
        return response.status_code


def _headers_of(message: ClaimedMessage, now: datetime) -> dict[str, str]:
    signatures = [
        Webhook(secret).sign(message.message_id, now, message.payload)
        for secret in signing_secrets(message.secrets, now)
    ]
    return {
        "content-type": "application/json",
        "user-agent": "weatherstrip-optimiser",
        "webhook-id": message.message_id,
        "webhook-timestamp": str(int(now.timestamp())),
        "webhook-signature": " ".join(signatures),
    }
