"""Solver processes: killed, respawned, cancelled, outlasted, and never heard on standard output."""

import asyncio
import errno
import json
import logging
import os
import signal
import socket
import time
from collections.abc import Awaitable, Callable
from dataclasses import replace
from decimal import Decimal

import httpx
import pytest

from optimiser.domain.order import Order
from optimiser.domain.progress import Phase, Progress
from service.jobs.outcomes import Broken, OutOfTime, PlanJob, Planned
from service.jobs.pool import SolverPool
from service.jobs.solver_process import SolverProcess
from service.mapping.reading import read_order
from service.problems import BUSY, NOT_READY, Problem
from service.settings import Settings
from service.wire.order import Order as WireOrder
from tests.harbour_row import Wire, mixed_order, ten_doors
from tests.serving import running_service

SETTINGS = Settings(solvers=1, queue=1, queue_seconds=60, shutdown_seconds=1)


def read(order: Wire) -> Order:
    return read_order(json.dumps(order).encode(), WireOrder)


def long_order() -> Wire:
    """Return an order that keeps a solver at work for some seconds."""
    order = mixed_order(3_000, seed=5)
    order["policy"]["time_limit_seconds"] = 120
    return order


QUICK = PlanJob(order=read(ten_doors()), as_text=False)
LONG = PlanJob(order=read(long_order()), as_text=False)


def with_pool(settings: Settings, scenario: Callable[[SolverPool], Awaitable[None]]) -> None:
    async def run() -> None:
        pool = SolverPool(settings)
        pool.start()
        try:
            await scenario(pool)
        finally:
            await pool.close()

    asyncio.run(run())


async def until(condition: Callable[[], bool], seconds: float = 60) -> None:
    async with asyncio.timeout(seconds):
        while not condition():
            await asyncio.sleep(0.01)


def only_pid(pool: SolverPool) -> int:
    (process,) = pool._all
    assert process.pid is not None
    return process.pid


def test_a_process_carries_out_one_job_after_the_other() -> None:
    async def scenario(pool: SolverPool) -> None:
        first = await pool.run(QUICK)
        pid = only_pid(pool)
        second = await pool.run(QUICK)
        assert isinstance(first.outcome, Planned)
        assert isinstance(second.outcome, Planned)
        assert first.outcome.document == second.outcome.document
        assert json.loads(first.outcome.document)["total"] == "459.70"
        assert only_pid(pool) == pid

    with_pool(SETTINGS, scenario)


def test_a_process_that_is_killed_in_a_job_is_replaced() -> None:
    async def scenario(pool: SolverPool) -> None:
        job = asyncio.create_task(pool.run(LONG))
        await until(lambda: pool.at_work == 1)
        killed = only_pid(pool)
        os.kill(killed, signal.SIGKILL)
        done = await job
        assert isinstance(done.outcome, Broken)
        after = await pool.run(QUICK)
        assert isinstance(after.outcome, Planned)
        assert only_pid(pool) != killed

    with_pool(SETTINGS, scenario)


def test_a_process_that_dies_while_idle_costs_no_job() -> None:
    async def scenario(pool: SolverPool) -> None:
        await pool.run(QUICK)
        killed = only_pid(pool)
        os.kill(killed, signal.SIGKILL)
        await until(lambda: pool.solvers == 0)
        after = await pool.run(QUICK)
        assert isinstance(after.outcome, Planned)

    with_pool(SETTINGS, scenario)


def test_a_cancelled_job_frees_its_solver_at_once() -> None:
    async def scenario(pool: SolverPool) -> None:
        job = asyncio.create_task(pool.run(LONG))
        await until(lambda: pool.at_work == 1)
        job.cancel()
        with pytest.raises(asyncio.CancelledError):
            await job
        assert pool.at_work == 0
        after = await pool.run(QUICK)
        assert isinstance(after.outcome, Planned)

    with_pool(SETTINGS, scenario)


def test_a_job_that_outlasts_its_deadline_is_stopped() -> None:
    impatient = Settings(solvers=1, grace_seconds=0, shutdown_seconds=1)
    hurried = PlanJob(order=read(ten_doors(time_limit_seconds=0.1)), as_text=False)

    async def scenario(pool: SolverPool) -> None:
        await until(lambda: not pool._idle.empty())
        stopped = only_pid(pool)
        # A process that is stopped never answers, as one whose solver hangs.
        os.kill(stopped, signal.SIGSTOP)
        done = await pool.run(hurried)
        assert isinstance(done.outcome, OutOfTime)
        assert "was stopped" in done.outcome.message
        await until(lambda: not pool._idle.empty())
        assert only_pid(pool) != stopped

    with_pool(impatient, scenario)


def test_a_solver_that_cannot_be_started_is_tried_again(monkeypatch: pytest.MonkeyPatch) -> None:
    tries: list[int] = []

    def start() -> SolverProcess:
        tries.append(1)
        if len(tries) < 3:
            raise OSError(errno.EAGAIN, "Resource temporarily unavailable")
        return SolverProcess()

    monkeypatch.setattr("service.jobs.pool.SolverProcess", start)

    async def scenario(pool: SolverPool) -> None:
        after = await pool.run(QUICK)
        assert isinstance(after.outcome, Planned)
        assert len(tries) == 3

    with_pool(SETTINGS, scenario)


def test_a_full_queue_refuses_and_a_waiting_job_is_served() -> None:
    async def scenario(pool: SolverPool) -> None:
        at_work = asyncio.create_task(pool.run(LONG))
        await until(lambda: pool.at_work == 1)
        waiting = asyncio.create_task(pool.run(QUICK))
        await until(lambda: pool.waiting == 1)
        with pytest.raises(Problem) as refused:
            await pool.run(QUICK)
        assert refused.value.kind is BUSY
        assert refused.value.headers == {"retry-after": "5"}
        at_work.cancel()
        served = await waiting
        assert isinstance(served.outcome, Planned)
        assert served.waited_seconds > 0

    with_pool(SETTINGS, scenario)


def test_a_job_that_waits_too_long_is_refused() -> None:
    async def scenario(pool: SolverPool) -> None:
        at_work = asyncio.create_task(pool.run(LONG))
        await until(lambda: pool.at_work == 1)
        with pytest.raises(Problem) as refused:
            await pool.run(QUICK)
        assert refused.value.kind is BUSY
        assert "within 0.1 s" in refused.value.detail
        at_work.cancel()

    # The first job finds its solver only after the start, so the short wait is set afterwards.
    async def patient_start(pool: SolverPool) -> None:
        await until(lambda: pool.solvers == 1)
        await pool.run(QUICK)
        pool._settings = Settings(solvers=1, queue=1, queue_seconds=0.1, shutdown_seconds=1)
        await scenario(pool)

    with_pool(SETTINGS, patient_start)


def test_a_closed_pool_leaves_no_process_behind() -> None:
    pids: list[int] = []

    async def scenario(pool: SolverPool) -> None:
        await pool.run(QUICK)
        pids.append(only_pid(pool))

    with_pool(SETTINGS, scenario)
    with pytest.raises(ProcessLookupError):
        os.kill(pids[0], 0)


def test_a_closing_pool_refuses_jobs() -> None:
    async def run() -> None:
        pool = SolverPool(SETTINGS)
        pool.start()
        await pool.close()
        with pytest.raises(Problem) as refused:
            await pool.run(QUICK)
        assert refused.value.kind is NOT_READY

    asyncio.run(run())


def test_readiness_follows_the_solvers() -> None:
    async def scenario(pool: SolverPool) -> None:
        assert not await pool.ready()
        await pool.run(QUICK)
        assert await pool.ready()
        os.kill(only_pid(pool), signal.SIGSTOP)
        # The stopped process is found out after two seconds, and replaced.
        assert not await pool.ready()
        await pool.run(QUICK)
        assert await pool.ready()

    with_pool(SETTINGS, scenario)


def test_a_watched_job_tells_how_far_it_is() -> None:
    async def scenario(pool: SolverPool) -> None:
        told: list[Progress] = []
        done = await pool.run(replace(QUICK, watched=True), told.append)
        assert isinstance(done.outcome, Planned)
        assert [progress.phase for progress in told] == [
            phase for phase in Phase if phase is not Phase.STUDYING
        ]
        assert told[-1].best_cost == told[-1].lower_bound == Decimal("459.70")
        untold: list[Progress] = []
        await pool.run(QUICK, untold.append)
        assert untold == []

    with_pool(SETTINGS, scenario)


def test_a_client_that_goes_away_stops_its_solve(caplog: pytest.LogCaptureFixture) -> None:
    body = json.dumps(long_order()).encode()
    with caplog.at_level(logging.INFO), running_service(SETTINGS) as service:
        url = httpx.URL(service.address)
        with socket.create_connection((url.host, url.port or 80)) as leaving:
            leaving.sendall(
                b"POST /v1/plans HTTP/1.1\r\nHost: test\r\nContent-Type: application/json\r\n"
                b"Prefer: wait=120\r\n" + f"Content-Length: {len(body)}\r\n\r\n".encode() + body
            )
            _wait_for(lambda: service.client.get("/health/ready").json()["at_work"] == 1)
        _wait_for(lambda: "job cancelled" in [getattr(r, "reason", "") for r in caplog.records])
        answer = service.client.post("/v1/plans", json=ten_doors())
        assert answer.status_code == 200


def test_logs_hold_the_request_identifier_and_no_body(caplog: pytest.LogCaptureFixture) -> None:
    with caplog.at_level(logging.INFO), running_service(SETTINGS) as service:
        service.client.post("/v1/plans", json=ten_doors(), headers={"x-request-id": "call-7"})
    lines = [record for record in caplog.records if getattr(record, "request_id", "") == "call-7"]
    assert {record.message for record in lines} == {"order planned", "request"}
    shown = " ".join(str(vars(record)) for record in caplog.records)
    assert "Harbour Row" not in shown
    assert "Larkmoor" not in shown


def _wait_for(condition: Callable[[], bool], seconds: float = 60) -> None:
    deadline = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < deadline
        time.sleep(0.02)
