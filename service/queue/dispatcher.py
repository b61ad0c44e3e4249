"""The embedded dispatcher: takes jobs from the store as solvers come free, in one process.

Several processes with a dispatcher over one store take care not to do a job twice: a job is
claimed by comparing and setting its row.
"""

import asyncio
from functools import partial

import structlog

from service.queue.runner import JobRunner
from service.store.jobs import LEASE, next_queued
from service.store.store import StoreError

LOOKS_EVERY = 1.0
"""Seconds between two looks at the queue, where nothing calls for one sooner."""

RESCUES_EVERY = LEASE.total_seconds() / 3

log = structlog.stdlib.get_logger("service.jobs")


class Dispatcher:
    """Owns the tasks that carry out jobs, at most `at_once` of them."""

    def __init__(self, runner: JobRunner, *, at_once: int) -> None:
        self._runner = runner
        self._at_once = at_once
        self._called = asyncio.Event()
        self._at_work: dict[str, asyncio.Task[bool]] = {}
        self._looking: asyncio.Task[None] | None = None
        self._last_rescue = float("-inf")

    def start(self) -> None:
        """Begin to look at the queue."""
        self._looking = asyncio.create_task(self._look())

    def call(self) -> None:
        """Say that something new is in the queue."""
        self._called.set()

    async def close(self, seconds: float) -> None:
        """Take no more jobs; wait so long for those at work, then hand them back."""
        if self._looking is not None:
            self._looking.cancel()
            await asyncio.gather(self._looking, return_exceptions=True)
        if self._at_work:
            await asyncio.wait(self._at_work.values(), timeout=seconds)
        for task in self._at_work.values():
            task.cancel()
        await asyncio.gather(*self._at_work.values(), return_exceptions=True)

    async def _look(self) -> None:
        while True:
            try:
                await self._rescue()
                await self._take()
            except StoreError as error:
                log.error("queue not read: the store failed", reason=str(error))
            except Exception:
                log.exception("dispatcher failed; it goes on")
            self._called.clear()
            try:
                async with asyncio.timeout(LOOKS_EVERY):
                    await self._called.wait()
            except TimeoutError:
                continue

    async def _rescue(self) -> None:
        now = asyncio.get_running_loop().time()
        if now - self._last_rescue >= RESCUES_EVERY:
            self._last_rescue = now
            await self._runner.rescue()

    async def _take(self) -> None:
        free = self._at_once - len(self._at_work)
        if free <= 0:
            return
        waiting = await next_queued(
            self._runner.store,
            free + len(self._at_work),
            self._runner.clock(),
            of_a_tenant=self._runner.of_a_tenant,
        )
        for job_id in waiting:
            if job_id in self._at_work or len(self._at_work) >= self._at_once:
                continue
            task = asyncio.create_task(self._runner.run(job_id))
            self._at_work[job_id] = task
            task.add_done_callback(partial(self._free, job_id))

    def _free(self, job_id: str, task: asyncio.Task[bool]) -> None:
        self._at_work.pop(job_id, None)
        if not task.cancelled() and (error := task.exception()) is not None:
            log.error("job left to its lease", job_id=job_id, exc_info=error)
        self.call()
