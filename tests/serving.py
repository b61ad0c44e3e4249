"""Running the service on a free port of this machine, for tests that speak HTTP to it."""

import asyncio
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass

import httpx
import structlog
import uvicorn

from service.app import create_app
from service.settings import Settings

# To the standard library, where pytest's caplog finds the lines and prints nothing of its own.
structlog.configure(
    processors=[
        structlog.contextvars.merge_contextvars,
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
def running_service(settings: Settings | None = None) -> Iterator[RunningService]:
    """Serve in a thread until the block ends; a solver is ready when it begins."""
    config = uvicorn.Config(
        create_app(settings or Settings(shutdown_seconds=2)),
        log_config=None,
        access_log=False,
        lifespan="on",
        timeout_graceful_shutdown=2,
    )
    listener = socket.socket()
    listener.bind(("127.0.0.1", 0))
    address = f"http://127.0.0.1:{listener.getsockname()[1]}"
    server = uvicorn.Server(config)
    thread = threading.Thread(
        target=lambda: asyncio.run(server.serve(sockets=[listener])), daemon=True
    )
    thread.start()
    try:
        with httpx.Client(base_url=address, timeout=120) as client:
            wait_until_ready(client)
            yield RunningService(address=address, client=client)
    finally:
        server.should_exit = True
        thread.join(30)
        listener.close()
    assert not thread.is_alive(), "the service did not stop"


def wait_until_ready(client: httpx.Client, seconds: float = 60) -> None:
    """Wait until the service takes orders; fails after so many seconds."""
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        try:
            if client.get("/health/ready").status_code == 200:
                return
        except httpx.TransportError:
            pass
        time.sleep(0.05)
    raise AssertionError(f"the service was not ready within {seconds} s")
