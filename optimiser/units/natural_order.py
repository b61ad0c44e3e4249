"""The order in which people list marks: D-2 before D-10."""

import re

_NUMBER = re.compile(r"([0-9]+)")


def natural_key(text: str) -> tuple[tuple[str | int, ...], str]:
    """Return a sort key that compares runs of digits as numbers, and letters without case.

    Texts that differ have keys that differ, so that a sort does not depend on the input order.
    """
    parts: list[str | int] = []
    # Splitting gives letters and digits in turn, so that like is always compared with like.
    for position, part in enumerate(_NUMBER.split(text)):
        if position % 2:
            # Compared by length first: Python refuses to read a number of thousands of digits.
            digits = part.lstrip("0")
            parts += (len(digits), digits)
        else:
            parts.append(part.casefold())
    return tuple(parts), text
