"""How the user wants a schedule read, where the file alone does not say."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from optimiser.schedules.fields import ScheduleField


class ScheduleFormat(StrEnum):
    """The form of the file."""

    CSV = "csv"
    XLSX = "xlsx"


class PairWidth(StrEnum):
    """What the stated width of a pair of doors is."""

    BOTH_LEAVES = "both-leaves"
    ONE_LEAF = "one-leaf"


NO_HEADER = 0
"""`header_row` of a file without one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingOptions:
    """What helps to read one schedule; everything may be left to the reader.

    `sheet` names the sheet of a workbook. `header_row` is the row of the header as the file
    counts it, `NO_HEADER` for none. `encoding` and `delimiter` are those of a CSV file.
    `decimal_comma` says whether a comma in a number is a decimal one; `None` takes it so in
    files whose delimiter is a semicolon or a tab. `words` says what the schedule's own words
    mean, by field: `{KIND: {"A": "single-door"}}`. `carry_down` names the fields of which a
    blank cell repeats the one above, as merged cells become in CSV. `rule_sets` holds the known
    ones; `None` leaves the check to the takeoff.
    """

    sheet: str | None = None
    header_row: int | None = None
    encoding: str | None = None
    delimiter: str | None = None
    decimal_comma: bool | None = None
    pair_width: PairWidth = PairWidth.BOTH_LEAVES
    words: Mapping[ScheduleField, Mapping[str, str]] = field(default_factory=dict)
    carry_down: frozenset[ScheduleField] = frozenset()
    rule_sets: frozenset[str] | None = None
