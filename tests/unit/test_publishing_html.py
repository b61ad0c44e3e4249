"""Documents as pages: whole in themselves, in order, readable by everybody."""

import re

import pytest

from optimiser.domain.publication import (
    Bullets,
    CautionBlock,
    Column,
    ColumnKind,
    Edition,
    Heading,
    Language,
    LengthsShown,
    Paper,
    Paragraph,
    Publication,
    Table,
)
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.publishing.forms.html import write_html
from tests.every_term import every_term
from tests.pages import Element, faults_of, read_page
from tests.publications import publish

LEAST_CONTRAST = 4.5
"""WCAG 2.2, 1.4.3."""


def sample(**edition: object) -> Publication:
    return Publication(
        kind="sample",
        title="Strip & <seal>",
        subtitle="Harbour Row",
        blocks=(
            Heading(2, "Doors"),
            Table(
                name="doors",
                caption="Doors by size",
                columns=(
                    Column(name="count", heading="Qty", kind=ColumnKind.COUNT),
                    Column(name="mark", heading="Mark"),
                    Column(name="width", heading="Width", kind=ColumnKind.LENGTH),
                ),
                rows=((1_040, "D-1", 914_400_000), (None, None, 914_000_000)),
                totals=((1_040, "in all", None),),
            ),
            CautionBlock("Cautions", (("Measure first.", "common practice, no source"),)),
            Heading(2, "Next", new_page=True),
            Paragraph("3 × 80 1/2 in\x00of strip"),
            Bullets(("one", "two"), numbered=True),
        ),
        edition=Edition(**edition),  # type: ignore[arg-type]
    )


def page_of(publication: Publication) -> Element:
    return read_page(write_html(publication))


def test_text_is_text_whatever_it_holds() -> None:
    page = page_of(sample())
    assert [e.text for e in page.all("h1")] == ["Strip & <seal>"]
    assert page.all("title")[0].text == "Strip & <seal>: Harbour Row"
    assert "3 × 80 1/2 in of strip" in [e.text for e in page.all("p")]


def test_a_figure_is_never_broken_over_two_lines() -> None:
    assert "3\u00a0×\u00a080\u00a01/2\u00a0in".encode() in write_html(sample())


def test_rows_have_heads_and_figures_stand_flush_right() -> None:
    table = page_of(sample()).all("table")[0]
    assert [(e.text, e.attributes["scope"]) for e in table.all("th")] == [
        ("Qty", "col"),
        ("Mark", "col"),
        ("Width", "col"),
        ("D-1", "row"),
        ("in all", "row"),
    ]
    flush = [e.text for e in table.all("td") if e.attributes.get("class") == "figure"]
    assert flush == ["1,040", "36 in", "", "≈ 35 63/64 in", "1,040", ""]


def test_what_a_rounded_length_is_stands_below_where_one_is_shown() -> None:
    note = "≈ stands before a length that is rounded"
    assert note in page_of(sample()).text
    assert note not in page_of(sample(lengths=LengthsShown.MILLIMETRES)).text


@pytest.mark.parametrize(("paper", "size"), [(Paper.A4, "A4"), (Paper.LETTER, "letter")])
def test_the_sheet_is_the_one_that_is_asked_for(paper: Paper, size: str) -> None:
    assert f"@page {{ size: {size};" in page_of(sample(paper=paper)).all("style")[0].text


def test_caution_comes_with_its_source_below_the_heading_before_it() -> None:
    section = page_of(sample()).all("section")[0]
    assert [e.text for e in section.all("h3")] == ["Cautions"]
    assert section.all("li")[0].text == "Measure first. Source: common practice, no source."


@pytest.mark.parametrize("document", list(DOCUMENTS_OF_PLANS))
@pytest.mark.parametrize("language", list(Language))
@pytest.mark.parametrize("lengths", list(LengthsShown))
def test_every_document_can_be_read_by_everybody(
    document: str, language: Language, lengths: LengthsShown
) -> None:
    edition = Edition(language=language, lengths=lengths)
    page = page_of(publish(document, every_term(), edition))
    assert faults_of(page) == []
    assert page.all("html")[0].attributes["lang"] == language


def test_every_colour_of_text_stands_out_from_the_paper() -> None:
    style = page_of(sample()).all("style")[0].text
    colours = re.findall(r"(?<![-\w])(?:color|fill): (#[0-9a-f]{3,6})", style)
    assert colours
    assert min(contrast_to_white(colour) for colour in colours) >= LEAST_CONTRAST


def contrast_to_white(colour: str) -> float:
    """Return the contrast ratio by the formula of WCAG 2.2, relative luminance."""
    digits = colour[1:]
    if len(digits) == 3:
        digits = "".join(2 * digit for digit in digits)
    channels = [int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    luminance = 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]
    return 1.05 / (luminance + 0.05)


def test_table_of_many_lengths_may_break_them_between_their_units() -> None:
    """With both units it was wider than the paper, and the whole page was set smaller for it."""
    page = page_of(publish("cutting-diagrams", every_term(), Edition(lengths=LengthsShown.BOTH)))
    wide = [t for t in page.all("table") if t.attributes.get("class") == "wide"]
    assert [[head.text for head in table.all("thead")[0].all("th")] for table in wide] == [
        ["Pattern", "Bars", "Strip", "Pieces", "Kerf", "End trim", "Drops"]
    ]
