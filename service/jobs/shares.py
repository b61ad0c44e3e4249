"""What of the solvers one tenant may take at once, so that no other waits behind all its orders."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from dataclasses import dataclass

from service.problems import Problem
from service.resource_problems import TOO_MANY_REQUESTS

RETRY_AFTER_SECONDS = 5


@dataclass(slots=True)
class _Share:
    free: asyncio.Semaphore
    waiting: int = 0
    users: int = 0


class TenantShares:
    """Lets a tenant have up to `limit` orders with the solvers; as many as `queue` more wait.

    Each waits up to `seconds`. A limit of 0 is none. The count is of this process.
    """

    def __init__(self, *, limit: int, queue: int, seconds: float) -> None:
        self._limit = limit
        self._queue = queue
        self._seconds = seconds
        self._shares: dict[str, _Share] = {}

    @asynccontextmanager
    async def hold(self, tenant: str) -> AsyncIterator[None]:
        """Hold a place of the tenant's while the block runs.

        Raises:
            Problem: too many requests; no place came free in time, or too many wait for one.
        """
        if not self._limit:
            yield
            return
        share = self._shares.setdefault(tenant, _Share(asyncio.Semaphore(self._limit)))
        share.users += 1
        try:
            await self._take(share)
            try:
                yield
            finally:
                share.free.release()
        finally:
            share.users -= 1
            if not share.users:
                del self._shares[tenant]

    async def _take(self, share: _Share) -> None:
        if share.free.locked() and share.waiting >= self._queue:
            raise self._refusal(f"{share.waiting:,} more wait already")
        share.waiting += 1
        try:
            async with asyncio.timeout(self._seconds):
                await share.free.acquire()
        except TimeoutError:
            raise self._refusal(f"none of them ended within {self._seconds:g} s") from None
        finally:
            share.waiting -= 1

    def _refusal(self, why: str) -> Problem:
        return Problem(
            TOO_MANY_REQUESTS,
            f"Orders of yours that are being solved: {self._limit:,}, which is the limit, and "
            f"{why}.",
            headers={"retry-after": str(RETRY_AFTER_SECONDS)},
        )
