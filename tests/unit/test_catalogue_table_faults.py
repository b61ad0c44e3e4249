"""Faults planted in tables, one kind after the other: where, what was read, what would mend it."""

from collections.abc import Callable
from typing import Any

import pytest
from openpyxl import Workbook

from service.catalogues import TableForm
from tests.catalogue_files import (
    OFFER,
    Tables,
    csv_archive,
    find_faults,
    replaced,
    workbook,
)

STOCK = "Stock lengths"
Planted = tuple[str, Tables, str, str, str]


def with_table(name: str, *rows: tuple[Any, ...], of: Tables = OFFER) -> Tables:
    return {**of, name: rows}


def column(header: str, *cells: Any, of: str = STOCK) -> Tables:
    """Return the offer with a further column."""
    rows = [list(row) for row in OFFER[of]]
    for row, cell in zip(rows, (header, *cells), strict=False):
        row.append(cell)
    return {**OFFER, of: rows}


KIT = ("SKU", "Product", "Finish", "Base price")
LK = ("LK-Z", "interlocking-strip", "zinc", "4.50")
STANDARD = ("SKU", "Product", "Finish", "Price")
LT = ("LT-Z", "interlocking-strip", "zinc", "39.90")
PACKS = ("SKU", "Fastener", "Price", "Count per pack", "Weight of that count")
BREAKS = ("SKU", "From quantity", "Price")
BY_VALUE: Tables = {
    **OFFER,
    "Catalogue": [
        ("Supplier", "Currency", "Freight by"),
        ("Larkmoor Strip & Seal", "USD", "value"),
    ],
}

PLANTED: list[Planted] = [
    ("price with a currency sign", replaced(STOCK, 1, 4, "$11.48"),
     "/Stock lengths/rows/2/E", "not-an-amount",
     "Stock lengths, row 2, column E (Price): “$11.48” is not an amount of money; write digits and "
     "a decimal point, 0 or more, such as 12.40; the currency stands once, in the list Catalogue."),
    ("price below 0", replaced(STOCK, 2, 4, -12.95),
     "/Stock lengths/rows/3/E", "amount-negative",
     "Stock lengths, row 3, column E (Price): “-12.95” is below 0; write 0 or more."),
    ("price with too many decimals", replaced(STOCK, 1, 4, "11.4800001"),
     "/Stock lengths/rows/2/E", "too-many-decimals",
     "Stock lengths, row 2, column E (Price): “11.4800001” has 7 decimals, more than 6; round it "
     "to what is charged."),
    ("price too large", replaced(STOCK, 1, 4, 1234567890),
     "/Stock lengths/rows/2/E", "amount-too-large",
     "Stock lengths, row 2, column E (Price): “1234567890” has more than 9 digits before the "
     "point; check the amount."),
    ("price with two readings", replaced(STOCK, 1, 4, "11,480"),
     "/Stock lengths/rows/2/E", "two-readings",
     "Stock lengths, row 2, column E (Price): “11,480” can be read as 11480 and as 11.480; write a "
     "decimal point, no mark for thousands, and another number of decimals than three, or make "
     "the cell a number."),
    ("price blank", replaced(STOCK, 1, 4, None),
     "/Stock lengths/rows/2/E", "missing",
     "Stock lengths, row 2, column E (Price): is blank and is needed beside what stands in the "
     "row; fill it in."),
    ("no column for prices", {**OFFER, STOCK: [row[:4] for row in OFFER[STOCK]]},
     "/Stock lengths/rows/1", "missing-column",
     "Stock lengths, row 1: there is no column Price, and what is stated needs it; add it."),
    ("column misspelled", column("Least quantitty", 2),
     "/Stock lengths/rows/1/F", "unknown-column",
     "Stock lengths, row 1, column F: Stock lengths has no column “Least quantitty”; the nearest "
     "known is Least quantity: correct the name, or remove it."),
    ("column twice", column("unit price", 2),
     "/Stock lengths/rows/1/F", "repeated-column",
     "Stock lengths, row 1, column F: the column Price stands twice; keep one."),
    ("column without a header", column("", None, "see note"),
     "/Stock lengths/rows/3/F", "column-without-header",
     "Stock lengths, row 3, column F: the column holds something and has no header in row 1; name "
     "it there, or clear it."),
    ("length that is none", replaced(STOCK, 1, 3, "about 7 ft"),
     "/Stock lengths/rows/2/D", "unreadable-length",
     "Stock lengths, row 2, column D (Length): “about 7 ft” is not a length; write a number with "
     "an optional unit, such as 36 1/2 in, 3'-0\", 914.4 mm or 0.9144 m."),
    ("length beyond the limit", replaced(STOCK, 1, 3, 100_001),
     "/Stock lengths/rows/2/D", "out-of-range",
     "Stock lengths, row 2, column D (Length): 100001 is above the limit, 100,000; check the "
     "number and the order's unit."),
    ("SKU of another form", replaced(STOCK, 1, 0, "LS*84"),
     "/Stock lengths/rows/2/A", "wrong-form",
     "Stock lengths, row 2, column A (SKU): \"LS*84\" does not have the form that is asked for; "
     "send a text that matches "
     "^[A-Za-z0-9]([A-Za-z0-9 ._/+#-]{0,62}[A-Za-z0-9._/+#-])?$."),
    ("SKU twice", replaced(STOCK, 2, 0, "LS-Z-084"),
     "/Stock lengths/rows/3/A", "repeated-sku",
     "Stock lengths, row 3, column A (SKU): SKU LS-Z-084 stands twice, first in Stock lengths, "
     "row 2, column A (SKU); a SKU names one article: remove one, or give it its own SKU."),
    ("count that is none", column("Available", 2.5),
     "/Stock lengths/rows/2/F", "not-a-whole-number",
     "Stock lengths, row 2, column F (Available): “2.5” is not a whole number; write one, such "
     "as 12."),
    ("count out of range", column("Least quantity", 0),
     "/Stock lengths/rows/2/F", "out-of-range",
     "Stock lengths, row 2, column F (Least quantity): 0 is too low; send 1 or more."),
    ("word that is no choice", column("Price breaks apply to", "each"),
     "/Stock lengths/rows/2/F", "not-one-of",
     "Stock lengths, row 2, column F (Price breaks apply to): “each” is not known; write "
     "all-units or incremental."),
    ("weight without its unit", column("Unit weight", 18),
     "/Stock lengths/rows/2/F", "unreadable-mass",
     "Stock lengths, row 2, column F (Unit weight): “18” is not a mass; write a number with its "
     "unit: oz, lb, g or kg."),
    ("currency that is none", replaced("Catalogue", 1, 1, "USX"),
     "/Catalogue/rows/2/B", "unknown-currency",
     "Catalogue, row 2, column B (Currency): Currency 'USX' is not an ISO 4217 code; give three "
     "capital letters, such as USD."),
    ("no catalogue", {STOCK: OFFER[STOCK]}, "", "no-catalogue",
     "The file has no sheet Catalogue, which states the supplier and the currency; add it."),
    ("a second supplier", {**OFFER, "Catalogue": [*OFFER["Catalogue"], ("Trade Counter", "USD")]},
     "/Catalogue/rows/3", "second-row",
     "Catalogue, row 3: a catalogue is of one supplier and has one row here; remove this one, and "
     "send a file for each supplier."),
    ("sheet misspelled", with_table("Price brakes", BREAKS, ("LS-Z-084", 12, 10.6)),
     "/Price brakes", "unknown-sheet",
     "Sheet “Price brakes” is no list of a catalogue; the nearest known is Price breaks: correct "
     "the name, or remove it or hide it."),
    ("list twice", with_table("stock-lengths", *OFFER[STOCK]),
     "/stock-lengths", "repeated-sheet",
     "Sheet “stock-lengths” is Stock lengths once more; keep one."),
    ("breaks of no article", with_table("Price breaks", BREAKS, ("LS-Z-84", 12, 10.6)),
     "/Price breaks/rows/2/A", "unknown-sku",
     "Price breaks, row 2, column A (SKU): “LS-Z-84” is not the SKU of an article in Stock lengths "
     "or Fastener packs or Standard kits; the nearest known is LS-Z-084: correct the name, or "
     "remove it."),
    ("breaks of a kit", with_table("Price breaks", BREAKS, ("LK-Z", 12, 10.6),
                                   of=with_table("Kits", KIT, LK)),
     "/Price breaks/rows/2/A", "unknown-sku",
     "Price breaks, row 2, column A (SKU): “LK-Z” stands in Kits, and Price breaks are of Stock "
     "lengths or Fastener packs or Standard kits; correct the SKU, or remove the row."),
    ("breaks without SKU", with_table("Price breaks", BREAKS, (None, 12, 10.6)),
     "/Price breaks/rows/2/A", "missing",
     "Price breaks, row 2, column A (SKU): is blank; write the SKU in every row, also below a "
     "merged cell."),
    ("breaks that fall", with_table("Price breaks", BREAKS, ("LS-Z-084", 24, 9.95),
                                    ("LS-Z-084", 12, 10.6)),
     "/Price breaks/rows/3/B", "breaks-not-rising",
     "Price breaks, row 3, column B (From quantity): SKU LS-Z-084: breaks begin at 12, not above "
     "24; give quantities above 1 that rise."),
    ("discount above 100 %", with_table("Kit discounts", ("SKU", "From quantity", "Percent"),
                                        ("LK-Z", 3, 101), of=with_table("Kits", KIT, LK)),
     "/Kit discounts/rows/2/C", "out-of-range",
     "Kit discounts, row 2, column C (Percent): 101 is out of range; send a number from 0 to 100, "
     "or a text such as '5'."),
    ("discount in words", with_table("Kit discounts", ("SKU", "From quantity", "Percent"),
                                     ("LK-Z", 3, "five"), of=with_table("Kits", KIT, LK)),
     "/Kit discounts/rows/2/C", "not-a-percentage",
     "Kit discounts, row 2, column C (Percent): “five” is not a percentage; write one, such as 5 "
     "or 2.5 %."),
    ("price per length without the length",
     with_table("Kits", (*KIT, "Price per length"), (*LK, 1.38)),
     "/Kits/rows/1", "missing-column",
     "Kits, row 1: there is no column Length of that price, and what is stated needs it; add it."),
    ("contents by count and by weight",
     with_table("Fastener packs", PACKS, ("LN-01", "strip-nail", 2.85, 65, "1 lb")),
     "/Fastener packs/rows/2/E", "unknown-member",
     "Fastener packs, row 2, column E (Weight of that count): does not go with what else stands in "
     "the row or is said of it; clear this cell or the others."),
    ("standard kit without pieces", with_table("Standard kits", STANDARD, LT),
     "/Standard kits/rows/2", "number-of-entries",
     "Standard kits, row 2: the kit has no row in Standard kit pieces; add a row for each of its "
     "lengths."),
    ("tiers of no freight",
     with_table("Freight tiers", ("From value", "Charge"), ("0", 12)),
     "/Catalogue/rows/1", "missing-column",
     "Catalogue, row 1: there is no column Freight by, and what is stated needs it; add it."),
    ("tiers that begin above 0",
     with_table("Freight tiers", ("From value", "Charge"), (50, 12), of=BY_VALUE),
     "/Freight tiers", "tiers-not-rising",
     "Freight tiers: Larkmoor Strip & Seal: the tiers of freight begin at 50; give at least one, "
     "the first from 0 on, each above the one before."),
    ("freight without tiers", BY_VALUE, "/Catalogue/rows/2/C", "missing",
     "Catalogue, row 2, column C (Freight by): freight is stated, and Freight tiers has no row; "
     "add one, from 0 on."),
    ("a cell of endless text", replaced(STOCK, 1, 1, "x" * 2_001),
     "/Stock lengths/rows/2/B", "cell-too-long",
     f"Stock lengths, row 2, column B (Product): “{'x' * 60}…” has 2,001 characters, more than "
     "2,000; shorten it."),
]  # fmt: skip


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted[0])
def test_a_planted_fault_is_told_where_it_stands(planted: Planted) -> None:
    _, tables, pointer, code, message = planted
    [fault] = find_faults(workbook(tables))
    assert (fault.code, fault.message) == (code, message)
    assert "/".join(["", *map(str, fault.path[1:])]) == pointer


@pytest.mark.parametrize("planted", PLANTED, ids=lambda planted: planted[0])
def test_the_same_is_told_of_csv(planted: Planted) -> None:
    _, tables, _, code, _ = planted
    assert [fault.code for fault in find_faults(csv_archive(tables), TableForm.CSV)] == [code]


def test_all_faults_are_told_at_once_and_no_cell_twice() -> None:
    tables: Tables = {
        "Catalogue": [("Supplier", "Currency", "Least order"), ("Larkmoor", "USX", "-5")],
        STOCK: [
            ("SKU", "Product", "Finish", "Length", "Price", "Colour"),
            ("LS-Z-084", "strip", "zinc", "7 ft", "n/a", "grey"),
            ("LS-Z-096", "strip", None, "8x", 12.95, None),
        ],
        "Price breaks": [BREAKS, ("LS-Z-999", "twelve", 1)],
    }
    assert [(f.path, f.code) for f in find_faults(workbook(tables))] == [
        (("sheets", "Catalogue", "rows", 2, "B"), "unknown-currency"),
        (("sheets", "Catalogue", "rows", 2, "C"), "amount-negative"),
        (("sheets", STOCK, "rows", 1, "F"), "unknown-column"),
        (("sheets", STOCK, "rows", 2, "E"), "not-an-amount"),
        (("sheets", STOCK, "rows", 3, "C"), "missing"),
        (("sheets", STOCK, "rows", 3, "D"), "unreadable-length"),
        (("sheets", "Price breaks", "rows", 2, "A"), "unknown-sku"),
    ]


def set_cell(value: Any, number_format: str = "General") -> Callable[[Workbook], None]:
    def change(book: Workbook) -> None:
        book[STOCK]["E2"] = value
        book[STOCK]["E2"].number_format = number_format

    return change


@pytest.mark.parametrize(
    ("change", "code", "problem"),
    [
        (set_cell(11.485, "0.00"), "amount-shown-rounded", "is shown as 11.49"),
        (set_cell(0.115, "0.0%"), "amount-as-percentage", "is shown as a percentage"),
        (set_cell(1e60), "number-out-of-range", "is a number out of all proportion"),
        (set_cell("#N/A"), "cell-is-error", "is an error of the spreadsheet"),
        (set_cell(45_000, "yyyy-mm-dd"), "cell-is-date", "is a date"),
        (set_cell("=1+"), "formula-without-value", "whose value is not stored"),
    ],
)
def test_a_cell_that_a_spreadsheet_made_something_of_is_refused(
    change: Callable[[Workbook], None], code: str, problem: str
) -> None:
    [fault] = find_faults(workbook(OFFER, change))
    assert fault.code == code
    assert problem in fault.message
    assert fault.path == ("sheets", STOCK, "rows", 2, "E")
