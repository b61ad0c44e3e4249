"""The pool of solver processes: orders wait in line, processes that fail are replaced."""

import asyncio
import time
from dataclasses import dataclass, replace

import structlog

from optimiser.domain.progress import Observer, Progress
from service.jobs.measuring import measure_outcome
from service.jobs.outcomes import Broken, Outcome, OutOfTime, SolverJob
from service.jobs.solver_process import SolverGone, SolverProcess
from service.problems import BUSY, NOT_READY, Problem
from service.settings import Settings
from service.telemetry.measures import Measures
from service.telemetry.traces import Traces

HAIL_SECONDS = 2.0
"""How long an idle solver may take to answer a hail before it is replaced."""

SECONDS_PER_LINE = 0.002
"""What a line of the schedule may take beyond the time limit, which is for the solver alone:
taking off, checking and writing 10,000 lines took 8 to 12 s on a busy two-core machine."""

RETRY_AFTER_SECONDS = 5
FIRST_PAUSE_SECONDS = 0.1
LONGEST_PAUSE_SECONDS = 5.0
"""The pauses before a solver that does not start is started again: doubled up to the longest."""

log = structlog.stdlib.get_logger("service.jobs")


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """The outcome of a job and the seconds that it waited for a solver."""

    outcome: Outcome
    waited_seconds: float


class SolverPool:
    """Owns its processes: whoever cancels a job, or outlasts its deadline, kills the process."""

    def __init__(
        self,
        settings: Settings,
        measures: Measures | None = None,
        traces: Traces | None = None,
    ) -> None:
        self._settings = settings
        self._measures = measures or Measures()
        self._traces = traces or Traces()
        self._idle: asyncio.Queue[SolverProcess] = asyncio.Queue()
        self._all: set[SolverProcess] = set()
        self._starting: set[asyncio.Task[None]] = set()
        self._jobs = 0
        self._at_work = 0
        self._closing = False

    @property
    def at_work(self) -> int:
        """Return the number of orders that are being solved."""
        return self._at_work

    @property
    def waiting(self) -> int:
        """Return the number of orders that wait for a solver."""
        return self._jobs - self._at_work

    @property
    def solvers(self) -> int:
        """Return the number of processes that are up."""
        return sum(process.alive for process in self._all)

    def start(self) -> None:
        """Begin to start the processes; does not wait for them."""
        for _ in range(self._settings.solvers):
            self._start_one()

    async def close(self) -> None:
        """Refuse new jobs, wait for running ones as long as the settings allow, end all."""
        self._closing = True
        deadline = time.monotonic() + self._settings.shutdown_seconds
        while self._jobs and time.monotonic() < deadline:
            await asyncio.sleep(0.05)
        await asyncio.gather(*(self._end(process) for process in tuple(self._all)))
        # A process that was being made just now ends itself on seeing that the pool closes.
        await asyncio.gather(*self._starting)

    async def run(self, job: SolverJob, observer: Observer | None = None) -> Done:
        """Return what comes of a job; when cancelled, the job's process is killed.

        `observer` is told how far a watched job is.

        Raises:
            Problem: busy, where the queue is full or the wait was too long; not ready, where
                the pool is closing.
        """
        if self._closing:
            raise Problem(NOT_READY, "The service is stopping.")
        if self._jobs >= self._settings.solvers + self._settings.queue:
            raise self._busy(f"{self.waiting:,} orders wait already")
        self._jobs += 1
        started = time.perf_counter()
        try:
            process = await self._take()
            taken = time.perf_counter()
            self._measures.order_waited(taken - started)
            self._at_work += 1
            try:
                outcome = await self._solve_traced(process, job, observer)
            finally:
                self._at_work -= 1
            measure_outcome(self._measures, outcome, time.perf_counter() - taken)
            return Done(outcome=outcome, waited_seconds=taken - started)
        finally:
            self._jobs -= 1

    async def ready(self) -> bool:
        """Return whether a solver answers; one that is at work has answered before."""
        if self._closing:
            return False
        if self._idle.empty():
            return self._at_work > 0
        process = self._idle.get_nowait()
        if process.alive and await process.answers(HAIL_SECONDS):
            self._idle.put_nowait(process)
            return True
        await self._replace(process, "did not answer")
        return False

    async def _take(self) -> SolverProcess:
        try:
            async with asyncio.timeout(self._settings.queue_seconds):
                while True:
                    process = await self._idle.get()
                    if process.alive:
                        return process
                    await self._replace(process, "ended while idle")
        except TimeoutError:
            waited = f"{self._settings.queue_seconds:g} s"
            raise self._busy(f"no solver came free within {waited}") from None

    async def _solve_traced(
        self, process: SolverProcess, job: SolverJob, observer: Observer | None
    ) -> Outcome:
        """Return what comes of a job; the phases of it are spans of the trace."""
        with self._traces.part("solve") as span:

            def hear(progress: Progress) -> None:
                span.enter(progress.phase)
                if observer is not None:
                    observer(progress)

            if self._traces.on:
                job = replace(job, watched=True)
                span.note(openings=job.lines)
            outcome = await self._solve(process, job, hear)
            span.note(outcome=type(outcome).__name__.lower())
            return outcome

    async def _solve(
        self, process: SolverProcess, job: SolverJob, observer: Observer | None
    ) -> Outcome:
        limit = job.limit_seconds
        grace = self._settings.grace_seconds + SECONDS_PER_LINE * job.lines
        try:
            async with asyncio.timeout(limit + grace):
                outcome = await process.exchange(job, observer)
        except TimeoutError:
            await self._replace(process, "outlasted its deadline")
            return OutOfTime(
                message=f"The solver did not end by itself {grace:g} s after the time limit of "
                f"{limit:g} s and was stopped; split the order."
            )
        except SolverGone:
            await self._replace(process, "ended in the middle of a job")
            return Broken(trace="the solver process ended in the middle of the job")
        except BaseException:
            # Cancelled: nobody waits for the answer any more.
            await asyncio.shield(self._replace(process, "job cancelled"))
            raise
        self._idle.put_nowait(process)
        assert isinstance(outcome, Outcome)
        return outcome

    def _busy(self, why: str) -> Problem:
        return Problem(
            BUSY,
            f"All {self._settings.solvers} solvers are at work, and {why}.",
            headers={"retry-after": str(RETRY_AFTER_SECONDS)},
        )

    async def _replace(self, process: SolverProcess, reason: str) -> None:
        log.warning("solver replaced", reason=reason, pid=process.pid)
        self._measures.solver_replaced(reason)
        if not self._closing:
            self._start_one()
        await self._end(process)

    async def _end(self, process: SolverProcess) -> None:
        self._all.discard(process)
        await asyncio.to_thread(process.kill)

    def _start_one(self) -> None:
        task = asyncio.create_task(self._bring_up())
        self._starting.add(task)
        task.add_done_callback(self._starting.discard)

    async def _bring_up(self) -> None:
        pause = FIRST_PAUSE_SECONDS
        while not self._closing:
            try:
                process = await asyncio.to_thread(SolverProcess)
            except OSError:
                # No memory, no descriptors, no working directory: it may pass.
                log.exception("solver could not be started")
                await asyncio.sleep(pause)
                pause = min(2 * pause, LONGEST_PAUSE_SECONDS)
                continue
            if self._closing:
                await asyncio.to_thread(process.kill)
                return
            pid = process.pid
            self._all.add(process)
            try:
                await process.hello()
            except SolverGone:
                if process in self._all:
                    log.error("solver did not start", pid=pid)
                    await self._end(process)
                await asyncio.sleep(0 if self._closing else pause)
                pause = min(2 * pause, LONGEST_PAUSE_SECONDS)
                continue
            log.info("solver started", pid=pid)
            self._idle.put_nowait(process)
            return
