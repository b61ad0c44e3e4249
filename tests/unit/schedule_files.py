"""Schedule files of Harbour Row, an invented scenario, for the tests of the reader."""

import csv
import io
from collections.abc import Callable, Iterable, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from optimiser.schedules import ScheduleReading, read_schedule
from optimiser.units.lengths import LengthUnit

HEADER = ("Mark", "Qty", "Type", "Width", "Height", "Strip finish")
DOOR = ("D-01", "2", "single door", "36", "80", "zinc")


def csv_bytes(
    rows: Iterable[Sequence[str]], *, delimiter: str = ",", encoding: str = "utf-8"
) -> bytes:
    """Return rows as a CSV file."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue().encode(encoding)


def xlsx_bytes(
    rows: Iterable[Sequence[Any]], *, change: Callable[[Worksheet], None] | None = None
) -> bytes:
    """Return rows as the only sheet of a workbook; `change` may do more to it."""
    workbook = Workbook()
    sheet = workbook.active
    assert isinstance(sheet, Worksheet)
    sheet.title = "Doors"
    for row in rows:
        sheet.append(row)
    if change:
        change(sheet)
    return workbook_bytes(workbook)


def workbook_bytes(workbook: Workbook) -> bytes:
    """Return a workbook as a file."""
    file = io.BytesIO()
    workbook.save(file)
    return file.getvalue()


def read(content: bytes, **settings: Any) -> ScheduleReading:
    """Return the reading of a file whose bare numbers are inches unless it says otherwise."""
    return read_schedule(content, **({"unit": LengthUnit.INCH} | settings))


def read_rows(
    *rows: Sequence[str], header: Sequence[str] = HEADER, **settings: Any
) -> ScheduleReading:
    """Return the reading of a CSV file with a header and rows."""
    return read(csv_bytes([header, *rows]), **settings)


def messages(reading: ScheduleReading) -> list[str]:
    """Return the messages of the faults."""
    return [fault.message for fault in reading.faults]


def codes(reading: ScheduleReading) -> list[tuple[int | None, str | None, str]]:
    """Return row, column and code of each fault."""
    return [(f.place.row, f.place.column, f.code) for f in reading.faults]


def note_codes(reading: ScheduleReading) -> list[tuple[int | None, str | None, str]]:
    """Return row, column and code of each note."""
    return [(note.place.row, note.place.column, note.code) for note in reading.notes]


def skipped_codes(reading: ScheduleReading) -> list[tuple[int, int, str]]:
    """Return first row, last row and code of what was skipped."""
    return [(rows.first, rows.last, rows.code) for rows in reading.skipped]
