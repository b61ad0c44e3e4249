"""How marks and counts are written: `D-1 to D-10, W-3`; `1 bar`, `1,040 nails`."""

import re
from collections.abc import Iterable, Iterator

NAMED_AT_MOST = 8
"""Marks and ranges named before the rest is only counted."""

_NUMBERED = re.compile(r"(?P<stem>.*?)(?P<number>\d+)")


def write_marks(marks: Iterable[str]) -> str:
    """Return the marks as text; three or more in a row are written as a range."""
    stretches = list(_stretches(tuple(marks)))
    named = [
        first if first == last else f"{first} to {last}"
        for first, last, _ in stretches[:NAMED_AT_MOST]
    ]
    left = sum(count for _, _, count in stretches[NAMED_AT_MOST:])
    if left:
        return f"{', '.join(named)} and {left:,} more"
    return ", ".join(named)


def _stretches(marks: tuple[str, ...]) -> Iterator[tuple[str, str, int]]:
    """Yield (first, last, count) of each run of consecutive marks; pairs are not joined."""
    start = 0
    while start < len(marks):
        end = start
        while end + 1 < len(marks) and _follows(marks[end], marks[end + 1]):
            end += 1
        if end - start >= 2:
            yield marks[start], marks[end], end - start + 1
        else:
            for mark in marks[start : end + 1]:
                yield mark, mark, 1
        start = end + 1


def _follows(mark: str, following: str) -> bool:
    before, after = _NUMBERED.fullmatch(mark), _NUMBERED.fullmatch(following)
    if before is None or after is None or before["stem"] != after["stem"]:
        return False
    next_number = str(int(before["number"]) + 1)
    return after["number"] in {next_number, next_number.zfill(len(before["number"]))}


def write_count(number: int, noun: str) -> str:
    """Return the number with its noun in the singular or plural: `1 nail`, `1,040 nails`."""
    return f"{number:,} {noun if number == 1 else plural(noun)}"


def plural(noun: str) -> str:
    """Return the noun with an s, unless it ends in one: `nails`."""
    return noun if noun.endswith("s") else f"{noun}s"


def with_article(noun: str) -> str:
    """Return the noun with its indefinite article, by its first letter: `an awning-window`."""
    return f"{'an' if noun[:1] in set('aeiou') else 'a'} {noun}"
