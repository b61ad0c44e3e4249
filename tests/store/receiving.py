"""A receiver of webhooks: an HTTP server that notes what it is sent and answers as it is told."""

import ssl
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any

from standardwebhooks import Webhook


@dataclass(frozen=True)
class Received:
    """A request as it came."""

    path: str
    headers: dict[str, str]
    body: bytes

    @property
    def message_id(self) -> str:
        return self.headers["webhook-id"]

    def is_signed_with(self, secret: str) -> bool:
        """Whether a signature is that of the secret, whatever the time of the message."""
        moment = datetime.fromtimestamp(int(self.headers["webhook-timestamp"]), tz=UTC)
        wanted = Webhook(secret).sign(self.message_id, moment, self.body.decode())
        return wanted in self.headers["webhook-signature"].split(" ")


@dataclass
class Receiver:
    """What was received. `answers` are the statuses of the next answers; the last one stays."""

    port: int = 0
    answers: list[int] = field(default_factory=lambda: [204])
    headers: dict[str, str] = field(default_factory=dict)
    received: list[Received] = field(default_factory=list)

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/hook"

    def wait_for(self, count: int, seconds: float = 30) -> list[Received]:
        wait_until(lambda: len(self.received) >= count, seconds)
        return self.received


def wait_until(holds: Callable[[], bool], seconds: float = 30) -> None:
    deadline = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < deadline, f"waited {seconds} s in vain"
        time.sleep(0.02)


@contextmanager
def receiving(tls: ssl.SSLContext | None = None) -> Iterator[Receiver]:
    """Receive in a thread until the block ends."""
    receiver = Receiver()

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["content-length"]))
            headers = {name.lower(): value for name, value in self.headers.items()}
            receiver.received.append(Received(self.path, headers, body))
            answers = receiver.answers
            self.send_response(answers.pop(0) if len(answers) > 1 else answers[0])
            for name, value in receiver.headers.items():
                self.send_header(name, value)
            self.end_headers()

        def log_message(self, *_: Any) -> None:
            pass

    server = _Server(("127.0.0.1", 0), Handler)
    if tls is not None:
        server.socket = tls.wrap_socket(
            server.socket, server_side=True, do_handshake_on_connect=False
        )
    receiver.port = server.server_address[1]
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
    thread.start()
    try:
        yield receiver
    finally:
        server.shutdown()
        thread.join(10)
        server.server_close()


class _Server(ThreadingHTTPServer):
    daemon_threads = True

    def handle_error(self, *_: Any) -> None:
        """Say nothing of a client that breaks a handshake off."""
