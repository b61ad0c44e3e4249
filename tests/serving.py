"""Running the service on a free port of this machine, for tests that speak HTTP to it."""

import asyncio
import socket
import threading
import time
from collections.abc import Callable, Iterator, MutableMapping
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from datetime import datetime
from tempfile import TemporaryDirectory
from typing import Any

import httpx
import structlog
import uvicorn

from service.app import create_app
from service.clock import utc_now
from service.server import configure_server
from service.settings import Settings
from service.telemetry.traces import Traces


def show_what_broke(_: Any, __: str, line: MutableMapping[str, Any]) -> MutableMapping[str, Any]:
    """Put the trace of a failed job, or why a plan was withheld, where a report shows it."""
    broke = line.get("trace") or line.get("failures")
    return line if broke is None else {**line, "event": f"{line['event']}: {broke}"}


# To the standard library, where pytest's caplog finds the lines and prints nothing of its own.
structlog.configure(
    processors=[
        structlog.contextvars.merge_contextvars,
        show_what_broke,
        structlog.stdlib.render_to_log_kwargs,
    ],
    logger_factory=structlog.stdlib.LoggerFactory(),
    wrapper_class=structlog.stdlib.BoundLogger,
)


@dataclass(frozen=True)
class RunningService:
    """A service that takes orders: its address, and a client for it."""

    address: str
    client: httpx.Client


@contextmanager
def running_service(
    settings: Settings | None = None,
    *,
    solves: bool = True,
    clock: Callable[[], datetime] = utc_now,
    traces: Traces | None = None,
) -> Iterator[RunningService]:
    """Serve in a thread until the block ends; a solver is ready when it begins, if it solves.

    Without settings of its own it keeps its data in a file of its own, which ends with it.
    """
    with ExitStack() as stack:
        if settings is None:
            folder = stack.enter_context(TemporaryDirectory())
            settings = Settings(
                store=f"{folder}/store.sqlite", shutdown_seconds=2, requests_per_minute=0
            )
        yield stack.enter_context(_served(settings, clock, traces, solves=solves))


@contextmanager
def _served(
    settings: Settings, clock: Callable[[], datetime], traces: Traces | None, *, solves: bool
) -> Iterator[RunningService]:
    config = configure_server(create_app(settings, clock, traces), settings)
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    listener.bind(("127.0.0.1", 0))
    address = f"http://127.0.0.1:{listener.getsockname()[1]}"
    server = uvicorn.Server(config)
    thread = threading.Thread(
        target=lambda: asyncio.run(server.serve(sockets=[listener])), daemon=True
    )
    thread.start()
    try:
        with httpx.Client(base_url=address, timeout=120) as client:
            sign = "/health/ready" if solves else "/health/live"
            wait_until_ready(client, runs=thread.is_alive, sign=sign)
            yield RunningService(address=address, client=client)
    finally:
        server.should_exit = True
        thread.join(30)
        listener.close()
    assert not thread.is_alive(), "the service did not stop"


def wait_until_ready(
    client: httpx.Client,
    seconds: float = 60,
    *,
    runs: Callable[[], bool] = lambda: True,
    sign: str = "/health/ready",
) -> None:
    """Wait until the service takes orders; fails after so many seconds, or when it has ended."""
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline and runs():
        try:
            if client.get(sign).status_code == 200:
                return
        except httpx.TransportError:
            pass
        time.sleep(0.05)
    raise AssertionError(f"the service was not ready within {seconds} s")
