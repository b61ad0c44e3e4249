"""A schedule as rows of cells, whatever file it came in."""

from dataclasses import dataclass, field

from optimiser.schedules.faults import ScheduleNote


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What stands in a cell, as text without blanks at its ends; never empty.

    `trouble` is the code, the problem and the remedy of a cell whose text is not what was meant:
    a date that the spreadsheet made of a size, an error value. `carried_from` is the row in which
    the value of a merged cell stands.
    """

    text: str
    trouble: tuple[str, str, str] | None = None
    carried_from: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """The filled cells of a row, by column counted from 0; `number` as the file counts it.

    `widest_merge` is the number of columns over which the widest merged cell of the row goes.
    """

    number: int
    cells: dict[int, Cell]
    widest_merge: int = 1
    hidden: bool = False

    def text(self, column: int) -> str:
        """Return the text of a cell, empty where it is blank."""
        cell = self.cells.get(column)
        return cell.text if cell else ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The rows that hold anything, in order, and how the file was read.

    `described` says it in words: encoding and delimiter, or the sheet's name. `last_row` is the
    last row that holds anything. `decimal_comma` says whether numbers may hold one.
    """

    rows: tuple[Row, ...]
    last_row: int
    described: str
    name: str = ""
    decimal_comma: bool = False
    notes: tuple[ScheduleNote, ...] = field(default=())


def name_column(column: int) -> str:
    """Return the letters of a column counted from 0, as spreadsheets have them: A, Z, AA."""
    letters = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def read_column_name(letters: str) -> int | None:
    """Return the column, counted from 0, that up to three letters name."""
    if not (1 <= len(letters) <= 3 and letters.isascii() and letters.isalpha()):
        return None
    column = 0
    for letter in letters.upper():
        column = column * 26 + ord(letter) - ord("A") + 1
    return column - 1
