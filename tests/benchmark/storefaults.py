"""Faults of the store, one after the other: full, read-only, damaged, away; the clock set back.

Each time, while the fault lasts, every answer is right or a clear refusal (503 `store-failed` with
Retry-After), and a service that cannot start says which file and what would mend it. When the fault
is gone the service goes on by itself, and everything that it said it had kept is there, once.
"""

import argparse
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import httpx

from tests.benchmark.clock_faults import run_clock_set_back
from tests.benchmark.kept_orders import KeptOrders
from tests.benchmark.relay import relayed
from tests.benchmark.served import Served, refusal_of, served
from tests.serving import wait_until_ready
from tests.stores import POSTGRESQL, VARIABLE, new_store_url

HELP = "spoil the store in every way; nothing kept is lost, and the service goes on"
EXIT_FILE = 6
PAGE_BYTES = 4_096
WITHOUT_ROOT = ("setpriv", "--bounding-set=-dac_override,-dac_read_search")
"""Root may write to what is read-only; a process without these two rights may not."""

Findings = list[str]


def full_disk(folder: Path) -> Findings:
    """A file system of 4 MiB of its own fills up, and is emptied again."""
    place = folder / "small"
    place.mkdir()
    mounted = f'mount -t tmpfs -o size=4m none {place} && exec "$@"'
    under = ("unshare", "--user", "--map-root-user", "--mount", "sh", "-c", mounted, "sh")
    if subprocess.run([*under, "true"], check=False, capture_output=True).returncode:
        print("  skipped: this machine lets nobody but root mount a small file system")
        return []
    with served(str(place / "kept.sqlite"), folder, under=under) as service:
        ballast = Path(f"/proc/{service.process.pid}/root{place}/ballast")
        return _fill_and_free(service, lambda: _fill(ballast), ballast.unlink)


def file_that_may_not_grow(folder: Path) -> Findings:
    """The limit of a process for the size of a file is reached, and lifted again."""
    limited = ("prlimit", "--fsize=1500000:unlimited")
    with served(str(folder / "kept.sqlite"), folder, under=limited) as service:
        lift = ["prlimit", f"--pid={service.process.pid}", "--fsize=unlimited"]
        return _fill_and_free(
            service, lambda: None, lambda: subprocess.run(lift, check=True) and None
        )


def _fill_and_free(
    service: Served, fill: Callable[[], None], free: Callable[[], object]
) -> Findings:
    with _client(service) as client:
        orders = KeptOrders()
        orders.send(client, 5)
        orders.queue(client, "before")
        fill()
        while not orders.refused and orders.asked < 500:
            orders.send(client, 1)
        from_here = orders.asked - 1
        orders.send(client, 5)
        orders.read(client)
        _note(orders, "full", must_refuse=True)
        free()
        return _goes_on(orders, client, service, from_here)


def read_only(folder: Path) -> Findings:
    """The file, and then its folder, may only be read."""
    place = folder / "kept"
    place.mkdir()
    file = place / "kept.sqlite"
    orders = KeptOrders()
    with served(str(file), folder) as service, _client(service) as client:
        orders.send(client, 3)
    findings = []
    for what, locked, mode in (("file", file, 0o444), ("folder", place, 0o555)):
        before = locked.stat().st_mode
        locked.chmod(mode)
        try:
            under = WITHOUT_ROOT if os.geteuid() == 0 else ()
            findings += _check_refusal(f"read-only {what}", file, "give the service", under)
        finally:
            locked.chmod(before)
    with served(str(file), folder) as service, _client(service) as client:
        return findings + _goes_on(orders, client, service, 3)


def damaged_file(folder: Path) -> Findings:
    """The header, and then pages in the middle, are overwritten; a copy takes their place."""
    file, copy = folder / "kept.sqlite", folder / "copy.sqlite"
    orders = KeptOrders()
    with served(str(file), folder) as service, _client(service) as client:
        orders.send(client, 40)
    shutil.copy(file, copy)
    pages = file.stat().st_size // PAGE_BYTES
    _overwrite(file, 0, 100)
    findings = _check_refusal("damaged header", file, "back-up")
    shutil.copy(copy, file)
    for page in range(pages // 3, pages, 7):
        _overwrite(file, page * PAGE_BYTES, PAGE_BYTES)
    with (
        suppress(AssertionError),
        served(str(file), folder) as service,
        _client(service) as client,
    ):
        orders.read(client)
        orders.send(client, 5)
    _note(orders, "damaged in the middle", must_refuse=True)
    _replace(file, copy)
    # What was kept in the damaged file is not in the copy that it was made of before.
    orders.kept = dict(list(orders.kept.items())[:40])
    with served(str(file), folder) as service, _client(service) as client:
        content = file.read_bytes()
        for page in range(pages // 3, pages, 7):
            _overwrite(file, page * PAGE_BYTES, PAGE_BYTES)
        orders.read(client)
        _note(orders, "damaged while it is served", must_refuse=False)
        file.write_bytes(content)
        return findings + _goes_on(orders, client, service, 40)


def postgresql_away(folder: Path) -> Findings:
    """The server of PostgreSQL cannot be reached for 15 s."""
    if not os.environ.get(VARIABLE):
        print(f"  skipped: set {VARIABLE} to the address of a server")
        return []
    with (
        new_store_url(POSTGRESQL, folder) as direct,
        relayed(direct) as (relay, url),
        served(url, folder) as service,
        _client(service) as client,
    ):
        orders = KeptOrders()
        orders.send(client, 5)
        for number in range(5):
            orders.queue(client, f"before-{number}")
        relay.cut()
        until = time.monotonic() + 15
        orders.send(client, 5)
        while time.monotonic() < until:
            orders.send(client, 5, again_from=5)
            orders.read(client)
        findings = []
        if (
            client.get("/health/ready").status_code != 503
            or not client.get("/health/live").is_success
        ):
            findings.append("health does not tell that the server is away")
        _note(orders, "away", must_refuse=True)
        code, told = refusal_of(url)
        if code != EXIT_FILE or "server runs" not in told:
            findings.append(f"start while it is away: exit code {code}: {told[-300:]}")
        relay.mend()
        return findings + _goes_on(orders, client, service, 5)


FAULTS: dict[str, Callable[[Path], Findings]] = {
    "full-disk": full_disk,
    "file-limit": file_that_may_not_grow,
    "read-only": read_only,
    "damaged": damaged_file,
    "postgresql-away": postgresql_away,
    "clock-set-back": run_clock_set_back,
}


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the campaign."""
    parser.add_argument("--only", choices=FAULTS, nargs="+", default=list(FAULTS))


def run(options: argparse.Namespace) -> int:
    """Run the campaign; return 1 where anything was lost, or told unclearly."""
    failed = False
    for name in options.only:
        print(f"{name}: {FAULTS[name].__doc__}")
        with tempfile.TemporaryDirectory() as folder:
            findings = FAULTS[name](Path(folder))
        print(*(f"  FOUND: {finding}" for finding in findings), sep="\n", end="\n" * bool(findings))
        failed |= bool(findings)
    return int(failed)


def _goes_on(orders: KeptOrders, client: httpx.Client, service: Served, first: int) -> Findings:
    """Return what is wrong now that the fault is gone; orders from `first` on are sent again."""
    started = time.monotonic()
    wait_until_ready(client, runs=lambda: service.process.poll() is None)
    again = orders.asked - first
    while (missing := again) and time.monotonic() < started + 60:
        missing -= orders.send(client, again, again_from=first)
        if not missing:
            break
        time.sleep(1)
    seconds = time.monotonic() - started
    orders.queue(client, "after")
    orders.check_all_is_kept(client)
    print(f"  gone: goes on after {seconds:.1f} s, {len(orders.kept)} orders kept, each once")
    if "Traceback" in service.log():
        orders.findings["a stack trace in the log"] += 1
    return [f"{count} times {what}" for what, count in orders.findings.items()]


def _note(orders: KeptOrders, what: str, *, must_refuse: bool) -> None:
    print(f"  {what}: {orders.refused} refused, the slowest after {orders.slowest_seconds:.1f} s")
    if must_refuse and not orders.refused:
        orders.findings[f"{what}: nothing was refused; the fault was not there"] += 1


def _check_refusal(what: str, file: Path, remedy: str, under: tuple[str, ...] = ()) -> Findings:
    """Return what is wrong with the way in which a service refuses to start."""
    code, told = refusal_of(str(file), under=under)
    print(f"  {what}: exit code {code}: {told.strip()[-200:]}")
    if code == EXIT_FILE and str(file) in told and remedy in told and "Traceback" not in told:
        return []
    return [f"{what}: exit code {code}, file and remedy not named"]


def _fill(ballast: Path) -> None:
    with ballast.open("wb", buffering=0) as file, suppress(OSError):
        while file.write(b"\0" * PAGE_BYTES):
            continue


def _overwrite(file: Path, start: int, count: int) -> None:
    with file.open("r+b") as damaged:
        damaged.seek(start)
        damaged.write(b"\xa5" * count)


def _replace(file: Path, copy: Path) -> None:
    for part in file.parent.glob(f"{file.name}-*"):
        part.unlink()
    shutil.copy(copy, file)


@contextmanager
def _client(service: Served) -> Iterator[httpx.Client]:
    with httpx.Client(base_url=service.address, timeout=60) as client:
        yield client
