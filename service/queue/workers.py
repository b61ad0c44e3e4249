"""Workers on any number of machines, by Procrastinate on PostgreSQL.

A job is deferred in the transaction that writes its row, so that there are both or neither. The
row stays the truth: a task of Procrastinate only says that there may be something to do, and one
too many does no harm. Whatever a worker that was killed leaves behind is found by its lease.
"""

import asyncio
from typing import Any

import structlog
from procrastinate import App, PsycopgConnector
from procrastinate.exceptions import AlreadyEnqueued
from procrastinate.schema import SchemaManager
from sqlalchemy import text

from service.queue.dispatcher import RESCUES_EVERY
from service.queue.runner import JobRunner
from service.store.jobs import first_overdue, next_queued, priority_of
from service.store.store import Store, StoreError, Transaction

TASK = "plan"
SWEPT_AT_ONCE = 200

log = structlog.stdlib.get_logger("service.jobs")


class WorkerQueue:
    """Hands jobs to workers; in a worker, takes them."""

    def __init__(self, store: Store) -> None:
        conninfo = store.url.set(drivername="postgresql").render_as_string(hide_password=False)
        self._store = store
        self._app = App(connector=PsycopgConnector(conninfo=conninfo))

    async def set_up(self) -> None:
        """Add the tables of Procrastinate to a store that has none."""
        async with self._store.writing() as transaction:
            await transaction.execute(text("SELECT pg_advisory_xact_lock(5703418663)"))
            found = await transaction.execute(text("SELECT to_regclass('procrastinate_jobs')"))
            if found.scalar_one() is None:
                connection = await _driver_connection(transaction)
                await connection.execute(SchemaManager.get_schema())

    async def defer(self, transaction: Transaction, job_id: str, openings: int) -> None:
        """Tell the workers of a job, in the transaction that writes its row."""
        deferrer = self._app.configure_task(
            TASK,
            queueing_lock=job_id,
            # Procrastinate takes the highest first.
            priority=-priority_of(openings),
            connection=await _driver_connection(transaction),
        )
        await deferrer.defer_async(job_id=job_id)

    async def work(self, runner: JobRunner, *, at_once: int, shutdown_seconds: float) -> None:
        """Carry out jobs until the process is told to stop; then finish, or hand back."""

        async def plan(job_id: str) -> None:
            # What has waited long is done first, by whoever comes by.
            overdue = await first_overdue(
                self._store, runner.clock(), of_a_tenant=runner.of_a_tenant
            )
            if overdue is not None and overdue != job_id:
                await runner.run(overdue)
            await runner.run(job_id)
            if runner.of_a_tenant:
                # One that was not taken for its tenant's sake may be taken now.
                await self._tell_next(runner, at_once)

        self._app.task(name=TASK)(plan)
        async with self._app.open_async():
            sweeping = asyncio.create_task(self._sweep(runner))
            try:
                await self._app.run_worker_async(
                    name=runner.worker,
                    concurrency=at_once,
                    shutdown_graceful_timeout=shutdown_seconds,
                    delete_jobs="always",
                    fetch_job_polling_interval=1.0,
                )
            finally:
                sweeping.cancel()
                await asyncio.gather(sweeping, return_exceptions=True)

    async def _sweep(self, runner: JobRunner) -> None:
        """Rescue jobs of workers that are gone, and tell of every job that waits, again."""
        while True:
            try:
                await runner.rescue()
                await self._tell_next(runner, SWEPT_AT_ONCE)
            except StoreError as error:
                log.error("queue not swept: the store failed", reason=str(error))
            except Exception:
                log.exception("sweep failed; it goes on")
            await asyncio.sleep(RESCUES_EVERY)

    async def _tell_next(self, runner: JobRunner, limit: int) -> None:
        waiting = await next_queued(
            self._store, limit, runner.clock(), of_a_tenant=runner.of_a_tenant
        )
        for job_id in waiting:
            await self._tell_again(job_id)

    async def _tell_again(self, job_id: str) -> None:
        try:
            await self._app.configure_task(TASK, queueing_lock=job_id).defer_async(job_id=job_id)
        except AlreadyEnqueued:
            return
        log.warning("job told of again", job_id=job_id)


async def _driver_connection(transaction: Transaction) -> Any:
    return (await transaction.get_raw_connection()).driver_connection
