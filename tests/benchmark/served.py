"""Services in processes of their own, for campaigns that speak HTTP to them over sockets."""

import os
import socket
import subprocess
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

import httpx

from tests.serving import wait_until_ready

ROOT = Path(__file__).parents[2]


@dataclass(frozen=True)
class Served:
    """A service in a process of its own: its address, and the file that its log goes to."""

    address: str
    process: subprocess.Popen[bytes]
    log_file: Path

    def log(self) -> str:
        """Return what the process has written."""
        return self.log_file.read_text(encoding="utf-8", errors="replace")


@contextmanager
def served(
    store_url: str, folder: Path, *, under: Sequence[str] = (), **settings: object
) -> Iterator[Served]:
    """Serve a store until the block ends; the service takes orders when it begins.

    `settings` are named as the variables of the environment are, in small letters and without
    their beginning. `under` is a command that runs the one that follows it, as itself.
    """
    address = f"http://127.0.0.1:{free_port()}"
    with _started("serve", store_url, folder, address, under, settings) as process:
        with httpx.Client(base_url=address, timeout=20) as client:
            wait_until_ready(client, runs=lambda: process.process.poll() is None)
        yield process


@contextmanager
def working(store_url: str, folder: Path, **settings: object) -> Iterator[Served]:
    """Run a worker over a store until the block ends."""
    with _started("work", store_url, folder, "", (), settings) as process:
        yield process


def free_port() -> int:
    """Return a port that nobody listens at now."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        return int(listener.getsockname()[1])


def environment_of(store_url: str, settings: dict[str, object]) -> dict[str, str]:
    """Return the environment of a service with one solver and without a limit of requests."""
    stated = {"store": store_url, "solvers": 1, "requests_per_minute": 0, "shutdown_seconds": 5}
    return {
        **os.environ,
        **{f"WEATHERSTRIP_{n.upper()}": str(v) for n, v in {**stated, **settings}.items()},
    }


def refusal_of(store_url: str, *, under: Sequence[str] = ()) -> tuple[int, str]:
    """Return how a service that cannot start ends: its exit code, and what it says."""
    ended = subprocess.run(
        [*under, sys.executable, "-m", "service", "serve", "--port", str(free_port())],
        cwd=ROOT,
        env=environment_of(store_url, {}),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        timeout=120,
        check=False,
    )
    return ended.returncode, ended.stdout


@contextmanager
def _started(
    what: str,
    store_url: str,
    folder: Path,
    address: str,
    under: Sequence[str],
    settings: dict[str, object],
) -> Iterator[Served]:
    log_file = folder / f"{what}-{free_port()}.log"
    port = ["--port", address.rpartition(":")[2]] if address else []
    command = [*under, sys.executable, "-m", "service", what, *port]
    # The log goes through a pipe: a limit of files is for those of the store.
    with log_file.open("wb") as log:
        writer = subprocess.Popen(["cat"], stdin=subprocess.PIPE, stdout=log)
        process = subprocess.Popen(
            command,
            cwd=ROOT,
            env=environment_of(store_url, settings),
            stdout=writer.stdin,
            stderr=writer.stdin,
        )
        assert writer.stdin is not None
        writer.stdin.close()
        try:
            yield Served(address=address, process=process, log_file=log_file)
        finally:
            process.terminate()
            with suppress(subprocess.TimeoutExpired):
                process.wait(60)
            process.kill()
            process.wait()
            writer.wait(30)
