"""The server as it is started at a terminal."""

import asyncio
import os
import re
import shlex
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import httpx
import pytest

from service.command_line import main
from service.server import listen
from tests.serving import wait_until_ready

ROOT = Path(__file__).parents[2]


@contextmanager
def started(*arguments: str) -> Iterator[tuple[subprocess.Popen[str], str]]:
    """Start the server over a store of its own and yield it with what it announces."""
    with (
        TemporaryDirectory() as folder,
        subprocess.Popen(
            [sys.executable, "-m", "service", "serve", *arguments],
            cwd=ROOT,
            env={
                **os.environ,
                "WEATHERSTRIP_SOLVERS": "1",
                "WEATHERSTRIP_STORE": f"{folder}/kept.sqlite",
            },
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        ) as server,
    ):
        try:
            assert server.stdout is not None
            yield server, "".join(server.stdout.readline() for _ in range(5))
        finally:
            server.kill()


def test_the_server_announces_where_it_is_and_a_request_that_works() -> None:
    with started("--port", "0") as (server, announcement):
        match = re.search(r"listens at (http://127\.0\.0\.1:\d+)\n", announcement)
        assert match is not None
        assert f"Documentation: {match[1]}/docs" in announcement
        with httpx.Client(base_url=match[1]) as client:
            wait_until_ready(client)
        pasted = announcement.splitlines()[-1].strip()
        assert pasted.startswith("curl ")
        arguments = shlex.split(pasted)
        headers = dict(part.split(": ") for part in arguments if ": " in part)
        file = next(part for part in arguments if part.startswith("@")).removeprefix("@")
        answer = httpx.post(arguments[-1], headers=headers, content=(ROOT / file).read_bytes())
        assert answer.status_code == 200
        assert "Total USD 459.70" in answer.text
        server.send_signal(signal.SIGTERM)
        _, log = server.communicate(timeout=30)
        assert '"event": "request"' in log
        assert "Traceback" not in log


def test_an_interrupt_stops_the_server_without_a_trace() -> None:
    with started("--port", "0") as (server, announcement):
        assert "listens at" in announcement
        server.send_signal(signal.SIGINT)
        _, log = server.communicate(timeout=30)
        assert server.returncode == 0
        assert "Traceback" not in log


def test_an_address_beyond_this_machine_is_refused_without_a_key(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("WEATHERSTRIP_STORE", str(tmp_path / "kept.sqlite"))
    assert main(["serve", "--host", "0.0.0.0", "--port", "0"]) == 6
    said = capsys.readouterr().err
    assert "0.0.0.0" in said
    assert "keys make --tenant" in said


def test_an_address_in_use_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    with started("--port", "0") as (_, announcement):
        port = announcement.splitlines()[0].rpartition(":")[2]
        assert main(["serve", "--port", port]) == 6
        assert f"Cannot listen at http://127.0.0.1:{port}" in capsys.readouterr().err


def test_settings_that_cannot_be_used_are_all_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("WEATHERSTRIP_SOLVERS", "none")
    monkeypatch.setenv("WEATHERSTRIP_LOG_FORMAT", "xml")
    assert main(["serve", "--port", "70000"]) == 2
    said = capsys.readouterr().err
    for name in ("WEATHERSTRIP_SOLVERS", "WEATHERSTRIP_LOG_FORMAT", "WEATHERSTRIP_PORT"):
        assert name in said


def test_a_short_answer_is_not_held_back_for_an_acknowledgement() -> None:
    async def look() -> int:
        accepted: asyncio.Queue[int] = asyncio.Queue()

        async def answer(_: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
            its_own = writer.get_extra_info("socket")
            accepted.put_nowait(its_own.getsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY))
            writer.close()

        with listen("127.0.0.1", 0) as listener:
            server = await asyncio.start_server(answer, sock=listener)
            _, writer = await asyncio.open_connection(*listener.getsockname())
            without_delay = await accepted.get()
            writer.close()
            server.close()
        return without_delay

    assert asyncio.run(look()) == 1
