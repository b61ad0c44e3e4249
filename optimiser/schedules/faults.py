"""What is wrong with a schedule, by row and column, and what was noticed on the way."""

from dataclasses import dataclass

from optimiser.schedules.fields import ScheduleField
from optimiser.units.faults import quote


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where something stands: the row as the file counts it, the column's letter and header.

    Everything is `None` for the schedule as a whole. `default` names the field where the value
    is not in the file but a default that was handed in.
    """

    row: int | None = None
    column: str | None = None
    header: str | None = None
    default: ScheduleField | None = None

    def __str__(self) -> str:
        if self.default is not None:
            return f"The default for {self.default}"
        column = "" if self.column is None else f"column {self.column}"
        if column and self.header:
            column += f" ({shorten(self.header)})"
        if self.row is None:
            return column[:1].upper() + column[1:] or "The schedule"
        return f"Row {self.row}" + (f", {column}" if column else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleFault:
    """One thing that is wrong with a schedule.

    `code` is stable. `read` is what stands in the cell, `None` where nothing was read; `problem`
    goes on from it, and `remedy` says what would mend it.
    """

    code: str
    place: Place
    problem: str
    remedy: str
    read: str | None = None

    @property
    def message(self) -> str:
        """Return the fault as one sentence."""
        shown = "" if self.read is None else f"{quote(self.read)} "
        return f"{self.place}: {shown}{self.problem}; {self.remedy}."


@dataclass(frozen=True, slots=True, kw_only=True)
class ScheduleNote:
    """Something that was read as it stands and should be looked at again; not a fault."""

    code: str
    place: Place
    remark: str

    @property
    def message(self) -> str:
        """Return the note as one sentence."""
        return f"{self.place}: {self.remark}"


class ScheduleUnreadable(Exception):
    """The file as a whole cannot be read; carries the faults.

    Whoever calls a reader of files catches it: it never reaches a user.
    """

    def __init__(self, *faults: ScheduleFault) -> None:
        self.faults = faults
        super().__init__("; ".join(fault.message for fault in faults))


def refuse(code: str, problem: str, remedy: str) -> ScheduleUnreadable:
    """Return the refusal of a whole file for one reason."""
    return ScheduleUnreadable(
        ScheduleFault(code=code, place=Place(), problem=problem, remedy=remedy)
    )


def shorten(text: str) -> str:
    """Return a header or a name as a sentence may hold it: on one line, printable, not long."""
    line = " ".join(text.split())
    return quote(line if len(line) <= 40 else f"{line[:39]}…")[1:-1]
