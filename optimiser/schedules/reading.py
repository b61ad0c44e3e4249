"""What came of reading a schedule."""

from dataclasses import dataclass

from optimiser.domain.opening import Opening
from optimiser.schedules.faults import ScheduleFault, ScheduleNote
from optimiser.schedules.fields import ScheduleField


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnRead:
    """A column of the file and what was read from it; `field` is `None` where nothing was.

    `unit` is the unit that the header names for bare numbers.
    """

    letter: str
    header: str
    field: ScheduleField | None
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleRow:
    """A row that states openings: its number, their marks, and the texts as they were read.

    Texts are those of the file, after merged cells, ditto marks and defaults were filled in.
    """

    row: int
    marks: tuple[str, ...]
    values: tuple[tuple[ScheduleField, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SkippedRows:
    """Rows from `first` to `last` that state no opening, with the reason.

    `code` is one of blank, above-header, header, units, repeated-header, heading, text, totals.
    """

    first: int
    last: int
    code: str
    reason: str

    @property
    def message(self) -> str:
        """Return what was skipped as one sentence."""
        if self.first == self.last:
            return f"Row {self.first} was skipped: {self.reason}."
        return f"Rows {self.first} to {self.last} were skipped: {self.reason}."


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleReading:
    """Either the openings of a schedule, or every fault: with a fault there are no openings.

    `described` says how the file was read. `rows` has the rows from which the openings come;
    `skipped` all others, so that every row of the file is accounted for.
    """

    described: str
    columns: tuple[ColumnRead, ...]
    openings: tuple[Opening, ...]
    rows: tuple[ScheduleRow, ...]
    faults: tuple[ScheduleFault, ...]
    notes: tuple[ScheduleNote, ...]
    skipped: tuple[SkippedRows, ...]

    @property
    def quantity(self) -> int:
        """Return the number of openings altogether."""
        return sum(opening.quantity for opening in self.openings)
