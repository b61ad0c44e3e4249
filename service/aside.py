"""Reading in a thread, so that others are answered meanwhile."""

import asyncio
from collections.abc import Callable
from typing import TypeVar

T = TypeVar("T")

READ_AT_ONCE_BYTES = 32_768
"""An order of so many bytes is read within 2 ms."""


async def read_aside(body: bytes, read: Callable[[], T]) -> T:
    """Return what is read of a body; a long one is read in a thread, so that others are answered.

    A short one takes less than the way to a thread and back costs.

    Raises:
        Whatever `read` does.
    """
    if len(body) <= READ_AT_ONCE_BYTES:
        return read()
    return await asyncio.to_thread(read)
