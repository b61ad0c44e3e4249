"""Jobs while processes are killed: every one is finished once, with the plan it would have had.

`workers`: an API and three workers over PostgreSQL; one is killed (SIGKILL) at random every few
seconds, and the server restarts twice where a command for it is given. `embedded`: one server over
SQLite that is killed and started again.
"""

import argparse
import json
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import httpx

from service.json_text import write_json
from tests.serving import wait_until_ready
from tests.stores import SQLITE, VARIABLE, new_store_url

ROOT = Path(__file__).parents[2]
TEN_DOORS = json.loads((ROOT / "openapi/examples/ten-doors.json").read_text(encoding="utf-8"))


HELP = "kill processes at random while jobs are done"


def add_options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("mode", choices=("workers", "embedded"))
    parser.add_argument("--jobs", type=int, default=200)
    parser.add_argument("--kills", type=int, default=30)
    parser.add_argument("--pause", type=float, default=4.0, help="seconds between two kills")
    parser.add_argument("--port", type=int, default=8765)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--restart", help=f"the command that restarts the server that {VARIABLE} names"
    )


@dataclass
class Processes:
    """The processes of one campaign; each is started again when it is found dead."""

    environment: dict[str, str]
    port: int
    workers: int
    running: dict[str, subprocess.Popen[bytes]] = field(default_factory=dict)

    def start_missing(self) -> None:
        for name in ("api", *(f"worker-{n}" for n in range(self.workers))):
            process = self.running.get(name)
            if process is None or process.poll() is not None:
                what = ["serve", "--port", str(self.port)] if name == "api" else ["work"]
                self.running[name] = subprocess.Popen(
                    [sys.executable, "-m", "service", *what],
                    cwd=ROOT,
                    env=self.environment,
                    stdout=subprocess.DEVNULL,
                    stderr=subprocess.DEVNULL,
                )

    def kill_one(self, chance: random.Random) -> str:
        name = chance.choice(sorted(self.running))
        self.running[name].send_signal(signal.SIGKILL)
        self.running[name].wait()
        return name

    def stop(self) -> None:
        for process in self.running.values():
            process.terminate()
        for process in self.running.values():
            try:
                process.wait(60)
            except subprocess.TimeoutExpired:
                process.kill()


def draw_orders(count: int, chance: random.Random) -> list[dict[str, Any]]:
    """Return small orders, each with a reference of its own."""
    orders = []
    for number in range(count):
        order = json.loads(json.dumps(TEN_DOORS))
        order["reference"] = f"Harbour Row, job {number:03}"
        order["openings"][0]["quantity"] = chance.randint(1, 40)
        order["openings"][0]["size"] = f"{chance.randint(28, 40)} in x {chance.randint(76, 84)} in"
        orders.append(order)
    return orders


def send(client: Callable[[], httpx.Client], order: dict[str, Any], key: str) -> str | None:
    """Queue an order; return its job, or nothing where it has to be sent again."""
    headers = {
        "content-type": "application/json",
        "prefer": "respond-async",
        "idempotency-key": key,
    }
    try:
        with client() as connection:
            answer = connection.post("/v1/plans", content=write_json(order), headers=headers)
    except httpx.TransportError:
        return None
    if answer.status_code == 202:
        return str(answer.json()["id"])
    if answer.status_code not in {409, 429, 500, 503}:
        raise SystemExit(f"{key}: {answer.status_code} {answer.text[:300]}")
    return None


def count_settled(client: Callable[[], httpx.Client]) -> dict[str, int] | None:
    """Return how many jobs have each status; nothing while the API is away."""
    counts: dict[str, int] = {}
    address = "/v1/jobs?limit=200"
    try:
        with client() as connection:
            while address:
                answer = connection.get(address)
                if answer.status_code != 200:
                    return None
                for job in answer.json()["entries"]:
                    counts[job["status"]] = counts.get(job["status"], 0) + 1
                address = answer.links.get("next", {}).get("url", "")
    except httpx.TransportError:
        return None
    return counts


def run(options: argparse.Namespace) -> int:
    """Run the campaign; it ends with a message where an order was lost, or planned twice."""
    chance = random.Random(options.seed)
    backend = SQLITE if options.mode == "embedded" else "postgresql"
    with tempfile.TemporaryDirectory() as folder, new_store_url(backend, Path(folder)) as url:
        processes = Processes(
            environment={
                **os.environ,
                "WEATHERSTRIP_STORE": url,
                "WEATHERSTRIP_SOLVERS": "1",
                "WEATHERSTRIP_REQUESTS_PER_MINUTE": "0",
                "WEATHERSTRIP_JOBS_AT": "here" if options.mode == "embedded" else "workers",
            },
            port=options.port,
            workers=0 if options.mode == "embedded" else 3,
        )
        try:
            _run(options, processes, chance)
        finally:
            processes.stop()
    return 0


def _run(options: argparse.Namespace, processes: Processes, chance: random.Random) -> None:
    def client() -> httpx.Client:
        return httpx.Client(base_url=f"http://127.0.0.1:{options.port}", timeout=20)

    started = time.monotonic()
    orders = draw_orders(options.jobs, chance)
    processes.start_missing()
    restarts_at = {options.kills // 3, 2 * options.kills // 3} if options.restart else set()
    sent: dict[str, str] = {}
    kills = 0
    next_kill = time.monotonic() + options.pause
    while True:
        counts = None
        if len(sent) < len(orders):
            # Sent again after a failure under the same key, an order makes one job.
            key = f"order-{len(sent)}"
            if job_id := send(client, orders[len(sent)], key):
                sent[key] = job_id
        else:
            counts = count_settled(client)
        if kills < options.kills and time.monotonic() > next_kill:
            print(f"{time.monotonic() - started:6.1f} s: killed {processes.kill_one(chance)}")
            kills += 1
            if kills in restarts_at:
                subprocess.run(options.restart, shell=True, check=True)
                print("restarted the server of the store")
            next_kill = time.monotonic() + options.pause
        processes.start_missing()
        if (
            counts
            and kills >= options.kills
            and sum(counts.get(status, 0) for status in ("finished", "failed", "cancelled"))
            >= len(orders)
        ):
            break
        time.sleep(0.05 if len(sent) < len(orders) else 0.5)
    seconds = time.monotonic() - started
    with client() as connection:
        # The last one that was killed may have been the API.
        wait_until_ready(connection)
        _judge(connection, orders, sent, counts, kills, seconds)


def _judge(
    client: httpx.Client,
    orders: list[dict[str, Any]],
    sent: dict[str, str],
    counts: dict[str, int],
    kills: int,
    seconds: float,
) -> None:
    plans: list[dict[str, Any]] = []
    address = "/v1/plans?limit=200"
    while address:
        answer = client.get(address)
        plans += answer.json()["entries"]
        address = answer.links.get("next", {}).get("url", "")
    same = 0
    for number, order in enumerate(orders):
        job = client.get(f"/v1/jobs/{sent[f'order-{number}']}").json()
        if job["plan"] is None:
            print(
                f"{order['reference']}: {job['status']} at attempt {job['attempt']}, "
                f"{(job['failure'] or {}).get('detail')}"
            )
            continue
        kept = client.get(job["plan"]).json()
        undisturbed = client.post(
            "/v1/plans",
            content=write_json(order),
            headers={"content-type": "application/json", "prefer": "wait=60"},
        ).json()
        for plan in (kept, undisturbed):
            plan["certificate"].pop("seconds", None)
        same += kept == undisturbed
    print(
        f"{len(orders)} orders, {len(set(sent.values()))} jobs, {kills} kills, "
        f"{seconds:.0f} s: {counts}; {len(plans)} plans kept; {same} as undisturbed"
    )
    if counts != {"finished": len(orders)} or len(plans) != len(orders) or same != len(orders):
        raise SystemExit("not every order was planned once, as undisturbed")
