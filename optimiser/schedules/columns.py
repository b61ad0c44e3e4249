"""The columns of a schedule as its header has them, and what each is read as."""

from dataclasses import dataclass

from optimiser.domain.opening import SizeOf
from optimiser.schedules.fields import KEPT_AS_TEXT, ScheduleField
from optimiser.schedules.headers import MAY_BE_QUANTITY, HeaderMeaning, fold_header
from optimiser.schedules.sheet import Row, name_column


@dataclass(frozen=True, slots=True, kw_only=True)
class HeaderCell:
    """The text over a column, what it means by its name, and a unit from a row of units."""

    text: str
    meaning: HeaderMeaning | None
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """The rows of the header, none where the file has none, and its cells by column."""

    rows: tuple[Row, ...]
    cells: dict[int, HeaderCell]

    @property
    def first_row(self) -> int:
        """Return the number of the header's first row, 0 where there is none."""
        return self.rows[0].number if self.rows else 0

    @property
    def last_row(self) -> int:
        """Return the number of the header's last row, 0 where there is none."""
        return self.rows[-1].number if self.rows else 0

    def is_repeated_by(self, row: Row) -> bool:
        """Return whether a row says what a row of the header says, in at least two columns."""
        if len(row.cells) < 2:
            return False
        return any(
            all(fold_header(own.text(c)) == fold_header(cell.text) for c, cell in row.cells.items())
            for own in self.rows
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnUse:
    """A column that is read: its field, and the unit and the datum that its header names."""

    letter: str
    header: str
    field: ScheduleField
    unit: str | None
    datum: SizeOf | None

    @classmethod
    def of(cls, column: int, cell: HeaderCell, field: ScheduleField) -> "ColumnUse":
        """Return the use of a column for a field; unit and datum come with the header's name."""
        meaning = cell.meaning
        return cls(
            letter=name_column(column),
            header=cell.text,
            field=field,
            unit=cell.unit or (meaning.unit if meaning else None),
            datum=meaning.datum if meaning else None,
        )

    @staticmethod
    def may_repeat(field: ScheduleField) -> bool:
        """Return whether several columns may state a field: those kept as text are joined."""
        return field in KEPT_AS_TEXT

    @staticmethod
    def may_be_quantity(header: str) -> bool:
        """Return whether a weak header, such as `No.`, may stand over quantities."""
        return fold_header(header) in MAY_BE_QUANTITY
