"""Documents as a browser shows and prints them: nothing wider than its paper, heads repeated."""

import re

import pypdfium2
import pytest
from playwright.sync_api import Browser, Page

from optimiser.domain.publication import Edition, LengthsShown, Paper
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.publishing.forms.html import write_html
from tests.publications import EXAMPLES, publish

MM_PER_POINT = 25.4 / 72
SHEETS_MM = {Paper.A4: (210.0, 297.0), Paper.LETTER: (215.9, 279.4)}
"""ISO 216, and 8 1/2 × 11 in."""
BETWEEN_MARGINS_MM = 32.0
PIXELS_PER_MM = 96 / 25.4


def show(
    browser: Browser, document: str, paper: Paper, *, print_width: bool, example: str = "every term"
) -> Page:
    """Open a document in both units, as wide as its paper between the margins or as a phone."""
    width = (SHEETS_MM[paper][0] - BETWEEN_MARGINS_MM) * PIXELS_PER_MM if print_width else 390
    page = browser.new_page(viewport={"width": int(width), "height": 900})
    edition = Edition(paper=paper, lengths=LengthsShown.BOTH)
    page.set_content(write_html(publish(document, EXAMPLES[example], edition)).decode())
    return page


@pytest.mark.parametrize("document", list(DOCUMENTS_OF_PLANS))
@pytest.mark.parametrize("paper", list(Paper))
def test_nothing_is_wider_than_its_paper(browser: Browser, document: str, paper: Paper) -> None:
    """What is wider has the browser set every page smaller."""
    example = "small" if document == "cutting-diagrams" else "every term"
    page = show(browser, document, paper, print_width=True, example=example)
    page.emulate_media(media="print")
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    printed = pypdfium2.PdfDocument(page.pdf(prefer_css_page_size=True))
    page.close()
    assert wide <= 0
    assert [round(length * MM_PER_POINT, 0) for length in printed[0].get_size()] == [
        round(length, 0) for length in SHEETS_MM[paper]
    ]


@pytest.mark.parametrize("document", list(DOCUMENTS_OF_PLANS))
def test_on_a_phone_only_tables_and_drawings_are_scrolled(browser: Browser, document: str) -> None:
    page = show(browser, document, Paper.A4, print_width=False)
    wide = page.evaluate("document.documentElement.scrollWidth - innerWidth")
    page.close()
    assert wide <= 0


def test_head_of_a_table_stands_again_on_every_page_that_it_goes_on(browser: Browser) -> None:
    page = show(browser, "cutting-diagrams", Paper.A4, print_width=True)
    page.evaluate(
        """() => {
          const table = document.querySelector('table'), rows = table.tBodies[0];
          table.closest('.scroll').classList.remove('few');
          for (let n = 0; n < 120; n++) rows.append(rows.rows[0].cloneNode(true));
        }"""
    )
    printed = pypdfium2.PdfDocument(page.pdf(prefer_css_page_size=True))
    page.close()
    texts = [sheet.get_textpage().get_text_range() for sheet in printed]
    listed = [text for text in texts if len(re.findall("LS-84-Z", text)) > 20]
    assert len(listed) > 2
    assert all("Bars" in text and "Material" in text for text in listed)


def test_names_of_tables_and_drawings_are_told_to_those_who_cannot_see(browser: Browser) -> None:
    page = show(browser, "cutting-diagrams", Paper.A4, print_width=False)
    drawings = page.get_by_role("img")
    named = [
        drawings.nth(n).get_attribute("aria-labelledby") or "" for n in range(drawings.count())
    ]
    assert page.get_by_role("img", name=re.compile("Pattern P1: .* A bar of 84 in")).count() == 1
    assert page.get_by_role("table", name="Bars to pull").count() == 1
    assert page.get_by_role("columnheader", name="Material").count() > 0
    page.close()
    assert len(named) == len(set(named)) > 0
