"""Tables of catalogues as a dealer makes them by hand, and what comes of reading them."""

import csv
import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from openpyxl import Workbook

from optimiser.domain.faults import Fault
from service.catalogues import TableForm, read_catalogue, read_table
from service.problems import Problem
from service.wire.catalogue import Catalogue

EXAMPLES = Path(__file__).parents[1] / "openapi" / "examples"
Rows = Sequence[Sequence[Any]]
Tables = Mapping[str, Rows]

OFFER: Tables = {
    "Catalogue": [("Supplier", "Currency"), ("Larkmoor Strip & Seal", "USD")],
    "Stock lengths": [
        ("SKU", "Product", "Finish", "Length", "Price"),
        ("LS-Z-084", "interlocking-strip", "zinc", "7 ft", 11.48),
        ("LS-Z-096", "interlocking-strip", "zinc", "8 ft", 12.95),
    ],
}
"""The least that a dealer would send."""


def spring() -> Catalogue:
    """Return Larkmoor's invented spring catalogue, which has every list and most terms."""
    return read_catalogue((EXAMPLES / "larkmoor-spring.json").read_bytes())


def autumn() -> Catalogue:
    """Return Larkmoor's invented autumn catalogue."""
    return read_catalogue((EXAMPLES / "larkmoor-autumn.json").read_bytes())


def workbook(tables: Tables, change: Callable[[Workbook], None] | None = None) -> bytes:
    """Return tables as a workbook; `change` may do more to it."""
    book = Workbook()
    del book["Sheet"]
    for name, rows in tables.items():
        sheet = book.create_sheet(name)
        for row in rows:
            sheet.append([*row])
    if change:
        change(book)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def csv_text(rows: Rows, *, delimiter: str = ",") -> str:
    """Return rows as CSV."""
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=delimiter).writerows(rows)
    return text.getvalue()


def archive(files: Mapping[str, str | bytes]) -> bytes:
    """Return files as a ZIP archive."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as target:
        for name, content in files.items():
            target.writestr(name, content)
    return packed.getvalue()


def csv_archive(tables: Tables, *, delimiter: str = ",", encoding: str = "utf-8") -> bytes:
    """Return tables as an archive of CSV files."""
    return archive(
        {
            f"{name}.csv": csv_text(rows, delimiter=delimiter).encode(encoding)
            for name, rows in tables.items()
        }
    )


def read_xlsx(tables: Tables, change: Callable[[Workbook], None] | None = None) -> Catalogue:
    """Return what is read from tables in a workbook."""
    return read_table(workbook(tables, change), TableForm.XLSX)


def find_faults(content: bytes, form: TableForm = TableForm.XLSX) -> tuple[Fault, ...]:
    """Return the faults of a file that is refused."""
    try:
        read_table(content, form)
    except Problem as problem:
        assert problem.kind.code == "invalid-catalogue-table"
        assert problem.faults
        return problem.faults
    raise AssertionError("the file was taken")


def replaced(table: str, row: int, column: int, value: Any, *, of: Tables = OFFER) -> Tables:
    """Return tables with another value in one cell; rows and columns count from 0."""
    rows = [[*cells] for cells in of[table]]
    rows[row][column] = value
    return {**of, table: rows}
