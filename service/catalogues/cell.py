"""A cell of a catalogue's table, and the table as a file holds it: the same for XLSX and CSV."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from io import BytesIO
from pathlib import PurePath
from typing import Final
from zipfile import BadZipFile, ZipFile

from optimiser.schedules.sheet import name_column

LONGEST_TEXT: Final = 2_000
"""Characters of a cell that is read; every text and every number of the wire is shorter."""


LIST_OF_PARTS: Final = "[Content_Types].xml"
"""The part that every workbook has (ECMA-376, part 2)."""


class TableForm(StrEnum):
    """The file that holds a catalogue as tables."""

    XLSX = "xlsx"
    """A workbook with one sheet per list."""
    CSV = "csv"
    """A ZIP archive with one CSV file per list."""

    @classmethod
    def of_file(cls, name: str) -> "TableForm | None":
        """Return the form that a file's name tells by its ending; `None` where it tells none."""
        return {".xlsx": cls.XLSX, ".zip": cls.CSV}.get(PurePath(name).suffix.lower())

    @classmethod
    def of_content(cls, content: bytes) -> "TableForm":
        """Return the form that a file's content tells: a workbook has a list of its parts."""
        try:
            with ZipFile(BytesIO(content)) as archive:
                return cls.XLSX if LIST_OF_PARTS in archive.namelist() else cls.CSV
        except (BadZipFile, ValueError, NotImplementedError):
            return cls.CSV


@dataclass(frozen=True, slots=True, kw_only=True)
class Cell:
    """What stands in a cell; a blank cell is none.

    `text` is what is written, of a number its digits. `number` is there where the cell holds a
    number, not a text of digits; `decimals` is how many its format shows, `None` where it shows
    as many as there are; `percent` says that the format shows it times a hundred. A `verbatim`
    text is taken as it stands, with blanks at its ends, and never as a number or a formula.
    `trouble` is the code, the problem and the remedy of a cell that cannot be used at all.
    """

    text: str
    number: Decimal | None = None
    decimals: int | None = None
    percent: bool = False
    verbatim: bool = False
    trouble: tuple[str, str, str] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """The filled cells of a row, by column counted from 0; `number` as the file counts it."""

    number: int
    cells: dict[int, Cell]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The rows of one sheet or CSV file that hold anything.

    `name` is that of the sheet or file. `decimal_comma` says that numbers have a decimal comma.
    """

    form: TableForm
    name: str
    rows: Sequence[Row]
    decimal_comma: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where something stands: a sheet or file, its row, its column with letter and header.

    `absent` is the header of a column that the sheet lacks.
    """

    form: TableForm
    sheet: str
    row: int | None = None
    column: int | None = None
    header: str = ""
    absent: str = ""

    @property
    def path(self) -> tuple[str | int, ...]:
        """Return the place as the path of a fault: `/sheets/Stock lengths/rows/14/E`."""
        parts: tuple[str | int, ...] = (
            "sheets" if self.form is TableForm.XLSX else "files",
            self.sheet,
        )
        if self.row is not None:
            parts += ("rows", self.row)
            if self.column is not None:
                parts += (name_column(self.column),)
        return parts

    def __str__(self) -> str:
        words = self.sheet
        if self.row is not None:
            words += f", row {self.row:,}"
        if self.column is not None:
            words += f", column {name_column(self.column)}"
            words += f" ({self.header})" if self.header else ""
        return words
