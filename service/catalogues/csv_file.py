"""The tables of a catalogue as CSV (RFC 4180), in a ZIP archive with one file per list.

Written in UTF-8 with a byte order mark, by which spreadsheets know it. A verbatim text is written
behind an apostrophe, as one types it into a spreadsheet: none then takes it for a formula, and the
reader takes the apostrophe off again.
"""

import csv
import io
import re
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from pathlib import PurePosixPath
from typing import Final

from optimiser.render.spreadsheet import VERBATIM_MARK
from optimiser.schedules.csv_text import read_records
from optimiser.schedules.faults import ScheduleUnreadable, refuse
from optimiser.schedules.xlsx_archive import check_archive
from service.catalogues.cell import Cell, Row, Sheet, TableForm
from service.catalogues.rows_out import RowOut
from service.catalogues.tables import Table, fold

_NOT_A_TABLE = re.compile(r"(^|/)(\.|__MACOSX(/|$)|thumbs\.db$|desktop\.ini$)", re.IGNORECASE)
_COLUMNS: Final = 256


def write_csv(table: Table, rows: Iterable[RowOut]) -> bytes:
    """Return a table as a CSV file."""
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerow(column.header for column in table.columns)
    writer.writerows([_write_entry(cell) for cell in row] for row in rows)
    return text.getvalue().encode("utf-8-sig")


def _write_entry(cell: Cell | None) -> str:
    if cell is None:
        return ""
    return VERBATIM_MARK + cell.text if cell.verbatim else cell.text


def unpack(content: bytes) -> Iterator[tuple[str, bytes]]:
    """Yield the name and the content of each file of an archive; what systems add is left out.

    Raises:
        ScheduleUnreadable: not an archive, or one that would unpack to too much.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            entries = archive.infolist()
            check_archive(entries, "ZIP file")
            if any(entry.filename == "[Content_Types].xml" for entry in entries):
                raise refuse(
                    "not-an-archive-of-tables",
                    "the file is a workbook, not a ZIP archive of CSV files",
                    "read it as XLSX, with a name that ends in .xlsx",
                )
            for entry in entries:
                if not entry.is_dir() and not _NOT_A_TABLE.search(entry.filename):
                    yield entry.filename, archive.read(entry)
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError):
        pass
    except (ValueError, RuntimeError, OverflowError, UnicodeError):
        pass
    else:
        return
    raise refuse(
        "broken-archive",
        "the file is not a ZIP archive that can be unpacked",
        "pack the CSV files of the lists into a ZIP archive and send it again",
    )


def name_of(file: str) -> str:
    """Return the name of the table that a file's name states."""
    return PurePosixPath(file.replace("\\", "/")).stem


def read_csv(name: str, content: bytes, table: Table, *, most_rows: int) -> Sheet:
    """Return the rows of a CSV file, in whatever encoding and with whatever delimiter.

    Raises:
        ScheduleUnreadable: not text, quotes that do not close, or too many rows or columns.
    """
    known = {fold(name) for column in table.columns for name in (column.header, *column.also)}
    records = read_records(content, is_name=lambda entry: fold(entry) in known)
    rows = []
    for number, record in records.entries:
        cells = {
            column: cell
            for column, entry in enumerate(record)
            if (cell := _read_entry(entry)) is not None
        }
        if not cells:
            continue
        _check_extent(number, max(cells) + 1, most_rows)
        rows.append(Row(number=number, cells=cells))
    return Sheet(form=TableForm.CSV, name=name, rows=rows, decimal_comma=records.delimiter in ";\t")


def _read_entry(entry: str) -> Cell | None:
    if entry.startswith(VERBATIM_MARK) and len(entry) > 1:
        return Cell(text=entry[1:], verbatim=True)
    text = entry.strip()
    return Cell(text=text) if text else None


def _check_extent(row: int, columns: int, most_rows: int) -> None:
    if row > most_rows:
        raise _too_many("rows", most_rows, "split the catalogue")
    if columns > _COLUMNS:
        raise _too_many("columns", _COLUMNS, "check the delimiter")


def _too_many(what: str, most: int, remedy: str) -> ScheduleUnreadable:
    return refuse(f"too-many-{what}", f"the file has more than {most:,} {what}", remedy)
