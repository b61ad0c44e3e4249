"""Documents as PDF, read back by pypdfium2: an independent reader of pages."""

import ctypes
import re
import sys
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

import pypdfium2
import pypdfium2.raw as raw
import pytest

from optimiser.domain.documents import Span, SpanKind
from optimiser.domain.publication import (
    BarDiagram,
    Block,
    Bullets,
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
    Paragraph,
    Publication,
    Table,
)
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.publishing.builders.matter import PlanMatter
from optimiser.publishing.forms.faults import FormNotInstalled
from optimiser.publishing.forms.pdf import write_pdf
from tests.every_term import every_term

MONEY = Column(name="amount", heading="Amount, USD", kind=ColumnKind.MONEY, currency="USD")


def document(name: str, **edition: object) -> Publication:
    example = every_term()
    matter = PlanMatter(plan=example.plan, order=example.order)
    return DOCUMENTS_OF_PLANS[name](matter, Edition(**edition))  # type: ignore[arg-type]


def of_blocks(*blocks: Block, title: str = "Sample", **edition: object) -> Publication:
    return Publication(
        kind="sample",
        title=title,
        subtitle="Harbour Row",
        blocks=blocks,
        edition=Edition(**edition),  # type: ignore[arg-type]
    )


def pages_of(content: bytes) -> Iterator[str]:
    with pypdfium2.PdfDocument(content) as pdf:
        for page in pdf:
            text = page.get_textpage().get_text_range()
            yield re.sub(r"[\s\u00a0]+", " ", text)


def said_of_drawings(content: bytes) -> Iterator[str]:
    """Yield the texts for those who do not see the drawings, from the tags of the first page."""
    with pypdfium2.PdfDocument(content) as pdf:
        page = pdf[0]
        tree = raw.FPDF_StructTree_GetForPage(page.raw)
        tops = [
            raw.FPDF_StructTree_GetChildAtIndex(tree, place)
            for place in range(raw.FPDF_StructTree_CountChildren(tree))
        ]
        for top in tops:
            yield from _said_below(top)
        raw.FPDF_StructTree_Close(tree)


def _said_below(element: Any) -> Iterator[str]:
    size = raw.FPDF_StructElement_GetAltText(element, None, 0)
    if size > 2:
        buffer = ctypes.create_string_buffer(size)
        raw.FPDF_StructElement_GetAltText(element, buffer, size)
        yield buffer.raw.decode("utf-16-le").rstrip("\0").replace("\u00a0", " ")
    for place in range(max(0, raw.FPDF_StructElement_CountChildren(element))):
        child = raw.FPDF_StructElement_GetChildAtIndex(element, place)
        if child:
            yield from _said_below(child)


@pytest.mark.parametrize(
    ("paper", "size"), [(Paper.A4, (595.28, 841.89)), (Paper.LETTER, (612, 792))]
)
def test_pages_have_the_size_of_their_paper_in_points(
    paper: Paper, size: tuple[float, float]
) -> None:
    # ISO 216: 210 × 297 mm; Letter: 8 1/2 × 11 in; 72 points to the inch.
    with pypdfium2.PdfDocument(write_pdf(document("purchase-list", paper=paper))) as pdf:
        assert pdf[0].get_size() == pytest.approx(size, abs=0.01)


@pytest.mark.parametrize("language", list(Language))
def test_a_purchase_list_holds_the_sums_of_the_plan(language: Language) -> None:
    text = " ".join(pages_of(write_pdf(document("purchase-list", language=language))))
    # By hand: 143.50 + 11.00 + 6.00, 192.06 + 5.00, and both.
    for line in ("To pay 160.50", "To pay 197.06", "Total to pay 357.56"):
        assert line in text
    assert every_term().plan.payable == Decimal("357.56")


@pytest.mark.parametrize("name", list(DOCUMENTS_OF_PLANS))
def test_every_document_is_tagged_and_the_same_bytes_each_time(name: str) -> None:
    publication = document(name, lengths=LengthsShown.BOTH)
    content = write_pdf(publication)
    assert content == write_pdf(publication)
    # PDF/UA-1 says so in the metadata (ISO 14289-1, 5); tags make a structure tree.
    assert b"<pdfuaid:part>1</pdfuaid:part>" in content
    assert b"/StructTreeRoot" in content
    assert b"/Marked true" in content


def test_pages_are_numbered_in_the_words_of_the_document() -> None:
    rows = tuple((f"row {number}", Decimal(number)) for number in range(60))
    table = Table(
        name="rows",
        caption="Rows",
        columns=(Column(name="what", heading="What"), MONEY),
        rows=rows,
        totals=(("in all", Decimal(1770)),),
    )
    pages = list(pages_of(write_pdf(of_blocks(table))))
    assert ["Sample Page 1 / 2" in pages[0], "Sample Page 2 / 2" in pages[1]] == [True, True]
    assert all("What Amount, USD" in page for page in pages)


@pytest.mark.parametrize("rows", range(40, 48))
def test_totals_never_stand_alone_on_a_page(rows: int) -> None:
    table = Table(
        name="rows",
        caption="Rows",
        columns=(Column(name="what", heading="What"), MONEY),
        rows=tuple(("stock length", Decimal(number)) for number in range(rows)),
        totals=(("goods", Decimal(1)), ("in all", Decimal(2))),
    )
    *_, last = pages_of(write_pdf(of_blocks(table)))
    assert "in all 2.00" in last
    assert last.count("stock length") >= 2


def test_what_looks_like_markup_is_text() -> None:
    said = "#strong[x] *a* _b_ $x$ = @c <d> \\ // `e` 1/2"
    (page,) = pages_of(write_pdf(of_blocks(Paragraph(said), Bullets((said,)), title=said)))
    assert page.count(said) == 4  # the title, the foot of the page, the paragraph, the item


def test_a_character_that_the_fonts_lack_does_not_spoil_the_document() -> None:
    content = write_pdf(of_blocks(Paragraph("Harbour Row 港町")))
    assert "Harbour Row" in "".join(pages_of(content))
    assert b"pdfuaid" not in content
    assert b"/StructTreeRoot" in content


def test_drawings_hold_their_texts_and_say_what_they_show() -> None:
    bar = BarDiagram(
        name="p-1",
        caption="Pattern P-1",
        stock_nm=1_000_000_000,
        spans=(
            Span(kind=SpanKind.PIECE, start_nm=0, end_nm=900_000_000),
            Span(kind=SpanKind.DROP, start_nm=900_000_000, end_nm=1_000_000_000),
        ),
        text="One piece of 900 mm.",
    )
    chart = Chart(
        name="money",
        caption="Where the money goes",
        kind=ChartKind.SHARES,
        across=Column(name="what", heading="What"),
        measure=MONEY,
        points=(("Kits", Decimal("30.00")), ("Packs", Decimal("10.00"))),
        text="Kits 75 %, packs 25 %.",
    )
    content = write_pdf(of_blocks(bar, chart, lengths=LengthsShown.MILLIMETRES))
    text = "".join(pages_of(content))
    for said in ("900 mm", "drop 100 mm", "$30.00 (75%)", "Where the money goes"):
        assert said in text
    assert list(said_of_drawings(content)) == ["One piece of 900 mm.", "Kits 75 %, packs 25 %."]


def test_labels_are_printed_as_often_as_they_are_wanted() -> None:
    labels = LabelSheet(labels=(PaperLabel(lines=("D-7", "head"), copies=5),))
    (page,) = pages_of(write_pdf(of_blocks(Heading(2, "Labels"), labels)))
    assert page.count("D-7 head") == 5


def test_without_typst_the_remedy_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "typst", None)
    with pytest.raises(FormNotInstalled) as refused:
        write_pdf(of_blocks(Paragraph("x")))
    assert str(refused.value) == (
        "Documents as PDF need typst (the extra pdf), which is not installed; add it with "
        "pip install typst, or uv run --with typst, or ask for another form."
    )
