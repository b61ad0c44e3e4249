"""Admitting a request: whose it is, by the header Authorization (RFC 6750)."""

import asyncio
from collections import OrderedDict
from collections.abc import Callable
from datetime import datetime, timedelta

import structlog

from service.access.caller import LOCAL_CALLER, Caller, Scope
from service.access.keys import USE_NOTED_EVERY, any_key, digest_of, find_caller, note_use
from service.problems import Problem
from service.resource_problems import NO_KEY, SCOPE_MISSING
from service.store.store import Store, StoreError

REMEMBERED = timedelta(seconds=5)
"""A key that was found good is not looked up again for so long; a revoked one ends as late."""

MOST_REMEMBERED = 10_000

log = structlog.stdlib.get_logger("service.access")


class Admission:
    """Admits requests. Without a key it does so only while no key has been made.

    `beyond_this_machine` is whether other machines can reach the service: then a key is always
    needed.
    """

    def __init__(
        self, store: Store, clock: Callable[[], datetime], *, beyond_this_machine: bool
    ) -> None:
        self._store = store
        self._clock = clock
        self._beyond_this_machine = beyond_this_machine
        self._known: OrderedDict[str, tuple[Caller, datetime]] = OrderedDict()
        self._noted: dict[str, datetime] = {}
        self._open_until: datetime | None = None
        self._tasks: set[asyncio.Task[None]] = set()

    async def admit(self, authorization: str | None, needed: Scope) -> Caller:
        """Return who asks.

        Raises:
            Problem: no key, one that is not good, or one without the scope that is needed.
        """
        caller = await self._identify(authorization)
        if needed not in caller.scopes:
            raise Problem(
                SCOPE_MISSING,
                f"This needs a key with the scope {needed}; this one has "
                f"{', '.join(scope for scope in Scope if scope in caller.scopes)}.",
                headers={
                    "www-authenticate": f'Bearer error="insufficient_scope", scope="{needed}"'
                },
            )
        return caller

    async def close(self) -> None:
        """Wait for what is still being noted."""
        await asyncio.gather(*self._tasks, return_exceptions=True)

    async def _identify(self, authorization: str | None) -> Caller:
        now = self._clock()
        if authorization is None:
            if not await self._is_open(now):
                raise _refusal("This needs an API key: send the header Authorization: Bearer KEY.")
            return LOCAL_CALLER
        scheme, _, key = authorization.strip().partition(" ")
        if scheme.lower() != "bearer" or not key.strip():
            raise _refusal("Send the header in this form: Authorization: Bearer KEY.")
        caller = await self._look_up(key.strip(), now)
        if caller is None:
            raise _refusal(
                "The key is unknown, revoked or expired; ask whoever runs the service for one."
            )
        self._note_use(caller.who, now)
        return caller

    async def _look_up(self, key: str, now: datetime) -> Caller | None:
        digest = digest_of(key)
        remembered = self._known.get(digest)
        # A clock that was set back makes the word of the past older than it seems: look again.
        if remembered and timedelta(0) <= now - remembered[1] < REMEMBERED:
            return remembered[0]
        caller = await find_caller(self._store, key, now)
        self._known.pop(digest, None)
        if caller is not None:
            self._known[digest] = (caller, now)
            if len(self._known) > MOST_REMEMBERED:
                self._known.popitem(last=False)
        return caller

    async def _is_open(self, now: datetime) -> bool:
        if self._beyond_this_machine:
            return False
        if self._open_until and now < self._open_until <= now + REMEMBERED:
            return True
        if await any_key(self._store):
            self._open_until = None
            return False
        self._open_until = now + REMEMBERED
        return True

    def _note_use(self, key_id: str, now: datetime) -> None:
        noted = self._noted.get(key_id)
        if noted and timedelta(0) <= now - noted < USE_NOTED_EVERY:
            return
        self._noted[key_id] = now
        task = asyncio.create_task(self._write_use(key_id, now))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _write_use(self, key_id: str, now: datetime) -> None:
        try:
            await note_use(self._store, key_id, now)
        except StoreError as error:
            log.warning("use of a key not noted", reason=str(error))


def _refusal(detail: str) -> Problem:
    return Problem(NO_KEY, detail, headers={"www-authenticate": "Bearer"})
