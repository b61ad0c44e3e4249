"""Catalogues as tables: what is written, and what is understood of a file made by hand."""

import csv
import io
import zipfile
from decimal import Decimal
from typing import Any

import pytest
from openpyxl import Workbook, load_workbook

from service.catalogues import TableForm, read_catalogue, read_table, write_table
from service.catalogues.tables import TABLES, fold
from service.problems import Problem
from service.wire.catalogue import Catalogue
from tests.catalogue_files import (
    OFFER,
    Tables,
    archive,
    csv_archive,
    csv_text,
    read_xlsx,
    replaced,
    spring,
)


def offer() -> Catalogue:
    return read_xlsx(OFFER)


def sheets(content: bytes) -> dict[str, list[tuple[Any, ...]]]:
    """Return what openpyxl, which knows nothing of catalogues, reads from a workbook."""
    book = load_workbook(io.BytesIO(content))
    return {sheet.title: list(sheet.iter_rows(values_only=True)) for sheet in book}


def csv_rows(content: bytes, name: str) -> list[list[str]]:
    """Return what Python's reader of CSV reads from a file of an archive."""
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        text = packed.read(name).decode("utf-8-sig")
    return list(csv.reader(io.StringIO(text, newline="")))


@pytest.mark.parametrize("form", TableForm)
def test_the_example_comes_back_as_it_was(form: TableForm) -> None:
    assert read_table(write_table(spring(), form), form) == spring()


def test_every_list_has_a_sheet_with_a_frozen_header() -> None:
    book = load_workbook(io.BytesIO(write_table(spring(), TableForm.XLSX)))
    assert book.sheetnames == [table.name for table in TABLES]
    for table in TABLES:
        sheet = book[table.name]
        assert sheet.freeze_panes == "A2"
        assert [cell.value for cell in sheet[1]] == [column.header for column in table.columns]
        assert all(10 <= sheet.column_dimensions[c.column_letter].width <= 48 for c in sheet[1])


def test_prices_are_numbers_that_show_all_their_decimals() -> None:
    book = load_workbook(io.BytesIO(write_table(spring(), TableForm.XLSX)))
    cell = book["Stock lengths"]["E4"]
    assert (cell.value, cell.number_format, cell.data_type) == (15.1, "0.00", "n")
    cell = book["Price breaks"]["C4"]
    assert (cell.value, cell.number_format) == (2.375, "0.000")
    assert sheets(write_table(spring(), TableForm.XLSX))["Price breaks"][1:] == [
        ("LS-Z-084", 12, 10.6),
        ("LS-Z-084", 24, 9.95),
        ("LN-01", 40, 2.375),
    ]


def test_digits_are_written_without_the_noise_of_binary_fractions() -> None:
    with zipfile.ZipFile(io.BytesIO(write_table(spring(), TableForm.XLSX))) as packed:
        parts = [packed.read(name) for name in packed.namelist() if "worksheets" in name]
    # 9.95 is written as 9.949999999999999 where a float is formatted with 16 digits.
    assert any(b"<v>9.95</v>" in part for part in parts)


def test_csv_holds_what_another_reader_expects() -> None:
    content = write_table(spring(), TableForm.CSV)
    assert csv_rows(content, "standard-kit-pieces.csv") == [
        ["SKU", "Length", "Count"],
        ["LT-3068-Z", "82 in", "3"],
        ["LT-3068-Z", "38 in", "2"],
    ]
    assert csv_rows(content, "kit-discounts.csv")[1:3] == [
        ["LK-Z", "3", "8 %"],
        ["LK-Z", "20", "12.5 %"],
    ]
    assert csv_rows(content, "catalogue.csv")[1] == [
        "Larkmoor Strip & Seal", "USD", "25.00", "weight", "600.00",
    ]  # fmt: skip


def test_one_list_alone() -> None:
    text = write_table(spring(), TableForm.CSV, only="price breaks").decode("utf-8-sig")
    assert text.splitlines()[1] == "LS-Z-084,12,10.60"
    book = load_workbook(io.BytesIO(write_table(spring(), TableForm.XLSX, only="Over-length")))
    assert book.sheetnames == ["Over-length"]
    with pytest.raises(Problem, match=r"There is no list “prices”; name one of Catalogue, "):
        write_table(spring(), TableForm.CSV, only="prices")


FORMULA = '=HYPERLINK("http://example.invalid","x")'
RUNS = (FORMULA, "+1+1", "-1+1", "@SUM(A1)", "＝1+1")


@pytest.mark.parametrize("text", RUNS)
def test_no_text_is_run_as_a_formula(text: str) -> None:
    stock = offer().stock_lengths[0].model_copy(update={"product": text})
    catalogue = offer().model_copy(update={"stock_lengths": [stock]})
    content = write_table(catalogue, TableForm.XLSX)
    cell = load_workbook(io.BytesIO(content))["Stock lengths"]["B2"]
    assert (cell.value, cell.data_type) == (text, "s")
    # The mark by which a spreadsheet keeps it a text when it is edited.
    assert cell.quotePrefix
    assert read_table(content, TableForm.XLSX) == catalogue
    content = write_table(catalogue, TableForm.CSV)
    assert csv_rows(content, "stock-lengths.csv")[1][1] == f"'{text}"
    assert read_table(content, TableForm.CSV) == catalogue


def test_a_formula_in_a_file_is_read_by_its_value_or_refused() -> None:
    def put_formula(book: Workbook) -> None:
        book["Stock lengths"]["E2"] = "=10+1.48"

    with pytest.raises(Problem, match="is a formula whose value is not stored in the file"):
        read_xlsx(OFFER, put_formula)


def test_a_price_of_a_number_cell_is_exact() -> None:
    for price in ("42.13", "0.1", "9.95", "123456789.123456", "0.000001", "8.41"):
        read = read_xlsx(replaced("Stock lengths", 1, 4, float(price)))
        assert read.stock_lengths[0].price == price


def test_headers_are_known_in_any_case_and_spacing_and_columns_in_any_order() -> None:
    tables: Tables = {
        " CATALOGUE ": [(), ("currency", None, "SUPPLIER"), ("USD", None, "Larkmoor Strip & Seal")],
        "stock_lengths": [
            ("Price list, spring",),
            (),
            ("PRICE", "Article  no.", "finish", "LENGTH ", "product"),
            (),
            (11.48, "LS-Z-084", "zinc", "7 ft", "interlocking-strip"),
            (),
            ("12.95", "LS-Z-096", " zinc ", "8 ft", "interlocking-strip"),
            (None, "  "),
        ],
    }
    assert read_xlsx(tables) == offer()
    assert read_table(csv_archive(tables), TableForm.CSV) == offer()


def test_numbers_stored_as_text_and_texts_stored_as_numbers() -> None:
    tables: Tables = {
        **OFFER,
        "Stock lengths": [
            ("SKU", "Product", "Finish", "Length", "Price", "Available", "Least quantity"),
            (84120, "interlocking-strip", "zinc", "84", "11.48", "1,200", 2.0),
        ],
    }
    [stock] = read_xlsx(tables).stock_lengths
    assert (stock.sku, stock.length, stock.price) == ("84120", 84, "11.48")
    assert (stock.available, stock.least_quantity) == (1200, 2)


def test_formats_of_currency_and_per_cent_are_read_by_their_values() -> None:
    tables: Tables = {
        **OFFER,
        "Kits": [("SKU", "Product", "Finish", "Base price"), ("LK-Z", "strip", "zinc", 42.1)],
        "Kit discounts": [("SKU", "From quantity", "Percent"), ("LK-Z", 3, 0.075)],
    }

    def put_formats(book: Workbook) -> None:
        book["Kits"]["D2"].number_format = '_("$"* #,##0.00_);_("$"* \\(#,##0.00\\)'
        book["Kit discounts"]["C2"].number_format = "0.0%"

    [kit] = read_xlsx(tables, put_formats).kits
    assert kit.price.base == "42.10"
    assert kit.discounts[0].percent == Decimal("7.5")


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_and_delimiters_are_recognised(delimiter: str, encoding: str) -> None:
    tables = replaced("Stock lengths", 1, 2, "zinc, café")
    content = csv_archive(tables, delimiter=delimiter, encoding=encoding)
    assert read_table(content, TableForm.CSV).stock_lengths[0].finish == "zinc, café"


def test_decimal_commas_are_read_in_files_with_semicolons() -> None:
    tables = replaced("Stock lengths", 1, 4, "1.011,48")
    content = csv_archive(tables, delimiter=";")
    assert read_table(content, TableForm.CSV).stock_lengths[0].price == "1011.48"


def test_what_systems_add_to_an_archive_is_passed_over() -> None:
    files: dict[str, str | bytes] = {
        f"larkmoor/{name}.csv": csv_text(rows) for name, rows in OFFER.items()
    }
    added = {"__MACOSX/larkmoor/._Stock lengths.csv": b"\0", "larkmoor/.DS_Store": b"\0"}
    assert read_table(archive({**files, **added}), TableForm.CSV) == offer()


def test_a_hidden_sheet_that_is_no_list_is_passed_over() -> None:
    def hide(book: Workbook) -> None:
        book["Calculation"].sheet_state = "hidden"

    assert read_xlsx({**OFFER, "Calculation": [("margin",), (0.3,)]}, hide) == offer()


def test_the_names_of_a_table_s_columns_tell_them_apart() -> None:
    for table in TABLES:
        names = [fold(n) for c in table.columns for n in (c.header, *c.also)]
        assert len(names) == len(set(names)), table.name
    assert len({table.file for table in TABLES}) == len(TABLES)


def test_a_workbook_that_nobody_could_read_again_is_not_written() -> None:
    breaks = [{"from_quantity": n + 2, "price": "1"} for n in range(50)]
    stock = offer().stock_lengths[0].model_dump() | {"breaks": breaks}
    raw = offer().model_dump() | {
        "stock_lengths": [stock | {"sku": f"LS-{n}"} for n in range(2_100)]
    }
    large = Catalogue.model_validate(raw)
    with pytest.raises(Problem) as refused:
        write_table(large, TableForm.XLSX)
    assert [fault.message for fault in refused.value.faults] == [
        "Price breaks has 105,000 rows, and a sheet takes 99,999 below its header; write the "
        "catalogue as CSV.",
        "The catalogue fills 325,502 cells, and a workbook takes 300,000; write the catalogue as "
        "CSV.",
    ]
    assert read_table(write_table(large, TableForm.CSV), TableForm.CSV) == large


def test_a_repeated_sku_cannot_be_told_in_tables() -> None:
    stock = offer().stock_lengths[0]
    twice = offer().model_copy(update={"stock_lengths": [stock, stock]})
    with pytest.raises(Problem, match="SKU LS-Z-084 stands twice"):
        write_table(twice, TableForm.CSV)


def test_json_keeps_numbers_and_texts_apart() -> None:
    catalogue = read_catalogue(
        b'{"supplier": "L", "currency": "USD", "stock_lengths": [{"sku": "A", "product": "p", '
        b'"finish": "f", "length": 84.125, "price": "1.10"}, {"sku": "B", "product": "p", '
        b'"finish": "f", "length": "84.125", "price": "1.1"}]}'
    )
    lengths = [stock.length for stock in catalogue.stock_lengths]
    assert lengths == [Decimal("84.125"), "84.125"]
    for form in TableForm:
        assert read_table(write_table(catalogue, form), form) == catalogue


@pytest.mark.parametrize("length", [5_000, "1/127"])
def test_a_bare_number_is_taken_that_is_a_length_in_one_of_the_units(length: int | str) -> None:
    """5,000 in is above 100 m, and 1/127 mm is no whole number of nanometres."""
    assert read_xlsx(replaced("Stock lengths", 1, 3, length)).stock_lengths[0].length == length


@pytest.mark.parametrize("form", TableForm)
def test_a_number_of_more_digits_than_a_spreadsheet_keeps_comes_back_whole(form: TableForm) -> None:
    """It is written as a text of digits, which is read as a number."""
    raw = spring().model_dump()
    raw["kits"][0]["discounts"][0]["percent"] = Decimal("33.33333333333333333")
    catalogue = Catalogue.model_validate(raw)
    assert read_table(write_table(catalogue, form), form) == catalogue
