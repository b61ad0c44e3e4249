"""One solver process as its owner sees it: a pipe, and a thread that waits at its end."""

import asyncio
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from multiprocessing import get_context

from optimiser.domain.progress import Observer, Progress
from service.jobs.child import serve_jobs
from service.jobs.outcomes import Hail

_JOIN_SECONDS = 5.0


class SolverGone(Exception):
    """The process ended, or was killed, before it answered."""


class SolverProcess:
    """A process that carries out one job at a time and can be killed at any moment.

    It is started afresh, not forked: it shares no thread, lock or descriptor with its owner,
    and no other solver process holds its end of the pipe.
    """

    def __init__(self) -> None:
        context = get_context("spawn")
        self._pipe, theirs = context.Pipe()
        self._process = context.Process(
            target=serve_jobs, args=(theirs,), name="weatherstrip-solver", daemon=True
        )
        self._process.start()
        # Without this end open here, the end of the process is the end of the pipe.
        theirs.close()
        self._waiter = ThreadPoolExecutor(max_workers=1, thread_name_prefix="solver")

    @property
    def pid(self) -> int | None:
        """Return the process identifier."""
        return self._process.pid

    @property
    def alive(self) -> bool:
        """Return whether the process runs."""
        return self._process.is_alive()

    async def hello(self) -> None:
        """Wait for the word that the process is ready to work.

        Raises:
            SolverGone: the process ended before.
        """
        await self._in_thread(self._receive)

    async def exchange(self, request: object, observer: Observer | None = None) -> object:
        """Send a request and return the answer to it; the observer is told what comes before.

        Raises:
            SolverGone: the process ended before it answered.
        """
        answer = await self._in_thread(lambda: self._send_and_receive(request))
        while isinstance(answer, Progress):
            if observer is not None:
                observer(answer)
            answer = await self._in_thread(self._receive)
        return answer

    async def answers(self, seconds: float) -> bool:
        """Return whether the idle process answers a hail within so many seconds."""
        try:
            async with asyncio.timeout(seconds):
                return isinstance(await self.exchange(Hail()), Hail)
        except (SolverGone, TimeoutError):
            return False

    def kill(self) -> None:
        """End the process at once, whatever it does; waits for nothing but its end."""
        self._process.kill()
        self._process.join(_JOIN_SECONDS)
        self._waiter.shutdown(wait=True)
        self._pipe.close()
        self._process.close()

    async def _in_thread(self, function: Callable[[], object]) -> object:
        return await asyncio.get_running_loop().run_in_executor(self._waiter, function)

    def _send_and_receive(self, request: object) -> object:
        try:
            self._pipe.send(request)
        except OSError as error:
            raise SolverGone from error
        return self._receive()

    def _receive(self) -> object:
        try:
            return self._pipe.recv()
        except (EOFError, OSError) as error:
            raise SolverGone from error
