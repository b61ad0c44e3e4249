"""The command that runs a worker: it takes jobs from a store in PostgreSQL."""

import argparse
import asyncio
import os
from typing import Any

from service.app import open_store
from service.clock import utc_now
from service.garbage import spare_what_stays
from service.jobs.pool import SolverPool
from service.log import set_up_logging
from service.orders.planning import attach_plan
from service.queue.runner import JobRunner, name_process
from service.settings import PREFIX, Settings, SettingsError, read_settings
from service.telemetry.traces import start_traces


def add_work_command(commands: Any) -> None:
    """Add `work` to a parser's commands."""
    work = commands.add_parser(
        "work",
        help="carry out jobs of a store in PostgreSQL",
        description=f"Carry out jobs until told to stop. Settings are those of `serve`; "
        f"{PREFIX}STORE is an address of PostgreSQL, and {PREFIX}SOLVERS jobs are done at once.",
    )
    work.set_defaults(command=_work)


def _work(_: argparse.Namespace) -> int:
    settings = read_settings(os.environ)
    if not settings.store.startswith("postgres"):
        raise SettingsError((f"{PREFIX}STORE is a file; workers need a store in PostgreSQL",))
    set_up_logging(settings.log_format)
    asyncio.run(_run(settings))
    return 0


async def _run(settings: Settings) -> None:
    # Only this way of working needs the package.
    from service.queue.workers import WorkerQueue  # noqa: PLC0415

    async with open_store(settings, utc_now) as store:
        traces = start_traces(os.environ)
        pool = SolverPool(settings, traces=traces)
        queue = WorkerQueue(store)
        await queue.set_up()
        runner = JobRunner(
            store=store,
            pool=pool,
            settings=settings,
            clock=utc_now,
            worker=name_process(),
            attach=attach_plan,
            traces=traces,
        )
        pool.start()
        spare_what_stays()
        try:
            await queue.work(
                runner, at_once=settings.solvers, shutdown_seconds=settings.shutdown_seconds
            )
        finally:
            await pool.close()
            await asyncio.to_thread(traces.close)
