"""Starting the HTTP server and telling where it is."""

import asyncio
import os
import socket
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import uvicorn

from service.access.keys import any_key
from service.app import create_app, open_store
from service.clock import utc_now
from service.examples import examples_folder
from service.front import MOST_HEADER_BYTES
from service.garbage import spare_what_stays
from service.log import set_up_logging
from service.settings import PREFIX, Settings, is_loopback
from service.store.store import Store, read_store_url

if TYPE_CHECKING:
    from litestar.types import ASGIApp


class ServerError(Exception):
    """The service cannot listen where it is told to."""


def serve(settings: Settings, *, announce: Callable[[str], None]) -> None:
    """Serve until the process is told to stop; announces where, once requests are taken.

    Raises:
        ServerError: the address cannot be used, or lies beyond this machine although there is
            no API key; or the start failed.
        StoreError: what the service keeps cannot be reached.
    """
    # What is wrong with the store is told here and now, not in the log of a server that ends.
    keys_are_there = _keys_are_there(settings)
    if not is_loopback(settings.host) and not keys_are_there:
        raise ServerError(
            f"Host {settings.host} can be reached from other machines, and there is no API key "
            "yet; make one with: python -m service keys make --tenant NAME. Or listen at "
            "127.0.0.1, where none is needed."
        )
    set_up_logging(settings.log_format)
    listener = listen(settings.host, settings.port)
    with listener:
        config = configure_server(create_app(settings), settings)
        address = _write_address(settings.host, listener.getsockname()[1])
        server = _AnnouncingServer(config, lambda: announce(write_announcement(address, settings)))
        server.run(sockets=[listener])
        if not server.started:
            raise ServerError("The service did not start; its log says why.")


def configure_server(app: "ASGIApp", settings: Settings) -> uvicorn.Config:
    """Return how the HTTP server runs an application."""
    return uvicorn.Config(
        app,
        log_config=None,
        access_log=False,
        server_header=False,
        lifespan="on",
        # One parser everywhere: it is the one that holds headers to their limit.
        http="h11",
        ws="none",
        h11_max_incomplete_event_size=MOST_HEADER_BYTES,
        timeout_keep_alive=settings.keep_alive_seconds,
        timeout_graceful_shutdown=int(settings.shutdown_seconds) or 1,
    )


def write_announcement(address: str, settings: Settings) -> str:
    """Return where the service is, where its documentation is, and a request to paste."""
    lines = [
        f"The weatherstrip optimiser listens at {address}",
        f"Documentation: {address}/docs",
        f"It keeps its data in: {Store(read_store_url(settings.store)).describe()}",
    ]
    folder = examples_folder()
    if folder is not None:
        example = _shorten(folder / "ten-doors.json")
        lines += [
            "Try it:",
            f"  curl -H 'Content-Type: application/json' -H 'Accept: text/plain' "
            f"--data-binary '@{example}' {address}/v1/plans",
        ]
    return "\n".join(lines)


def _keys_are_there(settings: Settings) -> bool:
    async def look() -> bool:
        async with open_store(settings, utc_now) as store:
            return await any_key(store)

    return asyncio.run(look())


class _AnnouncingServer(uvicorn.Server):
    """Makes its announcement once it takes requests."""

    def __init__(self, config: uvicorn.Config, announce: Callable[[], None]) -> None:
        super().__init__(config)
        self._announce = announce

    async def startup(self, sockets: list[socket.socket] | None = None) -> None:
        await super().startup(sockets)
        if self.started:
            spare_what_stays()
            self._announce()


def listen(host: str, port: int) -> socket.socket:
    """Return a socket that is bound to an address.

    Raises:
        ServerError: it cannot be.
    """
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # Only of a socket that names TCP does asyncio switch off Nagle's algorithm, which would hold
    # the body of a short answer back until the client acknowledges its headers: 40 ms.
    listener = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    try:
        if os.name == "posix":
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((host.strip("[]"), port))
    except OSError as error:
        listener.close()
        raise ServerError(
            f"Cannot listen at {_write_address(host, port)}: {error.strerror or error}; "
            f"choose another address with --host and --port, or {PREFIX}HOST and {PREFIX}PORT."
        ) from None
    return listener


def _write_address(host: str, port: int) -> str:
    return f"http://[{host.strip('[]')}]:{port}" if ":" in host else f"http://{host}:{port}"


def _shorten(path: Path) -> Path:
    here = Path.cwd()
    return path.relative_to(here) if path.is_relative_to(here) else path
