"""Marks of a row: one, a list (`W1, W3`), a range (`D-01 - D-06`, `101-106`), or several of them.

How ranges are written is common practice, no source.
"""

import re
from dataclasses import dataclass
from typing import Final

from optimiser.schedules import limits

MOST_IN_RANGE: Final = 1_000

_LONGEST_DOUBTFUL_RANGE: Final = 20
"""`8-12` may be a range; `1-101` is rather room 101 of floor 1. A choice, no source."""

_LONGEST_ENTRY: Final = 3 * limits.MARK_CHARACTERS
"""Two marks and what stands between them; anything longer is no range."""

_LIST = re.compile(r"\s*[,;&+\n]\s*|\s+and\s+", re.IGNORECASE)
_WIDE_RANGE = re.compile(
    r"(?P<first>.+?)(?:\s+(?:-|–|—|−)\s+|\s*(?:–|—|\.\.\.?|…)\s*|\s+(?:to|thru|through|till)\s+)"
    r"(?P<last>.+)",
    re.IGNORECASE,
)
_PARTS = re.compile(r"(?P<lead>.*?)(?P<number>[0-9]+)(?P<letter>[A-Za-z]?)")


class MarkError(ValueError):
    """Marks that cannot be read. `problem` and `remedy` complete a sentence."""

    def __init__(self, code: str, problem: str, remedy: str) -> None:
        self.code = code
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}; {remedy}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Marks:
    """The marks of a row; `remark` says how a range was taken where it may be taken otherwise."""

    marks: tuple[str, ...]
    remark: str | None = None


def read_marks(text: str, quantity: int | None) -> Marks:
    """Return the marks that a cell states; `quantity` is that of the row, `None` where blank.

    A hyphen without blanks stands in many marks: it is taken for a range where the ends say so
    (`D01-D06`), where both have two digits or more (`101-106`), or where the quantity agrees.

    Raises:
        MarkError: a range that runs backwards, is too long, or may be a mark.
    """
    # Runs of blanks first: patterns take the square of their length.
    lines = "\n".join(" ".join(line.split()) for line in text.splitlines())
    entries = [entry.strip() for entry in _LIST.split(lines)]
    entries = [entry for entry in entries if entry]
    if not entries:
        raise MarkError("mark-missing", "names no mark", "write a mark")
    marks: list[str] = []
    remarks: list[str] = []
    for entry in entries:
        taken, remark = _read_entry(entry, quantity if len(entries) == 1 else None, len(entries))
        marks += taken
        if remark:
            remarks.append(remark)
        if len(marks) > MOST_IN_RANGE:
            raise _too_long()
    twice = sorted({mark for mark in marks if marks.count(mark) > 1})
    if twice:
        raise MarkError("mark-twice", f"names {', '.join(twice)} twice", "name each mark once")
    return Marks(marks=tuple(marks), remark="; ".join(remarks) or None)


def _read_entry(entry: str, quantity: int | None, entries: int) -> tuple[list[str], str | None]:
    if len(entry) > _LONGEST_ENTRY:
        return [entry], None
    if match := _WIDE_RANGE.fullmatch(entry):
        expanded = _expand(match["first"].strip(), match["last"].strip())
        if expanded is None:
            raise MarkError(
                "range-unreadable",
                "is not a range: its ends differ in more than their last number or letter, or "
                "run backwards",
                "write both ends alike, such as D-01 - D-06, or each mark in a row of its own",
            )
        return expanded, None
    for first, last in _hyphen_splits(entry):
        expanded = _expand(first, last)
        if expanded is None:
            continue
        remark = f"was read as the range from {expanded[0]} to {expanded[-1]}"
        if quantity == len(expanded):
            return expanded, remark
        if last.isdigit() and not first.isdigit():
            # D-01-06 is as often one mark; only the quantity tells.
            continue
        if not first.isdigit() or len(first) == len(last) >= 2:
            return expanded, remark
        if quantity is None and len(expanded) <= _LONGEST_DOUBTFUL_RANGE:
            raise MarkError(
                "range-ambiguous",
                f"may be one mark or the range from {first} to {last}",
                f"write {first} to {last} for a range, or state the quantity",
            )
    return [entry], None


def _hyphen_splits(entry: str) -> list[tuple[str, str]]:
    """Return each way to part a text without blanks at a hyphen into two numbered ends."""
    splits = [(entry[:at], entry[at + 1 :]) for at, sign in enumerate(entry) if sign == "-"]
    if " " in entry:
        return []
    return [ends for ends in splits if all(_PARTS.fullmatch(end) for end in ends)]


def _expand(first: str, last: str) -> list[str] | None:
    """Return the marks from first to last, `None` where they make no range."""
    start, end = _PARTS.fullmatch(first), _PARTS.fullmatch(last)
    if not start or not end or end["lead"] not in ("", start["lead"]):
        return None
    lead, number, letter = start["lead"], start["number"], start["letter"]
    if letter and end["letter"]:
        if number != end["number"] or letter.isupper() != end["letter"].isupper():
            return None
        codes = range(ord(letter), ord(end["letter"]) + 1)
        return [f"{lead}{number}{chr(code)}" for code in codes] if len(codes) > 1 else None
    if letter or end["letter"] or max(len(number), len(end["number"])) > 9:
        return None
    low, high = int(number), int(end["number"])
    if high <= low:
        return None
    if high - low >= MOST_IN_RANGE:
        raise _too_long()
    # Leading zeros keep their width: D-01 to D-06.
    width = len(number) if number.startswith("0") or len(number) == len(end["number"]) else 0
    return [f"{lead}{value:0{width}d}" for value in range(low, high + 1)]


def _too_long() -> MarkError:
    return MarkError(
        "range-too-long",
        f"names more than {MOST_IN_RANGE:,} marks",
        "split the row, or check the ends of the range",
    )
