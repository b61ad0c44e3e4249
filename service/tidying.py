"""Forgetting what has been kept long enough."""

import asyncio
from collections.abc import Callable
from datetime import datetime

import structlog

from service.store.kept_answers import forget_old
from service.store.store import Store, StoreError

EVERY_SECONDS = 600.0

log = structlog.stdlib.get_logger("service.store")


async def keep_tidy(store: Store, clock: Callable[[], datetime]) -> None:
    """Forget, again and again until cancelled, the answers that were kept for a day."""
    while True:
        try:
            forgotten = await forget_old(store, clock())
            if forgotten:
                log.info("kept answers forgotten", answers=forgotten)
        except StoreError as error:
            log.warning("kept answers not forgotten", reason=str(error))
        await asyncio.sleep(EVERY_SECONDS)
