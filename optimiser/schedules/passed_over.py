"""Rows that state no opening: blank ones, headings, repeated headers, free text, totals."""

import re
from collections.abc import Iterable
from typing import Final

from optimiser.schedules.columns import ColumnUse, Header
from optimiser.schedules.fields import ScheduleField
from optimiser.schedules.reading import SkippedRows
from optimiser.schedules.sheet import Row

TOTALS: Final = frozenset(
    {"total", "totals", "grand total", "subtotal", "sub total", "sum", "total openings",
     "total doors", "total windows", "total qty", "total quantity", "total number"}
)  # fmt: skip

HEADING_WORDS: Final = frozenset(
    {"floor", "level", "storey", "story", "basement", "attic", "building", "block", "wing",
     "house", "hotel", "terrace", "phase", "section", "doors", "windows", "exterior", "interior",
     "external", "internal", "ground", "elevation", "schedule", "continued", "area", "zone"}
)  # fmt: skip
"""Words of a heading that stands between the rows. Common practice, no source."""

_FREE_TEXT_WORDS: Final = 4
"""A single cell with this many words is free text: no mark has so many."""

_STATES_OPENING: Final = frozenset(
    {ScheduleField.SIZE, ScheduleField.WIDTH, ScheduleField.HEIGHT, ScheduleField.KIND}
)


def why_passed_over(row: Row, header: Header, uses: dict[int, ColumnUse]) -> tuple[str, str] | None:
    """Return the code and the reason for passing over a row, `None` where it states openings."""
    own = {column: cell for column, cell in row.cells.items() if cell.carried_from is None}
    if not own:
        return "blank", "it holds nothing but merged cells that begin above"
    if header.is_repeated_by(row):
        return "repeated-header", "it repeats the header"
    fields = {uses[column].field for column in own if column in uses}
    if any(is_total(cell.text) for cell in own.values()) and not fields & _STATES_OPENING:
        return "totals", "it states a total"
    if len(own) == 1:
        (cell,) = own.values()
        words = re.findall(r"[^\W\d_]+", cell.text.casefold())
        if row.widest_merge > 1 or cell.text.endswith(":") or HEADING_WORDS & set(words):
            return "heading", "it holds a heading alone"
        if len(cell.text.split()) >= _FREE_TEXT_WORDS:
            return "text", "it holds a single text and no opening"
    return None


def is_total(text: str) -> bool:
    """Return whether a text announces a total."""
    return " ".join(re.sub(r"[^\w]+", " ", text.casefold()).split()) in TOTALS


def gather_skipped(skipped: Iterable[SkippedRows]) -> tuple[SkippedRows, ...]:
    """Return skipped rows in order, those that follow each other for the same reason as one."""
    gathered: list[SkippedRows] = []
    for rows in sorted(skipped, key=lambda rows: rows.first):
        last = gathered[-1] if gathered else None
        if last and (last.last + 1, last.code, last.reason) == (rows.first, rows.code, rows.reason):
            gathered[-1] = SkippedRows(
                first=last.first, last=rows.last, code=rows.code, reason=rows.reason
            )
        else:
            gathered.append(rows)
    return tuple(gathered)
