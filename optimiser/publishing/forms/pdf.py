"""A publication as PDF, set by Typst from one template, tagged for screen readers.

The template reads the publication as data. Its fonts are those that Typst brings along, and no
date goes into the file: the same publication gives the same bytes on every machine.
"""

import json
from functools import lru_cache
from importlib.resources import files
from typing import Final, Literal

from optimiser.domain.publication import Paper, Publication
from optimiser.explain.document_words import word
from optimiser.publishing.figures import ROUNDED
from optimiser.publishing.forms.faults import FormNotInstalled
from optimiser.publishing.forms.pdf_blocks import describe_blocks, printable

PDF_EXTRA: Final = "pdf"
"""The extra that brings Typst."""

_PAPERS: Final = {Paper.A4: "a4", Paper.LETTER: "us-letter"}
_ACCESSIBLE: Final[Literal["ua-1"]] = "ua-1"
"""PDF/UA-1 (ISO 14289-1): tagged, with a language, a title and texts for drawings."""


def write_pdf(publication: Publication) -> bytes:
    """Return the publication as PDF.

    It keeps to PDF/UA-1, unless it holds a character that the fonts lack: then a box stands in
    its place, and the file is tagged alone.

    Raises:
        FormNotInstalled: Typst is not installed.
    """
    try:
        import typst  # noqa: PLC0415
    except ImportError:
        raise FormNotInstalled(".pdf", package="typst", extra=PDF_EXTRA) from None
    data = {"publication": _describe(publication)}

    def set_pages(standards: list[Literal["ua-1"]]) -> bytes:
        return typst.compile(
            _read_template(),
            format="pdf",
            ignore_system_fonts=True,
            sys_inputs=data,
            pdf_standards=list(standards),
            timestamp=0,
        )

    try:
        return set_pages([_ACCESSIBLE])
    except typst.TypstError:
        return set_pages([])


def _describe(publication: Publication) -> str:
    language = publication.language
    blocks = list(describe_blocks(publication))
    described = {
        "title": printable(publication.title),
        "subtitle": printable(publication.subtitle),
        "language": language.split("-"),
        "paper": _PAPERS[publication.edition.paper],
        "page": word("forms.page", language),
        "blocks": blocks,
        "note": "",
    }
    text = json.dumps(described, ensure_ascii=False)
    if ROUNDED in text:
        described["note"] = word("forms.rounded", language)
        text = json.dumps(described, ensure_ascii=False)
    return text


@lru_cache(maxsize=1)
def _read_template() -> bytes:
    return files(__package__).joinpath("publication.typ").read_bytes()
