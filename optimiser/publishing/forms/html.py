"""A publication as one page of HTML that needs nothing beside it, on the screen and on paper."""

from functools import lru_cache
from importlib.resources import files
from xml.etree import ElementTree as ET

from optimiser.domain.publication import LabelSheet, Paper, Publication
from optimiser.explain.document_words import word
from optimiser.publishing.figures import ROUNDED
from optimiser.publishing.forms.html_blocks import add_blocks
from optimiser.publishing.forms.html_text import add

_SHEETS = {Paper.A4: ("A4", 297 - 40), Paper.LETTER: ("letter", 279 - 40)}
"""The papers' names in CSS (CSS Paged Media Module Level 3, section 7.1), and what height is left
between the margins, in millimetres."""


def write_html(publication: Publication) -> bytes:
    """Return the publication as a page of HTML in UTF-8, with its style and drawings inside."""
    page = ET.Element("html", {"lang": publication.language})
    _add_head(page, publication)
    main = add(add(page, "body"), "main")
    header = add(main, "header")
    add(header, "h1", publication.title)
    if publication.subtitle:
        add(header, "p", publication.subtitle, {"class": "subtitle"})
    add_blocks(main, publication)
    text = ET.tostring(page, encoding="unicode", method="html")
    if ROUNDED in text:
        add(main, "p", word("forms.rounded", publication.language), {"class": "note"})
        text = ET.tostring(page, encoding="unicode", method="html")
    return f"<!DOCTYPE html>\n{text}\n".encode()


def _add_head(page: ET.Element, publication: Publication) -> None:
    head = add(page, "head")
    add(head, "meta", attributes={"charset": "utf-8"})
    add(
        head,
        "meta",
        attributes={"name": "viewport", "content": "width=device-width, initial-scale=1"},
    )
    add(head, "title", title_of(publication))
    # Markup inside a style element is not read as markup: the sheet is put there as it is.
    ET.SubElement(head, "style").text = _read_style() + _page_rule(publication)


def title_of(publication: Publication) -> str:
    """Return the title with the subtitle, for a window or a file."""
    return ": ".join(part for part in (publication.title, publication.subtitle) if part)


def _page_rule(publication: Publication) -> str:
    """Return the rule of the printed sheet: its size, its margins, the number at its foot."""
    label = word("forms.page", publication.language)
    name, height_mm = _SHEETS[publication.edition.paper]
    grids = {(b.columns, b.rows) for b in publication.blocks if isinstance(b, LabelSheet)}
    return "".join(
        f"@media print {{ .sheet-{columns}-{rows} {{ grid-template-columns: repeat({columns}, 1fr);"
        f" grid-auto-rows: calc({height_mm}mm / {rows}); }} }}\n"
        for columns, rows in sorted(grids)
    ) + (
        f"@page {{ size: {name}; margin: 18mm 16mm 20mm; "
        f'@bottom-right {{ content: "{label} " counter(page) " / " counter(pages); '
        "font: 9pt Georgia, serif; } }\n"
    )


@lru_cache(maxsize=1)
def _read_style() -> str:
    return files(__package__).joinpath("style.css").read_text(encoding="utf-8")
