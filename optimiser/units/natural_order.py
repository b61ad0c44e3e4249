"""The order in which people list marks: D-2 before D-10."""

import re
from functools import lru_cache

_NUMBER = re.compile(r"([0-9]+)")


@lru_cache(maxsize=1 << 17)
def natural_key(text: str) -> tuple[tuple[tuple[int, int, str], ...], str]:
    """Return a sort key that compares runs of digits as numbers, and letters without case.

    Texts that differ have keys that differ, so that a sort does not depend on the input order.
    """
    parts = tuple(
        # Compared by length first, since Python refuses to read numbers of thousands of digits.
        (0, len(part.lstrip("0")), part.lstrip("0")) if position % 2 else (1, 0, part.casefold())
        for position, part in enumerate(_NUMBER.split(text))
        if part
    )
    return parts, text
