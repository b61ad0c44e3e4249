"""What whoever watches over the service asks: whether it takes orders, and how things stand."""

import asyncio
import time
from collections.abc import Awaitable, Callable
from functools import cache

import structlog

from optimiser.domain.faults import Fault
from service.jobs.pool import SolverPool
from service.problems import NOT_READY, Problem, count_faults
from service.store.counts import count_jobs
from service.store.jobs import JobStatus
from service.store.migrate import known_revisions, newest_revision, read_revision
from service.store.store import Store, StoreError
from service.telemetry.measures import Moment

STORE_SECONDS = 3.0
"""How long the store may take to answer before it counts as away."""

COUNTED_EVERY_SECONDS = 5.0
"""Jobs are counted in the store this often at most, however often metrics are read."""

log = structlog.stdlib.get_logger("service.watching")


async def require_readiness(store: Store, pool: SolverPool) -> None:
    """Return if the store answers, its tables are those of this version, and a solver answers.

    Raises:
        Problem: not ready; each part that fails is named, with what is wrong.
    """
    of_store, solver_answers = await asyncio.gather(_find_store_fault(store), pool.ready())
    faults = [of_store] if of_store else []
    if not solver_answers:
        faults.append(
            Fault(
                ("solver",),
                "no-solver",
                "No solver process answers: the service is starting, stopping, or replacing them.",
            )
        )
    if faults:
        raise Problem(
            NOT_READY, count_faults(tuple(faults)), faults=faults, headers={"retry-after": "1"}
        )


async def _find_store_fault(store: Store) -> Fault | None:
    try:
        async with asyncio.timeout(STORE_SECONDS):
            revision = await read_revision(store)
    except TimeoutError:
        return Fault(
            ("store",),
            "store-away",
            f"The store has not answered within {STORE_SECONDS:g} s: see that it runs and can be "
            "reached.",
        )
    except StoreError as error:
        # The reason names the store's place, which is nobody's business who has no key.
        log.warning("store not ready", reason=str(error))
        return Fault(
            ("store",),
            "store-away",
            "The store cannot be reached or read; the log of the service says why.",
        )
    # A newer version may have brought it further already, while this one still runs.
    if revision in _revisions_before_newest():
        stated = f"at revision {revision}" if revision else "without tables"
        return Fault(
            ("migrations",),
            "migrations-missing",
            f"The store is {stated}, this version of the service works with "
            f"{newest_revision()}: run python -m service store migrate.",
        )
    return None


@cache
def _revisions_before_newest() -> frozenset[str]:
    return frozenset({"", *known_revisions()}) - {newest_revision()}


class Standing:
    """How things stand, for metrics. Jobs are counted now and then; the rest is of the moment."""

    def __init__(
        self,
        pool: SolverPool,
        count: Callable[[], Awaitable[dict[str, int]]],
        clock: Callable[[], float] = time.monotonic,
    ) -> None:
        self._pool = pool
        self._count = count
        self._clock = clock
        self._counting = asyncio.Lock()
        self._counted: dict[str, int] = {}
        self._counted_at: float | None = None

    async def tell(self) -> Moment:
        """Return how things stand; without jobs where the store cannot be read."""
        return Moment(
            solvers=self._pool.solvers,
            at_work=self._pool.at_work,
            waiting=self._pool.waiting,
            jobs=await self._jobs(),
        )

    async def _jobs(self) -> dict[str, int]:
        async with self._counting:
            now = self._clock()
            if self._counted_at is None or now - self._counted_at >= COUNTED_EVERY_SECONDS:
                self._counted_at = now
                self._counted = await self._count_anew()
            return self._counted

    async def _count_anew(self) -> dict[str, int]:
        try:
            async with asyncio.timeout(STORE_SECONDS):
                return {**dict.fromkeys(map(str, JobStatus), 0), **await self._count()}
        except (StoreError, TimeoutError) as error:
            log.warning("jobs not counted", reason=str(error) or "the store did not answer")
            return {}


def standing_of(pool: SolverPool, store: Store) -> Standing:
    """Return the standing of a pool and a store."""
    return Standing(pool, lambda: count_jobs(store))
