"""Finding the header of a table and what its columns are."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import islice
from typing import Final

from optimiser.domain.faults import Fault
from optimiser.schedules.faults import shorten
from service.catalogues.cell import Place, Row, Sheet
from service.catalogues.tables import TABLES, Column, Table, fold

_LOOKED_AT: Final = 20
"""The header is looked for among this many rows that hold anything: titles may stand above."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """The row of the header, and the position of each column by its header."""

    row: int
    positions: dict[str, int]

    def place(self, sheet: Sheet, row: int, column: Column) -> Place:
        """Return the cell of a column in a row; the header's row where there is no such column."""
        position = self.positions.get(column.header)
        if position is None:
            return Place(form=sheet.form, sheet=sheet.name, row=self.row, absent=column.header)
        return place_cell(sheet, row, position, column.header)


def place_cell(sheet: Sheet, row: int, column: int, header: str = "") -> Place:
    """Return the place of a cell."""
    return Place(form=sheet.form, sheet=sheet.name, row=row, column=column, header=header)


def read_header(sheet: Sheet, table: Table) -> tuple[Header, list[Fault]]:
    """Return the header of a table's sheet, and what is wrong with it."""
    known = _known_names(table)
    row = _find_header(sheet.rows, known)
    faults: list[Fault] = []
    positions: dict[str, int] = {}
    for position, cell in sorted(row.cells.items()):
        place = place_cell(sheet, row.number, position)
        column = known.get(fold(cell.text))
        if column is None:
            faults.append(_unknown(place, cell.text, table))
        elif column.header in positions:
            faults.append(
                Fault(
                    place.path,
                    "repeated-column",
                    f"{place}: the column {column.header} stands twice; keep one.",
                )
            )
        else:
            positions[column.header] = position
    faults += _without_header(sheet, row)
    return Header(row=row.number, positions=positions), faults


def find_table(name: str) -> Table | None:
    """Return the table that a sheet or a file is named after; `None` where there is none."""
    folded = fold(name)
    return next((table for table in TABLES if fold(table.name) == folded), None)


def suggest(read: str, names: Sequence[str]) -> str:
    """Return a remedy for an unknown name: the nearest known one, else all of them."""
    by_folded = {fold(name): name for name in names}
    near = get_close_matches(fold(read)[:200], by_folded, n=1, cutoff=0.6)
    if near:
        return f"the nearest known is {by_folded[near[0]]}: correct the name, or remove it"
    return f"name it one of {', '.join(names)}, or remove it"


def _known_names(table: Table) -> dict[str, Column]:
    return {
        fold(name): column for column in table.columns for name in (*column.also, column.header)
    }


def _find_header(rows: Sequence[Row], known: Iterable[str]) -> Row:
    """Return the first row with two names of columns, else the first that holds anything."""
    names = frozenset(known)
    for row in islice(rows, _LOOKED_AT):
        if sum(fold(cell.text) in names for cell in row.cells.values()) >= 2:
            return row
    return rows[0]


def _unknown(place: Place, read: str, table: Table) -> Fault:
    remedy = suggest(read, [column.header for column in table.columns])
    return Fault(
        place.path,
        "unknown-column",
        f"{place}: {table.name} has no column “{shorten(read)}”; {remedy}.",
    )


def _without_header(sheet: Sheet, header: Row) -> list[Fault]:
    """Return a fault for each column that holds something below a blank header."""
    first: dict[int, int] = defaultdict(int)
    for row in sheet.rows:
        if row.number > header.number:
            for position in row.cells.keys() - header.cells.keys():
                first.setdefault(position, row.number)
    faults = []
    for position, number in sorted(first.items()):
        place = place_cell(sheet, number, position)
        faults.append(
            Fault(
                place.path,
                "column-without-header",
                f"{place}: the column holds something and has no header in row {header.number:,}; "
                "name it there, or clear it.",
            )
        )
    return faults
