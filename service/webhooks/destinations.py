"""Where a webhook may lead: to public addresses, unless whoever runs the service allows others.

A name can lead elsewhere from one moment to the next. So it is looked up anew for each message,
every address is looked at, and the message goes to an address that was looked at, never to the
name.
"""

import asyncio
import ipaddress
import socket
from collections.abc import Awaitable, Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import httpx

from optimiser.domain.faults import Fault

Resolve = Callable[[str, int], Awaitable[Sequence[str]]]
"""Takes a host and a port; returns its addresses. Raises OSError where there are none."""

RESOLVE_SECONDS = 5.0

LEAST_OPEN_PORT = 1_024
"""From here on any port may be named; below, those of HTTP alone."""

_PORTS = {"https": 443, "http": 80}
_NAT64 = ipaddress.IPv6Network("64:ff9b::/96")
# Lookups wait in threads of their own: a name server that is slow holds up nothing else.
_LOOKUPS = ThreadPoolExecutor(8, thread_name_prefix="lookup")


@dataclass(frozen=True, slots=True, kw_only=True)
class Destination:
    """A URL, and the addresses of its host as they were looked at."""

    url: httpx.URL
    addresses: tuple[str, ...]


class UnfitUrl(Exception):
    """A URL that nothing is sent to; `faults` says why. It never shows more than the host."""

    def __init__(self, *faults: Fault) -> None:
        self.faults = faults
        super().__init__(" ".join(fault.message for fault in faults))


async def resolve_host(host: str, port: int) -> Sequence[str]:
    """Return the addresses of a host, each once, in the order of the system."""
    found = await asyncio.get_running_loop().run_in_executor(
        _LOOKUPS, lambda: socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)
    )
    return tuple(dict.fromkeys(str(entry[4][0]) for entry in found))


class Destinations:
    """Looks at URLs. `private` is whether http and addresses that are not public are allowed."""

    def __init__(self, *, private: bool, resolve: Resolve = resolve_host) -> None:
        self._private = private
        self._resolve = resolve

    async def find(self, stated: str) -> Destination:
        """Return where a URL leads at this moment.

        Raises:
            UnfitUrl: it has not the form that is asked for, its host cannot be found, or one of
                the addresses of its host is not public.
        """
        try:
            url = httpx.URL(stated)
        except httpx.InvalidURL:
            raise UnfitUrl(
                _fault("unreadable-url", "cannot be read as a URL; correct it")
            ) from None
        if faults := _find_faults_of_form(url, private=self._private):
            raise UnfitUrl(*faults)
        host = host_of(url)
        try:
            async with asyncio.timeout(RESOLVE_SECONDS):
                addresses = await self._resolve(host, port_of(url))
        except (OSError, UnicodeError):
            # TimeoutError is one of them.
            addresses = ()
        if not addresses:
            raise UnfitUrl(
                _fault("unknown-host", f"the host {host[:80]!r} cannot be found; correct it")
            )
        if not self._private and not all(map(is_public, addresses)):
            raise UnfitUrl(
                _fault(
                    "private-address",
                    f"the host {host[:80]!r} leads to an address that is not public; name a host "
                    "on the internet, or ask whoever runs the service to allow private addresses",
                )
            )
        return Destination(url=url, addresses=tuple(addresses))


def is_public(address: str) -> bool:
    """Return whether an address is one of the internet at large, reached by one receiver.

    IPv6 addresses that stand for one of IPv4 are as public as that one.
    Source: the registries of special addresses of RFC 6890, as the standard library has them.
    """
    try:
        stated = ipaddress.ip_address(address)
    except ValueError:
        return False
    if isinstance(stated, ipaddress.IPv6Address):
        inner = stated.ipv4_mapped or stated.sixtofour
        if stated in _NAT64:
            inner = ipaddress.IPv4Address(int(stated) & 0xFFFF_FFFF)
        if inner is not None:
            return is_public(str(inner))
        if stated.is_site_local:
            return False
    return stated.is_global and not (
        stated.is_multicast or stated.is_reserved or stated.is_loopback or stated.is_link_local
    )


def host_of(url: httpx.URL) -> str:
    """Return the host as it is looked up, in ASCII and without brackets."""
    return url.raw_host.decode("ascii")


def port_of(url: httpx.URL) -> int:
    """Return the port, also where the URL leaves it to the scheme."""
    return _PORTS[url.scheme] if url.port is None else url.port


def _find_faults_of_form(url: httpx.URL, *, private: bool) -> list[Fault]:
    if url.scheme not in _PORTS or not url.host:
        return [_fault("unreadable-url", "is no https URL with a host; correct it")]
    faults = []
    if url.scheme != "https" and not private:
        faults.append(_fault("not-https", "begins with http; send one that begins with https"))
    if url.userinfo:
        complaint = "holds a user or a password; leave them out, messages are signed"
        faults.append(_fault("credentials-in-url", complaint))
    port = port_of(url)
    if port not in _PORTS.values() and not LEAST_OPEN_PORT <= port <= 65_535:
        faults.append(
            _fault(
                "port-not-allowed",
                f"names port {port}; messages go to 443, 80, or {LEAST_OPEN_PORT} to 65535",
            )
        )
    return faults


def _fault(code: str, complaint: str) -> Fault:
    return Fault(("url",), code, f"url: {complaint}.")
