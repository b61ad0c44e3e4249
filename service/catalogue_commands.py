"""The commands `catalogue-table`, a catalogue to a spreadsheet and back, and
`catalogue-difference`."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import Any

from service.catalogues import (
    TableForm,
    differences,
    read_catalogue,
    read_table,
    render_differences,
    write_table,
)
from service.catalogues.tables import TABLES
from service.json_text import write_json_lines
from service.wire.catalogue import Catalogue

ReadFile = Callable[[str], bytes]


def add_catalogue_commands(commands: Any, run: Callable[[argparse.Namespace], int]) -> None:
    """Add the commands to a parser's commands.

    `run` finds in its options what makes the document (`make`), the file to write to (`output`,
    `None` for standard output) and whether not a byte may be added to it (`exactly`).
    """
    table: argparse.ArgumentParser = commands.add_parser(
        "catalogue-table",
        help="write a catalogue as a spreadsheet, or read one",
        description="Write a catalogue as tables: a workbook with one sheet per list, or a ZIP "
        "archive with one CSV file per list. Or read such tables into a catalogue. In CSV a text "
        "that a spreadsheet might run as a formula, or take for a number, stands behind an "
        "apostrophe, which is taken off in reading.",
    )
    table.add_argument(
        "catalogue", nargs="?", metavar="CATALOGUE.json", help="the catalogue; - is standard input"
    )
    way = table.add_mutually_exclusive_group(required=True)
    way.add_argument("--to", type=Path, metavar="FILE", help="write tables: FILE.xlsx or FILE.zip")
    way.add_argument("--from", dest="table", metavar="FILE", help="read tables and write JSON")
    table.add_argument(
        "--list",
        metavar="NAME",
        help="write this list alone, also to FILE.csv; one of: "
        + ", ".join(table.name for table in TABLES),
    )
    table.add_argument("-o", "--output", type=Path, metavar="FILE", help="write the JSON to a file")
    table.set_defaults(command=run, make=_make_table, parser=table)

    difference: argparse.ArgumentParser = commands.add_parser(
        "catalogue-difference",
        help="tell what differs between two catalogues",
        description="Tell what differs between two catalogues, each in JSON or in tables.",
    )
    difference.add_argument("before", metavar="BEFORE", help="the earlier catalogue")
    difference.add_argument("after", metavar="AFTER", help="the later catalogue")
    form = difference.add_mutually_exclusive_group()
    form.add_argument("--text", action="store_true", help="write text for a buyer")
    form.add_argument("--json", action="store_true", help="write JSON; the default")
    difference.add_argument("-o", "--output", type=Path, metavar="FILE", help="write to a file")
    difference.set_defaults(command=run, make=_make_difference, exactly=False)


def _make_table(options: argparse.Namespace, read_file: ReadFile) -> bytes:
    """Return the file that the command writes.

    Raises:
        Problem: the catalogue or the tables cannot be taken; all faults are listed.
    """
    refuse_use: Callable[[str], None] = options.parser.error
    if options.table is not None:
        if options.catalogue is not None or options.list is not None:
            refuse_use("--from reads a whole catalogue from FILE; state nothing else to read")
        form = TableForm.of_file(options.table)
        if form is None:
            refuse_use(f"{options.table} is neither .xlsx nor .zip; name the file so")
        options.exactly = False
        return _write_catalogue(read_table(read_file(options.table), form or TableForm.XLSX))
    if options.catalogue is None:
        refuse_use("--to needs the catalogue to write: CATALOGUE.json")
    if options.output is not None:
        refuse_use("--output is for --from; --to names the file itself")
    form = TableForm.of_file(options.to.name)
    if options.list is not None and options.to.suffix.lower() == ".csv":
        form = TableForm.CSV
    elif form is None or (form is TableForm.CSV and options.list is not None):
        refuse_use(
            f"{options.to} is not a name to write to; end it in .xlsx or .zip, or with --list in "
            ".xlsx or .csv"
        )
    options.output, options.exactly = options.to, True
    catalogue = read_catalogue(read_file(options.catalogue))
    return write_table(catalogue, form or TableForm.XLSX, only=options.list)


def _make_difference(options: argparse.Namespace, read_file: ReadFile) -> bytes:
    """Return the differences as text or as JSON.

    Raises:
        Problem: one of the catalogues cannot be taken; all faults are listed.
    """
    before, after = (_read_either(name, read_file) for name in (options.before, options.after))
    found = differences(before, after)
    if options.text:
        return render_differences(found).encode()
    return found.model_dump_json(indent=2).encode()


def _read_either(name: str, read_file: ReadFile) -> Catalogue:
    form = TableForm.of_file(name)
    content = read_file(name)
    return read_catalogue(content) if form is None else read_table(content, form)


def _write_catalogue(catalogue: Catalogue) -> bytes:
    return write_json_lines(catalogue.model_dump(exclude_defaults=True)).encode()
