"""A closed loop of clients that each send one small order after the other, over sockets.

Most wait for their plan; every fourth order is queued, and its job is followed until its end. On
SQLite one process of the API has `--solvers` solver processes; on PostgreSQL the API queues, and
`--workers` processes carry out jobs, while plans at once are the API's own. Run it once with one
and once with two of them: the report states the ratio where both were asked for.
"""

import argparse
import json
import random
import re
import statistics
import tempfile
import threading
import time
from collections.abc import Sequence
from contextlib import ExitStack, closing
from dataclasses import dataclass, field
from http.client import HTTPConnection
from pathlib import Path
from typing import Any

from service.json_text import write_json
from tests.benchmark.served import served, working
from tests.harbour_row import mixed_order
from tests.stores import BACKENDS, POSTGRESQL, SQLITE, new_store_url

HELP = "send small orders in a closed loop: throughput, waiting times, overhead, scale-out"
QUEUED_EVERY = 4
LOOKS_EVERY = 0.05
MOST_OPENINGS = 10
DRAWN = 200
_TIMING = re.compile(r"queue;dur=([\d.]+), solve;dur=([\d.]+)")


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the campaign."""
    parser.add_argument("--store", choices=BACKENDS, default=SQLITE)
    parser.add_argument("--clients", type=int, default=4)
    parser.add_argument("--seconds", type=float, default=60, help="of each round")
    parser.add_argument(
        "--processes",
        type=int,
        nargs="+",
        default=[1, 2],
        help="solver processes (SQLite) or worker processes (PostgreSQL), a round for each number",
    )
    parser.add_argument("--seed", type=int, default=1)


@dataclass
class Round:
    """What came of a round; times in seconds. `overheads` are of plans at once alone."""

    seconds: float = 0.0
    at_once: list[float] = field(default_factory=list)
    overheads: list[float] = field(default_factory=list)
    queued: list[float] = field(default_factory=list)
    queued_every: int = QUEUED_EVERY
    failures: list[str] = field(default_factory=list)

    @property
    def orders_per_second(self) -> float:
        """Return how many orders were planned in a second."""
        return (len(self.at_once) + len(self.queued)) / self.seconds

    def write(self) -> str:
        """Return the lines of the report."""
        return "\n".join(
            (
                f"  {self.orders_per_second:.1f} orders a second, {len(self.failures)} failures",
                f"  at once: {_spread(self.at_once)}",
                f"  over queue and solve: {_spread(self.overheads)}",
                f"  queued, to the end of the job: {_spread(self.queued)}",
            )
        )


def _spread(times: Sequence[float]) -> str:
    if len(times) < 2:
        return f"{len(times)} orders"
    cuts = statistics.quantiles(times, n=100, method="inclusive")
    return f"{len(times):,} orders, p50 {cuts[49] * 1000:.1f} ms, p99 {cuts[98] * 1000:.1f} ms"


def run(options: argparse.Namespace) -> int:
    """Run the campaign; return 1 where an order was not planned."""
    chance = random.Random(options.seed)
    orders = [
        write_json(mixed_order(chance.randint(1, MOST_OPENINGS), seed=number))
        for number in range(DRAWN)
    ]
    rounds: dict[int, Round] = {}
    for processes in options.processes:
        came = rounds[processes] = run_round(options, processes, orders)
        what = "workers" if options.store == POSTGRESQL else "solvers"
        print(f"{options.store}, {options.clients} clients, {processes} {what}:")
        print(came.write(), *came.failures[:5], sep="\n", flush=True)
    if {1, 2} <= rounds.keys():
        ratio = rounds[2].orders_per_second / rounds[1].orders_per_second
        print(f"from 1 to 2: {ratio:.2f} times as many orders a second")
    return int(any(came.failures for came in rounds.values()))


def run_round(options: argparse.Namespace, processes: int, orders: Sequence[bytes]) -> Round:
    """Serve a new store, let the clients send orders for so many seconds, and return the times."""
    # Workers carry out what is queued alone: with them all orders are.
    came = Round(queued_every=1 if options.store == POSTGRESQL else QUEUED_EVERY)
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        url = stack.enter_context(new_store_url(options.store, folder))
        if options.store == POSTGRESQL:
            service = stack.enter_context(served(url, folder, jobs_at="workers"))
            for _ in range(processes):
                stack.enter_context(working(url, folder))
        else:
            service = stack.enter_context(served(url, folder, solvers=processes))
        # The first order of a process takes longer: it loads what it needs.
        for number in range(2 * QUEUED_EVERY):
            warm = Round(queued_every=came.queued_every)
            _send(service.address, number, orders[number], warm)
        started = time.monotonic()
        clients = [
            threading.Thread(
                target=_keep_sending,
                args=(service.address, orders, range(first, 10**9, options.clients), came),
                kwargs={"until": started + options.seconds},
            )
            for first in range(options.clients)
        ]
        for client in clients:
            client.start()
        for client in clients:
            client.join()
        came.seconds = time.monotonic() - started
    return came


def _keep_sending(
    address: str, orders: Sequence[bytes], numbers: range, came: Round, *, until: float
) -> None:
    with closing(_connect(address)) as client:
        for turn, number in enumerate(numbers):
            if time.monotonic() > until:
                return
            try:
                _send_by(client, turn, orders[number % len(orders)], came)
            except OSError as error:
                came.failures.append(repr(error))


def _send(address: str, turn: int, order: bytes, came: Round) -> None:
    with closing(_connect(address)) as client:
        _send_by(client, turn, order, came)


def _connect(address: str) -> HTTPConnection:
    # The plainest client there is: what it takes itself counts as the service's.
    return HTTPConnection(address.removeprefix("http://"), timeout=120)


def _send_by(client: HTTPConnection, turn: int, order: bytes, came: Round) -> None:
    """Send an order and note how long its plan took; some are queued."""
    queued = turn % came.queued_every == came.queued_every - 1
    headers = {"content-type": "application/json"}
    if queued:
        headers["prefer"] = "respond-async"
    started = time.perf_counter()
    client.request("POST", "/v1/plans", order, headers)
    answer = client.getresponse()
    body = answer.read()
    seconds = time.perf_counter() - started
    if answer.status >= 300:
        came.failures.append(f"{answer.status} {body[:200]!r}")
    elif queued:
        _follow(client, answer.headers["location"], started, came)
    else:
        came.at_once.append(seconds)
        timing = _TIMING.fullmatch(answer.headers["server-timing"])
        assert timing is not None, answer.headers["server-timing"]
        came.overheads.append(seconds - sum(map(float, timing.groups())) / 1000)


def _follow(client: HTTPConnection, job: str, started: float, came: Round) -> None:
    while True:
        client.request("GET", job)
        found: dict[str, Any] = json.loads(client.getresponse().read())
        if found["status"] == "finished":
            came.queued.append(time.perf_counter() - started)
            return
        if found["status"] not in {"queued", "running"}:
            came.failures.append(f"{job}: {found['status']}")
            return
        time.sleep(LOOKS_EVERY)
