"""From a workbook to its sheets, by openpyxl in its read-only mode, after `xlsx_archive`."""

import datetime
import io
import re
import threading
import warnings
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import partial
from typing import Any, Final, TypeVar

from openpyxl import load_workbook

from optimiser.schedules import limits
from optimiser.schedules.faults import Place, ScheduleNote, ScheduleUnreadable, refuse
from optimiser.schedules.sheet import Cell, Row, Sheet
from optimiser.schedules.xlsx_archive import SheetExtent, inspect_workbook

T = TypeVar("T")

SPREADSHEET_DIGITS: Final = 15
"""Significant digits that a spreadsheet shows and keeps of a number (IEEE 754 double)."""

_ONE_READER = threading.Lock()
"""openpyxl warns of parts that it does not keep, and silencing that is not safe over threads."""

UNIT_IN_FORMAT = re.compile(r"\"\s*(mm|cm|m|in|ft)\.?\s*\"")
FORMULA_TROUBLE: Final = (
    "formula-without-value",
    "is a formula whose value is not stored in the file",
    "open the file in a spreadsheet and save it, or write the value",
)
ERROR_TROUBLE: Final = (
    "cell-is-error",
    "is an error of the spreadsheet",
    "correct the formula, or write the value",
)
DATE_TROUBLE: Final = (
    "cell-is-date",
    "is a date, which a spreadsheet makes of what was typed (3-6, for instance)",
    "format the column as text and write the value again",
)


Visit = Callable[[Any, SheetExtent], T | None]
"""Takes a worksheet of openpyxl and its extent; returns what it makes of them."""


def read_workbook(content: bytes, *, decimal_comma: bool | None) -> tuple[Sheet, ...]:
    """Return the visible sheets of a workbook that hold anything.

    Raises:
        ScheduleUnreadable: not a workbook, beyond the limits, or without anything in it.
    """
    sheets = visit_sheets(content, partial(_read_sheet, decimal_comma=decimal_comma is True))
    if not sheets:
        raise refuse(
            "empty-schedule", "no visible sheet of the workbook holds anything", "fill one in"
        )
    return sheets


def visit_sheets(content: bytes, visit: Visit[T], *, rows: int = limits.ROWS) -> tuple[T, ...]:
    """Return what is made of each sheet that holds anything, without those that give `None`.

    `rows` is the last row that may hold anything.

    Raises:
        ScheduleUnreadable: not a workbook, or beyond the limits.
    """
    extents = inspect_workbook(content, rows=rows)
    with _ONE_READER, warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            return tuple(_visit_each(content, extents, visit))
        except (ScheduleUnreadable, MemoryError):
            raise
        except Exception as error:
            # openpyxl raises whatever a malformed part happens to cause.
            raise refuse(
                "broken-workbook",
                f"the workbook cannot be read ({type(error).__name__})",
                "open it in a spreadsheet, save it as .xlsx and send it again",
            ) from error


def _visit_each(content: bytes, extents: dict[str, SheetExtent], visit: Visit[T]) -> Iterator[T]:
    workbook = load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
    try:
        for worksheet in workbook.worksheets:
            # The name of its part is not public, and nothing public leads from a sheet to it.
            extent = extents.get(getattr(worksheet, "_worksheet_path", ""))
            if extent is None or extent.last_row == 0:
                continue
            made = visit(worksheet, extent)
            if made is not None:
                yield made
    finally:
        workbook.close()


def _read_sheet(worksheet: Any, extent: SheetExtent, *, decimal_comma: bool) -> Sheet | None:
    if worksheet.sheet_state != "visible":
        return None
    rows = tuple(_read_rows(worksheet, extent))
    if not rows:
        return None
    return Sheet(
        rows=rows,
        last_row=rows[-1].number,
        described=f"XLSX, sheet {worksheet.title}",
        name=worksheet.title,
        decimal_comma=decimal_comma,
        notes=tuple(_hidden_notes(rows)),
    )


def _hidden_notes(rows: tuple[Row, ...]) -> Iterator[ScheduleNote]:
    for row in rows:
        if row.hidden:
            yield ScheduleNote(
                code="hidden-row",
                place=Place(row=row.number),
                remark="the row is hidden in the sheet and was read like any other.",
            )


def _read_rows(worksheet: Any, extent: SheetExtent) -> Iterator[Row]:
    down, across = _index_merged(extent)
    origins: dict[tuple[int, int], Cell] = {}
    found = worksheet.iter_rows(
        min_row=1, max_row=extent.last_row, min_col=1, max_col=extent.last_column + 1
    )
    for number, row in enumerate(found, start=1):
        cells: dict[int, Cell] = {}
        for column, cell in enumerate(row):
            # The stream counts columns from 0, as this does.
            read = _read_cell(cell, (number, column) in extent.without_value)
            origin = down.get((number, column))
            if origin == (number, column) and read:
                origins[origin] = read
            elif origin and not read and origin in origins:
                source = origins[origin]
                read = Cell(text=source.text, trouble=source.trouble, carried_from=origin[0])
            if read:
                cells[column] = read
        if cells:
            yield Row(
                number=number,
                cells=cells,
                widest_merge=across.get(number, 1),
                hidden=number in extent.hidden,
            )


def _index_merged(
    extent: SheetExtent,
) -> tuple[dict[tuple[int, int], tuple[int, int]], dict[int, int]]:
    """Return the top of each cell of a merge over rows, and the widest merge of each row.

    A merge over columns belongs to its first column: the value stands in that column alone.
    """
    down: dict[tuple[int, int], tuple[int, int]] = {}
    across: dict[int, int] = {}
    for first_row, first_column, last_row, last_column in extent.merged:
        if first_row <= extent.last_row and last_column > first_column:
            width = last_column - first_column + 1
            across[first_row] = max(across.get(first_row, 1), width)
        end = min(last_row, extent.last_row)
        if end > first_row and len(down) + end - first_row <= limits.AREA:
            for row in range(first_row, end + 1):
                down[row, first_column] = (first_row, first_column)
    return down, across


def _read_cell(cell: Any, without_value: bool) -> Cell | None:
    if without_value:
        return Cell(text="=", trouble=FORMULA_TROUBLE)
    match cell.value:
        case None:
            return None
        case bool(value):
            return Cell(text="TRUE" if value else "FALSE")
        case int(value) | float(value):
            return _read_number(value, cell)
        case datetime.date() | datetime.time() | datetime.timedelta() as value:
            return Cell(text=str(value), trouble=DATE_TROUBLE)
        case value:
            text = str(value).strip()
            trouble = ERROR_TROUBLE if cell.data_type == "e" else None
            return Cell(text=text, trouble=trouble) if text else None


def _read_number(value: int | float, cell: Any) -> Cell:
    """Return a number in the digits that a spreadsheet keeps, with a unit that its format shows."""
    number = read_digits(value)
    text = f"{number:f}" if number.is_finite() and abs(number.adjusted()) < 40 else str(number)
    unit = UNIT_IN_FORMAT.search(str(cell.number_format).lower())
    return Cell(text=f"{text} {unit[1]}" if unit else text)


def read_digits(value: int | float) -> Decimal:
    """Return a number of a cell in the digits that a spreadsheet keeps: 42.13 for the nearest
    binary fraction to it."""
    return Decimal(f"{value:.{SPREADSHEET_DIGITS}g}")
