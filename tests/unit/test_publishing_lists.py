"""Documents as workbooks and CSV files, read back by openpyxl and the csv module."""

import csv
import io
import zipfile
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from openpyxl import load_workbook

from optimiser.domain.documents import Span, SpanKind
from optimiser.domain.publication import (
    BarDiagram,
    Bullets,
    CautionBlock,
    Chart,
    ChartKind,
    Column,
    ColumnKind,
    Edition,
    Heading,
    LabelSheet,
    Language,
    LengthsShown,
    Paper,
    PaperLabel,
    Publication,
    Table,
)
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.publishing.builders.matter import PlanMatter
from optimiser.publishing.forms.csv_files import write_csv, write_csv_archive
from optimiser.publishing.forms.xlsx import write_xlsx
from tests.every_term import every_term

INCH = 25_400_000
MONEY = Column(name="amount", heading="Amount, USD", kind=ColumnKind.MONEY, currency="USD")
FORMULAS = ("=1+1", "+1", "-1", "@A1", "＝1+1", "'x", " blank")


def sample(**edition: object) -> Publication:
    return Publication(
        kind="sample",
        title="Sizes & sums",
        subtitle="Harbour Row",
        blocks=(
            Heading(2, "Doors"),
            Table(
                name="doors",
                caption="Doors: 36 in / 914 mm [all]",
                columns=(
                    Column(name="mark", heading="Mark"),
                    Column(name="count", heading="Qty", kind=ColumnKind.COUNT),
                    Column(name="width", heading="Width", kind=ColumnKind.LENGTH),
                    Column(name="share", heading="Share", kind=ColumnKind.PERCENT),
                    Column(name="due", heading="Due", kind=ColumnKind.DATE),
                    MONEY,
                ),
                rows=(
                    ("D-1", 1_040, 36 * INCH + INCH // 2, Decimal("12.5"), None, Decimal("0.1")),
                    ("D-2", 7, INCH // 64, None, date(2026, 11, 28), Decimal("1234567.125")),
                ),
                totals=(("in all", 1_047, None, None, None, Decimal("1234567.225")),),
            ),
            CautionBlock("Cautions", (("Measure first.", "common practice, no source"),)),
            Bullets(FORMULAS),
        ),
        edition=Edition(**edition),  # type: ignore[arg-type]
    )


def workbook_of(publication: Publication) -> Any:
    return load_workbook(io.BytesIO(write_xlsx(publication)))


def records_of(content: bytes) -> list[list[str]]:
    return list(csv.reader(io.StringIO(content.decode("utf-8-sig"), newline="")))


def files_of(publication: Publication) -> dict[str, list[list[str]]]:
    with zipfile.ZipFile(io.BytesIO(write_csv_archive(publication))) as archive:
        return {name: records_of(archive.read(name)) for name in archive.namelist()}


def test_numbers_are_numbers_with_formats_of_their_unit() -> None:
    sheet = workbook_of(sample())["Doors 36 in 914 mm all"]
    assert [cell.value for cell in sheet[1]] == [
        "Mark", "Qty", "Width, in", "Share", "Due", "Amount, USD",
    ]  # fmt: skip
    shown = [(cell.value, cell.number_format) for cell in sheet[2]]
    assert shown[1:4] == [(1040, "#,##0"), (36.5, "# ??/??"), (0.125, "#,##0.0%")]
    assert shown[5] == (0.1, "#,##0.000")
    assert sheet["C3"].value == 1 / 64
    assert (sheet["E3"].value.date(), sheet["E3"].number_format) == (
        date(2026, 11, 28),
        "[$-409]mmmm d, yyyy",
    )
    assert sheet["F4"].value == 1234567.225


def test_a_number_is_written_in_its_own_digits() -> None:
    with zipfile.ZipFile(io.BytesIO(write_xlsx(sample()))) as archive:
        sheet = archive.read("xl/worksheets/sheet1.xml").decode()
    assert "<v>0.10</v>" in sheet
    assert "<v>1234567.225</v>" in sheet


def test_lengths_in_both_units_stand_in_two_columns() -> None:
    sheet = workbook_of(sample(lengths=LengthsShown.BOTH)).worksheets[0]
    assert [cell.value for cell in sheet[1]][2:4] == ["Width, in", "Width, mm"]
    assert [cell.value for cell in sheet[2]][2:4] == [36.5, 927.1]


@pytest.mark.parametrize(("paper", "number"), [(Paper.A4, 9), (Paper.LETTER, 1)])
def test_a_sheet_prints_on_its_paper_with_its_header_on_every_page(
    paper: Paper, number: int
) -> None:
    sheet = workbook_of(sample(paper=paper)).worksheets[0]
    assert sheet.freeze_panes == "A2"
    assert sheet.print_title_rows == "$1:$1"
    assert sheet.print_area == "'Doors 36 in 914 mm all'!$A$1:$F$4"
    setup = sheet.page_setup
    assert (int(setup.paperSize), setup.fitToWidth, setup.fitToHeight) == (number, 1, 0)
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert "Sizes && sums" in sheet.oddHeader.left.text
    assert sheet.oddFooter.right.text == "Page &P / &N"


def test_a_text_is_never_a_formula() -> None:
    sheet = workbook_of(sample())["Notes"]
    notes = [cell for (cell,) in sheet.iter_rows(min_row=3, min_col=2, max_col=2)]
    assert [cell.value for cell in notes] == list(FORMULAS)
    assert {(cell.data_type, cell.quotePrefix) for cell in notes} == {("s", True)}
    notes_of_csv = files_of(sample())["notes.csv"]
    assert [record[1] for record in notes_of_csv[2:]] == [f"'{text}" for text in FORMULAS]


def test_a_caution_keeps_its_source() -> None:
    assert files_of(sample())["notes.csv"][:2] == [
        ["Under", "Note", "Source"],
        ["Cautions", "Measure first.", "common practice, no source"],
    ]


def test_lists_of_one_name_have_two_names() -> None:
    (table,) = sample().tables
    caption = "Bars of interlocking strip and zinc, long"
    twice = (replace(table, caption=caption), replace(table, caption=caption.upper()))
    names = workbook_of(replace(sample(), blocks=twice)).sheetnames
    assert list(files_of(replace(sample(), blocks=twice))) == ["doors.csv", "doors-2.csv"]
    assert names == ["Bars of interlocking strip and", "BARS OF INTERLOCKING STRIP (2)"]


def test_one_csv_file_holds_every_list_with_units_in_its_names() -> None:
    records = records_of(write_csv(sample(lengths=LengthsShown.MILLIMETRES)))
    assert records[0] == [
        "list", "record", "mark", "count", "width-mm", "share", "due", "amount-usd",
        "under", "note", "source",
    ]  # fmt: skip
    assert records[1][:8] == ["doors", "row", "D-1", "1040", "927.1", "12.5", "", "0.10"]
    assert records[2][:8] == ["doors", "row", "D-2", "7", "0.396875", "", "2026-11-28",
                              "1234567.125"]  # fmt: skip
    assert records[3][:3] == ["doors", "total", "in all"]
    assert {len(record) for record in records} == {11}


def test_drawings_and_labels_become_lists() -> None:
    publication = replace(
        sample(lengths=LengthsShown.MILLIMETRES),
        blocks=(
            BarDiagram(
                name="p-1",
                caption="Pattern P-1",
                stock_nm=1_000_000_000,
                spans=(
                    Span(kind=SpanKind.PIECE, start_nm=0, end_nm=900_000_000),
                    Span(kind=SpanKind.DROP, start_nm=900_000_000, end_nm=1_000_000_000),
                ),
                text="one piece of 900 mm, drop 100 mm",
            ),
            LabelSheet(
                labels=(
                    PaperLabel(lines=("D-1", "head"), copies=2),
                    PaperLabel(lines=("D-2",), copies=1),
                )
            ),
            Chart(
                name="flip",
                caption="Cost by price",
                kind=ChartKind.LINE,
                across=MONEY,
                measure=MONEY,
                points=((Decimal(1), Decimal(10)), (Decimal(2), Decimal(20))),
                text="The cost rises.",
                marked=((Decimal("1.50"), "the decision flips"),),
            ),
        ),
    )
    files = files_of(publication)
    assert files["flip.csv"][1:] == [["1.00", "10.00", ""], ["2.00", "20.00", ""],
                                     ["1.50", "", "the decision flips"]]  # fmt: skip
    assert files["bars.csv"][1:] == [
        ["Pattern P-1", "piece", "0", "900", "900"],
        ["Pattern P-1", "drop", "900", "1000", "100"],
    ]
    assert files["labels.csv"] == [["Copies", "Line 1", "Line 2"], ["2", "D-1", "head"],
                                   ["1", "D-2", ""]]  # fmt: skip


@pytest.mark.parametrize("write", [write_xlsx, write_csv, write_csv_archive])
@pytest.mark.parametrize("document", list(DOCUMENTS_OF_PLANS))
def test_the_same_document_gives_the_same_bytes(
    document: str, write: Callable[[Publication], bytes]
) -> None:
    example = every_term()
    matter = PlanMatter(plan=example.plan, order=example.order)
    first, second = (DOCUMENTS_OF_PLANS[document](matter, Edition()) for _ in range(2))
    assert write(first) == write(second)


@pytest.mark.parametrize("language", list(Language))
def test_the_sums_of_a_purchase_list_are_those_of_the_plan(language: Language) -> None:
    example = every_term()
    matter = PlanMatter(plan=example.plan, order=example.order)
    publication = DOCUMENTS_OF_PLANS["purchase-list"](matter, Edition(language=language))
    bought = [
        Decimal(str(row[4].value))
        for sheet in workbook_of(publication)
        if sheet.title.startswith("Order from")
        for row in sheet.iter_rows(min_row=2)
        if row[1].value
    ]
    lines = [record for record in records_of(write_csv(publication)) if record[1] == "row"]
    listed = [Decimal(r[6]) for r in lines if r[0].startswith("purchases-")]
    assert sum(bought) == sum(listed) == sum(s.goods for s in example.plan.shipments)
    paid = [Decimal(r[8]) for r in lines if r[0] == "to-pay"]
    # By hand: 143.50 + 11.00 + 6.00 and 192.06 + 5.00.
    assert (paid, sum(paid)) == ([Decimal("160.50"), Decimal("197.06")], example.plan.payable)
