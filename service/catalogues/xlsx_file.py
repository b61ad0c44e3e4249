"""The tables of a catalogue as an XLSX workbook, with one sheet per list.

Texts are written as texts, never as formulas; a verbatim one has the cell's mark for it, which is
what a spreadsheet makes of an apostrophe that is typed before a text. Numbers are written in their
decimal digits, with a format that shows all of them, so that 12.40 stays 12.40.
"""

import datetime
import io
import re
import zipfile
from collections.abc import Iterable, Iterator
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter

from optimiser.render.spreadsheet import escape_text, save_workbook
from optimiser.schedules.faults import refuse
from optimiser.schedules.xlsx_archive import SheetExtent
from optimiser.schedules.xlsx_workbook import (
    DATE_TROUBLE,
    ERROR_TROUBLE,
    FORMULA_TROUBLE,
    UNIT_IN_FORMAT,
    read_digits,
    visit_sheets,
)
from service.catalogues.cell import Cell, Row, Sheet, TableForm
from service.catalogues.rows_out import RowOut
from service.catalogues.tables import Table

_NARROWEST, _WIDEST = 10, 48

_MOST_DIGITS: Final = 40
_FAR_OUT: Final = (
    "number-out-of-range",
    "is a number out of all proportion",
    "write a usual number",
)

# A character by its number (ISO/IEC 29500, ST_Xstring).
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")

_WITHOUT_LITERALS = re.compile(r'"[^"]*"|\\.|_.|\*.|\[[^\]]*\]')
_FIXED_DECIMALS = re.compile(r"[#0,]*0(?:\.(0+))?")


def write_workbook(tables: Iterable[tuple[Table, list[RowOut]]]) -> bytes:
    """Return a workbook with one sheet per table, its header frozen."""
    workbook = Workbook(write_only=True)
    for table, rows in tables:
        _write_sheet(workbook.create_sheet(table.name), table, rows)
    return save_workbook(workbook)


def _write_sheet(sheet: Any, table: Table, rows: list[RowOut]) -> None:
    sheet.freeze_panes = "A2"
    for position, width in enumerate(_measure(table, rows), start=1):
        sheet.column_dimensions[get_column_letter(position)].width = width
    bold = Font(bold=True)
    header = []
    for column in table.columns:
        cell = WriteOnlyCell(sheet, value=column.header)
        cell.font = bold
        header.append(cell)
    sheet.append(header)
    for row in rows:
        sheet.append([None if cell is None else _write_cell(sheet, cell) for cell in row])


def _measure(table: Table, rows: list[RowOut]) -> Iterator[int]:
    """Yield the width of each column in characters."""
    for position, column in enumerate(table.columns):
        longest = max((len(cell.text) for row in rows if (cell := row[position])), default=0)
        yield min(max(len(column.header), longest, _NARROWEST) + 2, _WIDEST)


def _write_cell(sheet: Any, cell: Cell) -> Any:
    if cell.number is not None:
        # The digits as text, then called a number: a binary fraction would be written with noise.
        written = WriteOnlyCell(sheet, value=f"{cell.number:f}")
        written.data_type = "n"
        if cell.decimals is not None:
            written.number_format = "0." + "0" * cell.decimals if cell.decimals else "0"
        return written
    written = WriteOnlyCell(sheet, value=escape_text(cell.text))
    written.data_type = "s"
    written.number_format = "@"
    if cell.verbatim:
        written.quotePrefix = True
    return written


def read_workbook(content: bytes, *, most_rows: int) -> tuple[tuple[Sheet, bool], ...]:
    """Return the sheets of a workbook that hold anything, each with whether it is hidden.

    Raises:
        ScheduleUnreadable: not a workbook, or beyond the limits.
    """
    if any(name.lower().endswith(".csv") for name in _list_parts(content)):
        raise refuse(
            "not-a-workbook",
            "the file is an archive of CSV files, not a workbook",
            "read it as CSV, with a name that ends in .zip",
        )
    return visit_sheets(content, _read_sheet, rows=most_rows)


def _list_parts(content: bytes) -> list[str]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            return archive.namelist()
    except (zipfile.BadZipFile, OSError, EOFError, ValueError, RuntimeError, OverflowError):
        # The inspection of the workbook says what is wrong with it.
        return []


def _read_sheet(worksheet: Any, extent: SheetExtent) -> tuple[Sheet, bool] | None:
    rows = []
    found = worksheet.iter_rows(
        min_row=1, max_row=extent.last_row, min_col=1, max_col=extent.last_column + 1
    )
    for number, row in enumerate(found, start=1):
        cells = {
            column: read
            for column, cell in enumerate(row)
            if (read := _read_cell(cell, (number, column) in extent.without_value)) is not None
        }
        if cells:
            rows.append(Row(number=number, cells=cells))
    if not rows:
        return None
    sheet = Sheet(form=TableForm.XLSX, name=worksheet.title, rows=rows)
    return sheet, worksheet.sheet_state != "visible"


def _read_cell(cell: Any, without_value: bool) -> Cell | None:
    if without_value:
        return Cell(text="=", trouble=FORMULA_TROUBLE)
    match cell.value:
        case None:
            return None
        case bool(value):
            return Cell(text="TRUE" if value else "FALSE")
        case int(value) | float(value):
            return _read_number(value, str(cell.number_format))
        case datetime.date() | datetime.time() | datetime.timedelta() as value:
            return Cell(text=str(value), trouble=DATE_TROUBLE)
        case value:
            return _read_text(str(value), cell)


def _read_number(value: int | float, number_format: str) -> Cell:
    number = read_digits(value)
    if not number.is_finite() or abs(number.adjusted()) >= _MOST_DIGITS:
        return Cell(text=str(number), trouble=_FAR_OUT)
    text = f"{number:f}"
    if unit := UNIT_IN_FORMAT.search(number_format.lower()):
        return Cell(text=f"{text} {unit[1]}")
    shown = _WITHOUT_LITERALS.sub("", number_format.partition(";")[0])
    fixed = _FIXED_DECIMALS.search(shown)
    whole_form = fixed is not None and not re.search(r"[.#?][#?]|E|/|0,+$", shown[fixed.end() :])
    return Cell(
        text=text,
        number=number,
        decimals=len(fixed[1] or "") if fixed and whole_form else None,
        percent="%" in shown,
    )


def _read_text(text: str, cell: Any) -> Cell | None:
    if cell.data_type == "e":
        return Cell(text=text.strip(), trouble=ERROR_TROUBLE)
    text = _ESCAPED.sub(_unescape, text)
    if cell.style_array.quotePrefix:
        return Cell(text=text, verbatim=True) if text else None
    text = text.strip()
    return Cell(text=text) if text else None


def _unescape(match: re.Match[str]) -> str:
    code = int(match[1], 16)
    # Half of a surrogate pair is no character: such text is left as it stands.
    return match[0] if 0xD800 <= code <= 0xDFFF else chr(code)
