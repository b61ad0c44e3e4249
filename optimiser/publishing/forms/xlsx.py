"""A publication as an XLSX workbook: one sheet for each list, ready to reckon with and to print.

Numbers are numbers, written in their decimal digits, with a format that shows all of them in
their currency or unit. Texts are texts, never formulas. The header stands still and comes again
on every page; a sheet is as wide as the paper.
"""

import re
from collections.abc import Iterator
from datetime import date
from decimal import Decimal
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties

from optimiser.domain.publication import (
    ColumnKind,
    Language,
    Paper,
    Publication,
    Row,
    Table,
)
from optimiser.explain.document_words import word
from optimiser.publishing.figures import NUMERIC
from optimiser.publishing.forms.lists import ListColumn, columns_of, lists_of
from optimiser.render.spreadsheet import escape_text, is_verbatim, save_workbook
from optimiser.render.table import make_printable
from optimiser.units.lengths import FINEST_FRACTION, NM_PER_INCH, LengthUnit
from optimiser.units.money import minor_digits

_PAPERS: Final = {Paper.LETTER: 1, Paper.A4: 9}
"""The numbers of the papers (ISO/IEC 29500-1, 18.3.1.63, `paperSize`)."""

_DATES: Final = {
    Language.AMERICAN: "[$-409]mmmm d, yyyy",
    Language.BRITISH: "[$-809]d mmmm yyyy",
}
"""Days in full, as elsewhere; the numbers name the languages (MS-LCID)."""

_FRACTION: Final = "# ??/??"
"""A mixed number with a denominator of two digits: every 64th is shown exactly."""

_MOST_DECIMALS: Final = 4
"""Decimals that a length is shown with; its cell has all of them."""

_NARROWEST, _WIDEST, _PAGE_WIDTH = 8, 60, 100
"""Widths in characters; a sheet that is wider than the last lies on its side."""

_MOST_IN_NAME, _MOST_IN_HEADER = 31, 100
"""Characters of a sheet's name, by the format; of a title above a page, which has 255 in all."""

_SUM_LINE: Final = Border(top=Side(style="thin"))
_HEAD_LINE: Final = Border(bottom=Side(style="thin"))


def write_xlsx(publication: Publication) -> bytes:
    """Return the publication as a workbook, the same bytes for the same publication."""
    workbook = Workbook()
    workbook.remove(workbook.worksheets[0])
    for table, name in _name_sheets(lists_of(publication)):
        _write_sheet(workbook.create_sheet(name), table, publication)
    if not workbook.worksheets:
        workbook.create_sheet(_clean_name(publication.title))
    workbook.properties.title = _escape(publication.title)
    workbook.properties.language = publication.language
    return save_workbook(workbook)


def _name_sheets(tables: tuple[Table, ...]) -> Iterator[tuple[Table, str]]:
    """Yield each table with its sheet's name, which no other sheet has in any case of letters."""
    taken: set[str] = set()
    for table in tables:
        name = plain = _clean_name(table.caption or table.name)
        number = 1
        while name.casefold() in taken:
            number += 1
            mark = f" ({number})"
            name = plain[: _MOST_IN_NAME - len(mark)].rstrip() + mark
        taken.add(name.casefold())
        yield table, name


def _clean_name(text: str) -> str:
    """Return a text without what the name of a sheet may not hold."""
    clean = " ".join(re.sub(r"[\[\]:*?/\\]", " ", make_printable(text)).split())
    return clean[:_MOST_IN_NAME].strip(" '") or "-"


def _write_sheet(sheet: Any, table: Table, publication: Publication) -> None:
    columns = columns_of(table, publication.edition)
    for place, column in enumerate(columns, 1):
        cell = _text_cell(sheet, 1, place, column.heading)
        cell.font, cell.border = Font(bold=True), _HEAD_LINE
        flush = "right" if column.source.kind in NUMERIC else "left"
        cell.alignment = Alignment(horizontal=flush, vertical="bottom", wrap_text=True)
        _write_column(sheet, place, column, table, publication.language)
    for number in range(len(table.rows) + 2, len(table.rows) + len(table.totals) + 2):
        for place in range(1, len(columns) + 1):
            cell = sheet.cell(number, place)
            cell.font = Font(bold=True)
            if number == len(table.rows) + 2:
                cell.border = _SUM_LINE
    sheet.freeze_panes = "A2"
    _set_page(sheet, table, publication, len(columns))


def _write_column(
    sheet: Any, place: int, column: ListColumn, table: Table, language: Language
) -> None:
    rows = (*table.rows, *table.totals)
    shown = _format_of(column, rows, language)
    longest = max((len(word) for word in column.heading.split()), default=0)
    for number, row in enumerate(rows, 2):
        value = column.value(row)
        match value:
            case None:
                continue
            case str():
                _text_cell(sheet, number, place, value)
                longest = max(longest, len(value))
            case date():
                cell = sheet.cell(number, place, value)
                cell.number_format = shown
                longest = max(longest, len("September 30, 2026"))
            case _:
                percent = column.source.kind is ColumnKind.PERCENT
                digits = f"{Decimal(value) / 100 if percent else value:f}"
                _number_cell(sheet, number, place, digits).number_format = shown
                longest = max(longest, len(digits) + len(digits) // 4 + 2)
    letter = get_column_letter(place)
    sheet.column_dimensions[letter].width = min(max(longest, _NARROWEST), _WIDEST) + 2


def _text_cell(sheet: Any, row: int, place: int, text: str) -> Any:
    cell: Any = sheet.cell(row, place)
    cell.value = _escape(text)
    cell.data_type = "s"
    cell.number_format = "@"
    cell.alignment = Alignment(vertical="top", wrap_text=True)
    if is_verbatim(text):
        cell.quotePrefix = True
    return cell


def _number_cell(sheet: Any, row: int, place: int, digits: str) -> Any:
    cell: Any = sheet.cell(row, place)
    # The digits as text, then called a number: a binary fraction would be written with noise.
    cell.value = digits
    cell.data_type = "n"
    cell.alignment = Alignment(vertical="top")
    return cell


def _escape(text: str) -> str:
    return escape_text(make_printable(text))


def _format_of(column: ListColumn, rows: tuple[Row, ...], language: Language) -> str:
    """Return the format that shows the numbers of a column alike."""
    numbers = [value for row in rows if isinstance(value := column.value(row), Decimal)]
    decimals = max((len(f"{number:f}".partition(".")[2]) for number in numbers), default=0)
    match column.source.kind:
        case ColumnKind.MONEY:
            shown = _decimal(max(decimals, minor_digits(column.source.currency)))
        case ColumnKind.PERCENT:
            shown = _decimal(decimals) + "%"
        case ColumnKind.LENGTH:
            cells = (row[column.place] for row in rows)
            fine = all(c * FINEST_FRACTION % NM_PER_INCH == 0 for c in cells if isinstance(c, int))
            fractions = fine and column.unit is LengthUnit.INCH
            shown = _FRACTION if fractions else _decimal(min(decimals, _MOST_DECIMALS))
        case ColumnKind.DATE:
            shown = _DATES[language]
        case ColumnKind.COUNT:
            shown = _decimal(0)
        case ColumnKind.TEXT:
            shown = "@"
    return shown


def _decimal(decimals: int) -> str:
    return f"#,##0.{'0' * decimals}" if decimals else "#,##0"


def _set_page(sheet: Any, table: Table, publication: Publication, columns: int) -> None:
    """Set the paper: all columns on it, the header on every page, title and numbers around."""
    last = len(table.rows) + len(table.totals) + 1
    sheet.print_area = f"A1:{get_column_letter(columns)}{last}"
    sheet.print_title_rows = "1:1"
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    setup = sheet.page_setup
    setup.paperSize = _PAPERS[publication.edition.paper]
    width = sum(dimension.width for dimension in sheet.column_dimensions.values())
    setup.orientation = "landscape" if width > _PAGE_WIDTH else "portrait"
    setup.fitToWidth, setup.fitToHeight = 1, 0
    titles = (publication.title, publication.subtitle, table.caption)
    sheet.oddHeader.left.text = ": ".join(_for_header(title) for title in titles if title)
    page = word("forms.page", publication.language)
    sheet.oddFooter.right.text = f"{_for_header(page)} &P / &N"


def _for_header(text: str) -> str:
    """Return a text as the code of headers takes it, where & begins a command."""
    short = make_printable(text)[: _MOST_IN_HEADER // 2]
    return short.replace("&", "&&")
