"""A relay between a service and its server of PostgreSQL, which can be cut off for a while."""

import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from sqlalchemy import make_url

PIECE_BYTES = 65_536


class Relay:
    """Passes on what comes to a port of this machine, both ways, unless it is cut."""

    def __init__(self, host: str, port: int) -> None:
        self._to = (host, port)
        self._cut = False
        self._open: list[socket.socket] = []
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._listener.getsockname()[1]
        threading.Thread(target=self._listen, daemon=True).start()

    def cut(self) -> None:
        """End every connection, and every new one at once."""
        self._cut = True
        while self._open:
            _end(self._open.pop())

    def mend(self) -> None:
        """Let connections through again."""
        self._cut = False

    def close(self) -> None:
        """Listen no more."""
        self.cut()
        _end(self._listener)

    def _listen(self) -> None:
        with suppress(OSError):
            while True:
                here, _ = self._listener.accept()
                if self._cut:
                    _end(here)
                    continue
                there = socket.create_connection(self._to)
                self._open += [here, there]
                for pair in ((here, there), (there, here)):
                    threading.Thread(target=_pass_on, args=pair, daemon=True).start()


def _pass_on(source: socket.socket, target: socket.socket) -> None:
    with suppress(OSError):
        while piece := source.recv(PIECE_BYTES):
            target.sendall(piece)
    _end(source)
    _end(target)


def _end(connection: socket.socket) -> None:
    with suppress(OSError):
        connection.shutdown(socket.SHUT_RDWR)
    connection.close()


@contextmanager
def relayed(store_url: str) -> Iterator[tuple[Relay, str]]:
    """Give a relay to the server of a store, and the store's address through it."""
    url = make_url(store_url)
    relay = Relay(url.host or "127.0.0.1", url.port or 5432)
    try:
        through = url.set(host="127.0.0.1", port=relay.port)
        yield relay, through.render_as_string(hide_password=False)
    finally:
        relay.close()
