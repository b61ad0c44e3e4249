"""What a running job has told of itself, as it is kept in its row."""

import asyncio

from optimiser.domain.progress import Phase, Progress
from service.mapping.jobs import write_progress

PAUSE_SECONDS = 1.0
"""The least time between two words: a short job is not written about at each phase."""


class News:
    """Hears how far a job is; whoever waits is woken by a new phase."""

    def __init__(self, currency: str) -> None:
        self._currency = currency
        self._latest: Progress | None = None
        self._phase: Phase | None = None
        self._new_phase = asyncio.Event()

    def hear(self, progress: Progress) -> None:
        """Keep the latest word."""
        self._latest = progress
        if progress.phase is not self._phase:
            self._phase = progress.phase
            self._new_phase.set()

    async def of_a_phase(self) -> None:
        """Wait for a phase that was not waited for yet, and for some time in any case."""
        await asyncio.sleep(PAUSE_SECONDS)
        await self._new_phase.wait()
        self._new_phase.clear()

    @property
    def written(self) -> str | None:
        """Return the latest word as JSON; `None` before there is one."""
        if self._latest is None:
            return None
        return write_progress(self._latest, self._currency).model_dump_json()
