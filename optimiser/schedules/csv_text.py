"""From a CSV text (RFC 4180) to a sheet; the delimiter is found by what gives a header."""

import csv
import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Final

from optimiser.schedules import limits
from optimiser.schedules.encodings import decode_text
from optimiser.schedules.faults import (
    Place,
    ScheduleFault,
    ScheduleNote,
    ScheduleUnreadable,
    refuse,
)
from optimiser.schedules.headers import read_header
from optimiser.schedules.options import ReadingOptions
from optimiser.schedules.sheet import Cell, Row, Sheet
from optimiser.units.faults import quote

DELIMITERS: Final = {",": "comma", ";": "semicolon", "\t": "tab", "|": "pipe"}
_SNIFFED_ROWS: Final = 200
_STATED = re.compile(r"sep=(.)\r?\n", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Records:
    """The records of a CSV file: each with its number as a spreadsheet counts it, entry by entry.

    They are read as they are asked for, which raises `ScheduleUnreadable` where quotes are wrong.
    """

    entries: Iterator[tuple[int, list[str]]]
    encoding: str
    delimiter: str
    notes: tuple[ScheduleNote, ...]


def read_csv(content: bytes, options: ReadingOptions) -> Sheet:
    """Return the rows of a CSV file; a row is a record, as a spreadsheet would number it.

    Raises:
        ScheduleUnreadable: not text, quotes that do not close, or larger than the limits.
    """
    records = read_records(
        content,
        is_name=lambda entry: read_header(entry) is not None,
        encoding=options.encoding,
        delimiter=options.delimiter,
    )
    rows = tuple(_read_rows(records.entries))
    comma = options.decimal_comma
    return Sheet(
        rows=rows,
        last_row=rows[-1].number if rows else 0,
        described=f"CSV in {records.encoding}, delimiter {DELIMITERS[records.delimiter]}",
        decimal_comma=records.delimiter in ";\t" if comma is None else comma,
        notes=records.notes,
    )


def read_records(
    content: bytes,
    *,
    is_name: Callable[[str], bool],
    encoding: str | None = None,
    delimiter: str | None = None,
) -> Records:
    """Return the records of a CSV file. `is_name` tells the name of a column from other texts.

    Raises:
        ScheduleUnreadable: not text, or a delimiter that is not taken.
    """
    text, shown, notes = decode_text(content, encoding)
    first = 1
    if stated := _STATED.match(text):
        # The line by which some spreadsheets state the delimiter; it is a row of the file.
        delimiter, text, first = delimiter or stated[1], text[stated.end() :], 2
    if delimiter is None:
        delimiter = _sniff(text, is_name)
    elif delimiter not in DELIMITERS:
        raise refuse(
            "delimiter-unknown",
            f"the delimiter {quote(delimiter)} is not taken",
            f"use one of {', '.join(DELIMITERS.values())}",
        )
    entries = _number_records(text, delimiter, first)
    return Records(entries=entries, encoding=shown, delimiter=delimiter, notes=notes)


def _sniff(text: str, is_name: Callable[[str], bool]) -> str:
    """Return the delimiter that gives most columns with a usual name; else most columns.

    A comma inside a remark or a decimal comma gives columns, but none with such a name.
    """

    def score(delimiter: str) -> tuple[int, int, int]:
        named, widths = 0, []
        try:
            for record in islice(_records(text, delimiter), _SNIFFED_ROWS):
                named = max(named, sum(map(is_name, record)))
                widths.append(len(record))
        except csv.Error:
            pass
        split = [width for width in widths if width > 1]
        most = max(split, key=split.count, default=1)
        return named if most > 1 else 0, split.count(most), most

    return max(DELIMITERS, key=score)


def _records(text: str, delimiter: str) -> Iterator[list[str]]:
    # Without translation of line ends, which may stand inside quotes.
    return csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True)


def _number_records(text: str, delimiter: str, first: int) -> Iterator[tuple[int, list[str]]]:
    number = first - 1
    records = _records(text, delimiter)
    while True:
        try:
            record = next(records, None)
        except csv.Error as error:
            raise _quotes_fault(number + 1, str(error)) from None
        if record is None:
            return
        number += 1
        yield number, record


def _read_rows(entries: Iterator[tuple[int, list[str]]]) -> Iterator[Row]:
    for number, record in entries:
        cells = {
            column: Cell(text=stripped)
            for column, entry in enumerate(record)
            if (stripped := entry.strip())
        }
        if cells:
            _check_extent(number, cells)
            yield Row(number=number, cells=cells)


def _check_extent(number: int, cells: dict[int, Cell]) -> None:
    if number > limits.ROWS:
        raise refuse(
            "too-many-rows",
            f"the file has more than {limits.ROWS:,} rows",
            "split the schedule",
        )
    if max(cells) >= limits.COLUMNS:
        raise refuse(
            "too-many-columns",
            f"row {number} has {max(cells) + 1:,} columns, more than {limits.COLUMNS}",
            "remove the columns that the schedule does not need, or check the delimiter",
        )


def _quotes_fault(row: int, reason: str) -> ScheduleUnreadable:
    if "field larger" in reason:
        problem = "a cell has more characters than a cell may have"
        remedy = "shorten it, or close the quotes that begin it"
    elif "unexpected end" in reason:
        problem = "quotes that begin a cell are not closed before the file ends"
        remedy = 'close them; write an inch mark inside quotes twice, as in "36"" x 80"""'
    else:
        problem = "quotes inside a cell are not written twice (RFC 4180)"
        remedy = 'write them twice inside quotes, as in "36"" x 80"""'
    return ScheduleUnreadable(
        ScheduleFault(code="quotes", place=Place(row=row), problem=problem, remedy=remedy)
    )
