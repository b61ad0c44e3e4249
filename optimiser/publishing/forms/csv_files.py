"""A publication as CSV (RFC 4180), in UTF-8 with a byte order mark, by which spreadsheets know it.

A ZIP archive has one file for each list, headed as people read it. One file alone holds all of
them for programs: its first column names the list, the second tells rows from totals, and each
of the others has a name that is the same in every language and says what its numbers are in.
A text that a spreadsheet might run or change stands behind an apostrophe.
"""

import csv
import io
from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal

from optimiser.domain.publication import Publication
from optimiser.publishing.forms.lists import Value, columns_of, lists_of
from optimiser.render.spreadsheet import VERBATIM_MARK, is_verbatim, pack
from optimiser.render.table import make_printable


def write_csv_archive(publication: Publication) -> bytes:
    """Return a ZIP archive with one CSV file for each list, its totals below its rows."""
    files = []
    for table in lists_of(publication):
        columns = columns_of(table, publication.edition)
        rows: Iterator[Iterable[Value]] = (
            [column.value(row) for column in columns] for row in (*table.rows, *table.totals)
        )
        heading = [column.heading for column in columns]
        files.append((f"{table.name}.csv", _write_records([heading, *rows])))
    return pack(files)


def write_csv(publication: Publication) -> bytes:
    """Return one CSV file with the rows of every list; a column that a list lacks is empty."""
    names: dict[str, None] = {}
    records: list[dict[str, Value]] = []
    for table in lists_of(publication):
        columns = columns_of(table, publication.edition)
        names |= {column.name: None for column in columns}
        for kind, rows in (("row", table.rows), ("total", table.totals)):
            for row in rows:
                values = {column.name: column.value(row) for column in columns}
                records.append({"list": table.name, "record": kind, **values})
    header = ["list", "record", *names]
    rows_out = ([record.get(name) for name in header] for record in records)
    return _write_records([header, *rows_out])


def _write_records(records: Iterable[Iterable[Value]]) -> bytes:
    text = io.StringIO(newline="")
    writer = csv.writer(text)
    writer.writerows([_write_entry(value) for value in record] for record in records)
    return text.getvalue().encode("utf-8-sig")


def _write_entry(value: Value) -> str:
    match value:
        case None:
            return ""
        case str():
            printable = make_printable(value)
            return VERBATIM_MARK + printable if is_verbatim(printable) else printable
        case date():
            return value.isoformat()
        case Decimal():
            return f"{value:f}"
        case int():
            return str(value)
