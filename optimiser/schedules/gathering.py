"""Reading the cells of a row one after the other; what is wrong is kept, and reading goes on."""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeVar

from optimiser.schedules import limits
from optimiser.schedules.cells import CellReader, Stated
from optimiser.schedules.faults import Place, ScheduleFault, ScheduleNote
from optimiser.schedules.fields import LENGTHS, ScheduleField
from optimiser.schedules.marks import MarkError
from optimiser.schedules.sheet import Row
from optimiser.schedules.values import ValueFault, settle_commas
from optimiser.units.numerals import LONGEST_TEXT

T = TypeVar("T")


def _check_length(text: str, field: ScheduleField) -> None:
    """Refuse long texts before any pattern looks at them: patterns may take the square of it."""
    is_quantity = field in LENGTHS or field is ScheduleField.QUANTITY
    most = LONGEST_TEXT if is_quantity else limits.CELL_CHARACTERS
    if len(text) > most:
        raise ValueFault(
            "text-too-long", f"has {len(text):,} characters, more than {most:,}", "write it shorter"
        )


class Gatherer:
    """Keeps faults and notes over all rows, and of the row at hand the texts that were read."""

    def __init__(self, cells: CellReader, *, decimal_comma: bool, sure_of_comma: bool) -> None:
        self.cells = cells
        self.texts: dict[ScheduleField, str] = {}
        self.notes: list[ScheduleNote] = []
        self.row_is_faulty = False
        self._decimal_comma = decimal_comma
        self._sure_of_comma = sure_of_comma
        # A dictionary keeps the order and holds the fault of a default once, not once a row.
        self._faults: dict[ScheduleFault, None] = {}

    @property
    def faults(self) -> list[ScheduleFault]:
        """Return every fault so far."""
        return list(self._faults)

    def begin_row(self) -> None:
        """Forget the texts of the row before."""
        self.texts = {}
        self.row_is_faulty = False

    def note(self, code: str, place: Place, remark: str) -> None:
        """Keep a note."""
        self.notes.append(ScheduleNote(code=code, place=place, remark=remark))

    def add_fault(
        self, code: str, place: Place, read: str | None, problem: str, remedy: str
    ) -> None:
        """Keep a fault of the row that is being read."""
        self.row_is_faulty = True
        fault = ScheduleFault(code=code, place=place, read=read, problem=problem, remedy=remedy)
        self._faults[fault] = None

    def take(
        self,
        row: Row,
        field: ScheduleField,
        parse: Callable[[Stated], T],
        *,
        required: str = "",
        default: bool = True,
    ) -> T | None:
        """Return what `parse` makes of a cell; `None` where it is blank or has a fault.

        `required` says what to write where the cell is blank and may not be.
        """
        stated = self.cells.read(row, field, default=default)
        if stated is None:
            if required:
                self.miss(row, field, required)
            return None
        if stated.trouble:
            code, problem, remedy = stated.trouble
            self.add_fault(code, stated.place, stated.text, problem, remedy)
            return None
        self.texts[field] = stated.text
        try:
            _check_length(stated.meant, field)
            if field in LENGTHS:
                settled = settle_commas(
                    stated.meant, decimal_comma=self._decimal_comma, sure=self._sure_of_comma
                )
                stated = replace(stated, meant=settled)
            return parse(stated)
        except (ValueFault, MarkError) as error:
            self.add_fault(error.code, stated.place, stated.text, error.problem, error.remedy)
        return None

    def miss(self, row: Row, field: ScheduleField, what: str) -> None:
        """Keep the fault of a cell that is blank and may not be."""
        if self.cells.has_column(field):
            self.add_fault(
                f"{field.replace('_', '-')}-missing",
                self.cells.place(row, field),
                None,
                "the cell is blank",
                f"write {what}",
            )
        else:
            # The faults of the header say already that no column states it.
            self.row_is_faulty = True
