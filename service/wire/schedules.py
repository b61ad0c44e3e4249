"""A schedule in, as a file with options, and what was read from it."""

from typing import Annotated

from pydantic import Field, Strict

from optimiser.domain.opening import (
    MeetingStiles,
    OpeningKind,
    SashCords,
    SideStrips,
    SizeOf,
    Threshold,
)
from optimiser.schedules import PairWidth, ScheduleField
from optimiser.units.lengths import LengthUnit
from service.wire import limits
from service.wire.base import WireModel
from service.wire.rule_set_document import Identifier
from service.wire.shown import Count

Text = Annotated[str, Field(max_length=2_000)]
Named = Annotated[ScheduleField, Strict(False)]


class ScheduleOptions(WireModel):
    """How a schedule is to be read, where the file alone does not say. All may be left out."""

    unit: Annotated[LengthUnit, Strict(False)] = LengthUnit.INCH
    """The unit of bare numbers, unless the header of their column names one."""
    mapping: Annotated[
        dict[Named, Text | None], Field(examples=[{"mark": "Opening no.", "width": "D"}])
    ] = Field(default_factory=dict)
    """The column of a field, by its header or its letter; null for no column. Others are found
    by the usual names."""
    defaults: Annotated[
        dict[Named, Text], Field(examples=[{"finish": "zinc", "kind": "single-door"}])
    ] = Field(default_factory=dict)
    """Texts, as a cell would hold them, for fields without a column and for blank cells."""
    words: Annotated[
        dict[Named, dict[Text, Text]], Field(examples=[{"kind": {"A": "single-door"}}])
    ] = Field(default_factory=dict)
    """What the schedule's own words mean, by field."""
    carry_down: list[Named] = Field(default_factory=list)
    """Fields of which a blank cell repeats the one above, as merged cells become in CSV."""
    pair_width: Annotated[PairWidth, Strict(False)] = PairWidth.BOTH_LEAVES
    """What the stated width of a pair is."""
    rule_sets: Annotated[
        list[Identifier], Field(max_length=limits.RULE_SETS, examples=[["harbour-row-strip"]])
    ] = Field(default_factory=list)
    """Rule sets of your own that the schedule may name; the order brings them by value."""
    sheet: Text | None = None
    """The sheet of a workbook. Null takes the only one with a header."""
    header_row: Annotated[int, Field(ge=0, le=1_048_576)] | None = None
    """The row of the header as the file counts it, 0 for none. Null finds it."""
    encoding: Text | None = None
    """The encoding of a CSV file. Null recognises it."""
    delimiter: Text | None = None
    """The delimiter of a CSV file. Null finds it."""
    decimal_comma: bool | None = None
    """Whether a comma in a number is a decimal one. Null takes it so in files with semicolons or
    tabs."""


class ScheduledSize(WireModel):
    """A size, as an order takes it: two lengths with their unit."""

    width: str
    height: str


class ScheduledOpening(WireModel):
    """An opening of the schedule, as an order takes it."""

    mark: str
    kind: OpeningKind
    size: ScheduledSize
    size_of: SizeOf
    lower_height: str | None
    inactive_leaf_width: str | None
    quantity: Count
    rule_set: str
    also: list[str]
    finish: str
    fastener_spacing: str | None
    meeting_stiles: MeetingStiles
    threshold: Threshold
    sash_cords: SashCords
    side_strips: SideStrips
    remarks: str


class ScheduleColumn(WireModel):
    """A column of the file and what was read from it."""

    letter: str
    header: str
    field: ScheduleField | None
    """Null where the column was not read."""
    unit: str | None
    """The unit that the header names for bare numbers."""


class ScheduleNote(WireModel):
    """Something that was read as it stands and should be looked at again."""

    code: str
    """Stable: for programs."""
    row: Count | None
    column: str | None
    message: str


class SkippedRows(WireModel):
    """Rows that state no opening."""

    first: Count
    last: Count
    code: str
    """One of blank, above-header, header, repeated-header, heading, text, totals."""
    message: str


class RowRead(WireModel):
    """A row that states openings: its number as the file counts it, and their marks."""

    row: Count
    marks: list[str]


class Schedule(WireModel):
    """What was read from a schedule. Every row of the file is in `rows` or in `skipped`."""

    described: str
    """How the file was read: encoding and delimiter, or the sheet."""
    unit: LengthUnit
    openings: list[ScheduledOpening]
    """The openings, ready for `openings` of an order."""
    columns: list[ScheduleColumn]
    rows: list[RowRead]
    notes: list[ScheduleNote]
    skipped: list[SkippedRows]
