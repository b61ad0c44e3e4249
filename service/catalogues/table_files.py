"""A catalogue as tables: written to a workbook or to CSV files, and read from them."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from optimiser.domain.faults import Fault
from optimiser.domain.repeats import find_repeated_skus
from optimiser.render.spreadsheet import pack
from optimiser.schedules.faults import ScheduleUnreadable, refuse, shorten
from optimiser.schedules.limits import FILE_BYTES
from optimiser.units.lengths import LengthUnit
from service.catalogues import csv_file, xlsx_file
from service.catalogues.assembling import Assembler
from service.catalogues.cell import Place, Sheet, TableForm
from service.catalogues.checking import check_catalogue
from service.catalogues.fault_places import place_faults
from service.catalogues.headers import find_table, suggest
from service.catalogues.rows_out import RowOut, write_rows
from service.catalogues.tables import ARTICLE_TABLES, TABLES, Table
from service.problems import INVALID_CATALOGUE_TABLE, Problem, count_faults
from service.wire.catalogue import Catalogue

CSV_ROWS: Final = 800_000
"""The last row of a CSV file that may hold anything; the wire has at most 750,000 of one kind."""

XLSX_ROWS: Final = 100_000
"""The last row of a sheet that may hold anything: a workbook takes much memory to read."""

XLSX_CELLS: Final = 300_000
"""The cells of a workbook that may hold anything. A choice, no source; it bounds the elements of
its XML, of which a text takes three."""


def write_table(catalogue: Catalogue, form: TableForm, *, only: str | None = None) -> bytes:
    """Return a catalogue as a file of tables, the same bytes for the same catalogue.

    `only` names one list, such as `Price breaks`: the file is then that list alone, a workbook
    of one sheet or a CSV file without an archive, which states no whole catalogue.

    Raises:
        Problem: a SKU stands twice, a workbook would be too large, or there is no such list.
    """
    faults = list(find_repeated_skus(_skus(catalogue)))
    chosen = TABLES if only is None else _choose(only, faults)
    tables = [(table, list(write_rows(table, catalogue))) for table in chosen]
    if form is TableForm.XLSX:
        faults += _size_faults(tables)
    if faults:
        raise invalid_table(faults)
    if form is TableForm.XLSX:
        return xlsx_file.write_workbook(tables)
    files = [(table.file, csv_file.write_csv(table, rows)) for table, rows in tables]
    return files[0][1] if only is not None else pack(files)


def read_table(
    content: bytes, form: TableForm, units: Sequence[LengthUnit] = tuple(LengthUnit)
) -> Catalogue:
    """Return the catalogue that a file of tables states; bare lengths are in one of `units`.

    Raises:
        Problem: it cannot be taken; every fault is listed by sheet or file, row and column.
    """
    assembler = assemble(content, form)
    if assembler.faults and not assembler.raw:
        raise invalid_table(assembler.faults)
    checked = check_catalogue(assembler.raw, units)
    if isinstance(checked, Catalogue):
        if not assembler.faults:
            return checked
        raise invalid_table(sorted(assembler.faults, key=_by_place))
    faults = [*assembler.faults, *place_faults(checked, assembler)]
    raise invalid_table(sorted(faults, key=_by_place))


def assemble(content: bytes, form: TableForm) -> Assembler:
    """Return what the tables state before it is looked over, with the faults of single cells.

    Raises:
        Problem: the file as a whole cannot be read.
    """
    assembler = Assembler()
    try:
        sheets = _read_sheets(content, form, assembler.faults)
    except ScheduleUnreadable as error:
        raise invalid_table([_of_file(error)]) from None
    if "Catalogue" not in sheets:
        assembler.faults.append(_no_catalogue(form))
        assembler.unread |= {("supplier",), ("currency",)}
    assembler.take(sheets)
    return assembler


def invalid_table(faults: Iterable[Fault]) -> Problem:
    """Return the problem of a catalogue's table with these faults."""
    listed = tuple(faults)
    return Problem(INVALID_CATALOGUE_TABLE, count_faults(listed), faults=listed)


def _read_sheets(content: bytes, form: TableForm, faults: list[Fault]) -> dict[str, Sheet]:
    """Return the sheets that hold anything by the names of their tables; keep faults of others."""
    if len(content) > FILE_BYTES:
        raise refuse(
            "file-too-large",
            f"the file has {len(content):,} bytes, more than {FILE_BYTES:,}",
            "split the catalogue",
        )
    read = _read_workbook if form is TableForm.XLSX else _read_archive
    sheets: dict[str, Sheet] = {}
    for sheet, table in read(content, faults):
        if table is None:
            faults.append(_unknown_sheet(sheet))
        elif table.name in sheets:
            faults.append(
                _of_sheet(sheet, "repeated-sheet", f"is {table.name} once more; keep one")
            )
        else:
            sheets[table.name] = sheet
    return sheets


def _read_workbook(content: bytes, _: list[Fault]) -> Iterator[tuple[Sheet, Table | None]]:
    for sheet, hidden in xlsx_file.read_workbook(content, most_rows=XLSX_ROWS):
        table = find_table(sheet.name)
        # What is hidden and is no list is the workbook's own affair.
        if table is not None or not hidden:
            yield sheet, table


def _read_archive(content: bytes, faults: list[Fault]) -> Iterator[tuple[Sheet, Table | None]]:
    for name, file in csv_file.unpack(content):
        table = find_table(csv_file.name_of(name))
        if table is None:
            yield Sheet(form=TableForm.CSV, name=name, rows=()), None
            continue
        try:
            sheet = csv_file.read_csv(name, file, table, most_rows=CSV_ROWS)
        except ScheduleUnreadable as error:
            faults.append(_of_file(error, name))
            continue
        if sheet.rows:
            yield sheet, table


def _by_place(fault: Fault) -> tuple[int, int, int, str]:
    """Return what sorts faults by list, row and column."""
    match fault.path:
        case (_, str(sheet), *rest):
            table = find_table(csv_file.name_of(sheet))
            number = TABLES.index(table) if table else len(TABLES)
            row = int(rest[1]) if len(rest) > 1 else 0
            column = str(rest[2]) if len(rest) > 2 else ""
            return number, row, len(column), column
        case _:
            return -1, 0, 0, ""


def _unknown_sheet(sheet: Sheet) -> Fault:
    remedy = suggest(csv_file.name_of(sheet.name), [table.name for table in TABLES])
    if sheet.form is TableForm.XLSX:
        remedy += " or hide it"
    return _of_sheet(sheet, "unknown-sheet", f"is no list of a catalogue; {remedy}")


def _of_sheet(sheet: Sheet, code: str, complaint: str) -> Fault:
    place = Place(form=sheet.form, sheet=sheet.name)
    what = "Sheet" if sheet.form is TableForm.XLSX else "File"
    return Fault(place.path, code, f"{what} “{shorten(sheet.name)}” {complaint}.")


def _no_catalogue(form: TableForm) -> Fault:
    what = "sheet Catalogue" if form is TableForm.XLSX else "file catalogue.csv"
    return Fault(
        (),
        "no-catalogue",
        f"The file has no {what}, which states the supplier and the currency; add it.",
    )


def _of_file(error: ScheduleUnreadable, name: str = "") -> Fault:
    """Return the fault of a whole file, or of the file of that name in the archive."""
    fault = error.faults[0]
    said = f"{fault.problem}; {fault.remedy}."
    if not name:
        return Fault((), fault.code, said[0].upper() + said[1:])
    place = Place(form=TableForm.CSV, sheet=name, row=fault.place.row)
    return Fault(place.path, fault.code, f"{place}: {said}")


def _skus(catalogue: Catalogue) -> Iterator[tuple[tuple[str | int, ...], str]]:
    for member in ARTICLE_TABLES:
        for position, article in enumerate(getattr(catalogue, member)):
            yield (member, position), article.sku


def _choose(name: str, faults: list[Fault]) -> tuple[Table, ...]:
    table = find_table(name)
    if table is not None:
        return (table,)
    names = ", ".join(table.name for table in TABLES)
    faults.append(
        Fault((), "unknown-list", f"There is no list “{shorten(name)}”; name one of {names}.")
    )
    return ()


def _size_faults(tables: list[tuple[Table, list[RowOut]]]) -> Iterator[Fault]:
    remedy = "write the catalogue as CSV"
    for table, rows in tables:
        if len(rows) >= XLSX_ROWS:
            yield Fault(
                (),
                "too-many-rows",
                f"{table.name} has {len(rows):,} rows, and a sheet takes {XLSX_ROWS - 1:,} below "
                f"its header; {remedy}.",
            )
    cells = sum(cell is not None for _, rows in tables for row in rows for cell in row)
    if cells > XLSX_CELLS:
        yield Fault(
            (),
            "too-many-cells",
            f"The catalogue fills {cells:,} cells, and a workbook takes {XLSX_CELLS:,}; {remedy}.",
        )
