"""The same request a thousand times at once, under one key: it is done once, and answered alike.

Every answer is the one that was kept, or says that the request is still at work (409 with
Retry-After); such a one is sent again until it gets the kept answer. On PostgreSQL the requests go
to two processes of the API in turn.
"""

import argparse
import asyncio
import json
import ssl
import tempfile
import time
from collections import Counter
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx

from tests.benchmark.served import ROOT, served
from tests.stores import BACKENDS, POSTGRESQL, SQLITE, new_store_url

HELP = "send one request many times at once under one key; it may be done only once"
EXAMPLES = ROOT / "openapi" / "examples"
_NOT_NEEDED = ssl.create_default_context()
"""For connections without TLS; made once, since it takes longer than a request."""
AT_AN_END = {"finished", "failed", "cancelled"}


def add_options(parser: argparse.ArgumentParser) -> None:
    """Add the options of the campaign."""
    parser.add_argument("--requests", type=int, default=1_000, help="how often each is sent")
    parser.add_argument("--store", choices=BACKENDS, default=SQLITE)


@dataclass
class Round:
    """What came of one request that was sent many times."""

    what: str
    status: int
    kept: httpx.Response | None = None
    sent: int = 0
    still_at_work: int = 0
    seconds: float = 0.0
    faults: Counter[str] = field(default_factory=Counter)

    def note(self, answer: httpx.Response) -> bool:
        """Note an answer; return whether it was a last one."""
        self.sent += 1
        if answer.status_code == 409 and answer.json()["code"] == "still-at-work":
            self.still_at_work += 1
            if "retry-after" not in answer.headers:
                self.faults["still-at-work without Retry-After"] += 1
            return False
        if answer.status_code != self.status:
            code = answer.json().get("code")
            self.faults[f"{answer.status_code} {code}"] += 1
        elif self.kept is None:
            self.kept = answer
        elif _told_by(answer) != _told_by(self.kept):
            self.faults["another answer than the kept one"] += 1
        return True

    def write(self) -> str:
        """Return a line of the report."""
        return (
            f"{self.what}: {self.sent:,} sent in {self.seconds:.1f} s, "
            f"{self.still_at_work:,} told to come again, {self.faults.total():,} faults"
        )


def _told_by(answer: httpx.Response) -> tuple[object, ...]:
    told = ("content-type", "etag", "location", "retry-after")
    return (answer.status_code, answer.content, *(answer.headers.get(name) for name in told))


async def send_at_once(
    servers: Sequence[str],
    requests: int,
    path: str,
    body: Any,
    *,
    status: int,
    headers: dict[str, str] | None = None,
) -> Round:
    """Send one request so often at once, to the servers in turn, each until its last answer."""
    came = Round(what=f"POST {path}", status=status)
    stated = {"idempotency-key": f"once-{path}", **(headers or {})}
    started = time.monotonic()

    async def send(number: int) -> None:
        url = servers[number % len(servers)] + path
        # Each has a connection of its own, and none waits for one of the others'.
        async with httpx.AsyncClient(timeout=300, verify=_NOT_NEEDED) as client:
            while not came.note(await client.post(url, json=body, headers=stated)):
                await asyncio.sleep(1)

    ended = await asyncio.gather(*map(send, range(requests)), return_exceptions=True)
    came.seconds = time.monotonic() - started
    came.faults.update(repr(error) for error in ended if error is not None)
    return came


def run(options: argparse.Namespace) -> int:
    """Run the campaign; return 1 where a request was done twice, or answered otherwise."""
    with ExitStack() as stack:
        folder = Path(stack.enter_context(tempfile.TemporaryDirectory()))
        url = stack.enter_context(new_store_url(options.store, folder))
        count = 2 if options.store == POSTGRESQL else 1
        servers = [stack.enter_context(served(url, folder)).address for _ in range(count)]
        client = stack.enter_context(httpx.Client(base_url=servers[0], timeout=60))
        rounds = asyncio.run(_send_all(client, servers, options.requests))
        faults = [f"{r.what}: {n:,} times {what}" for r in rounds for what, n in r.faults.items()]
        faults += count_what_is_kept(client)
    print(f"{options.requests:,} duplicates at once, {options.store}, {count} of the API")
    print(*(came.write() for came in rounds), sep="\n")
    print(*faults or ["one job, order, planning and acceptance; every answer alike"], sep="\n")
    return 1 if faults else 0


async def _send_all(client: httpx.Client, servers: Sequence[str], requests: int) -> list[Round]:
    ten_doors = json.loads((EXAMPLES / "ten-doors.json").read_text(encoding="utf-8"))
    content = json.loads((EXAMPLES / "harbour-row-order.json").read_text(encoding="utf-8"))

    async def send(path: str, body: Any, status: int, **headers: str) -> Round:
        return await send_at_once(
            servers,
            requests,
            path,
            body,
            status=status,
            headers={name.replace("_", "-"): value for name, value in headers.items()},
        )

    rounds = [await send("/v1/plans", ten_doors, 202, prefer="respond-async")]
    rounds.append(await send("/v1/orders", content, 201))
    if (order := rounds[-1].kept) is None:
        return rounds
    place = order.headers["location"]
    tag = client.get(place).headers["etag"]
    rounds.append(await send(f"{place}/planning", None, 202, if_match=tag))
    if (job := rounds[-1].kept) is None or not _wait(client, job.headers["location"]):
        return rounds
    read = client.get(place)
    acceptance = {"plan_id": read.json()["plan_id"]}
    tag = read.headers["etag"]
    rounds.append(await send(f"{place}/acceptance", acceptance, 200, if_match=tag))
    return rounds


def _wait(client: httpx.Client, job: str) -> bool:
    deadline = time.monotonic() + 120
    while client.get(job).json()["status"] not in AT_AN_END and time.monotonic() < deadline:
        time.sleep(0.2)
    return bool(client.get(job).json()["status"] == "finished")


def count_what_is_kept(client: httpx.Client) -> list[str]:
    """Return what was kept or done more or less often than once."""
    jobs = _entries(client, "/v1/jobs")
    while any(job["status"] not in AT_AN_END for job in jobs):
        time.sleep(0.2)
        jobs = _entries(client, "/v1/jobs")
    done = Counter(entry["action"] for entry in _entries(client, "/v1/audit-entries"))
    found = {
        "jobs": (len(jobs), 2),
        "jobs that finished": (sum(job["status"] == "finished" for job in jobs), 2),
        "plans": (len(_entries(client, "/v1/plans")), 2),
        "orders": (len(_entries(client, "/v1/orders")), 1),
        **{
            f"audit entries of {action}": (done[action], 1)
            for action in ("order-added", "planning-asked", "planned", "accepted")
        },
    }
    return [
        f"{what}: {is_} where {due} are due" for what, (is_, due) in found.items() if is_ != due
    ]


def _entries(client: httpx.Client, address: str) -> list[dict[str, Any]]:
    entries: list[dict[str, Any]] = []
    address += "?limit=200"
    while address:
        answer = client.get(address)
        entries += answer.json()["entries"]
        address = answer.links.get("next", {}).get("url", "")
    return entries
