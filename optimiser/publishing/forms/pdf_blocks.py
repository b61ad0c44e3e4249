"""The blocks of a publication as the data that the template of pages reads."""

from collections.abc import Iterator
from functools import singledispatchmethod
from typing import Any, Final
from xml.etree import ElementTree as ET

from optimiser.domain.publication import (
    BarDiagram,
    Block,
    Bullets,
    CautionBlock,
    Chart,
    ColumnKind,
    Heading,
    LabelSheet,
    Paragraph,
    Publication,
    Row,
    Table,
)
from optimiser.explain.document_words import word
from optimiser.publishing.figures import NUMERIC, write_cell
from optimiser.publishing.forms.svg import write_drawing
from optimiser.publishing.forms.svg_bar import draw_bar
from optimiser.publishing.forms.svg_chart import draw_chart
from optimiser.render.table import keep_figures_whole, make_printable

FACE: Final = "Libertinus Serif"
"""The face of pages and drawings, which Typst brings along."""

SHORT: Final = 16
"""Characters that a column of text may have to be as wide as they are."""
_LEAST_SHARE, _MOST_SHARE = 12, 60
"""Between what the widths of longer columns are shared out, in characters."""

Described = dict[str, Any]


def printable(text: str) -> str:
    """Return a text without control characters, whose figures stay on one line."""
    return keep_figures_whole(make_printable(text))


def describe_blocks(publication: Publication) -> Iterator[Described]:
    """Yield every block as values of JSON, its figures written as the edition says."""
    writer = _Describer(publication)
    for block in publication.blocks:
        yield writer.describe(block)


class _Describer:
    def __init__(self, publication: Publication) -> None:
        self.edition = publication.edition
        self.longest_nm = publication.longest_bar_nm
        self.level = 1
        self.headed = ""

    @singledispatchmethod
    def describe(self, block: Block) -> Described:
        """Return one block.

        Raises:
            TypeError: the block's class has no form.
        """
        raise TypeError(f"no page for {type(block).__name__}")

    @describe.register
    def _(self, block: Heading) -> Described:
        self.level, self.headed = block.level, block.text
        text = printable(block.text)
        return {"type": "heading", "level": block.level, "text": text, "new_page": block.new_page}

    @describe.register
    def _(self, block: Paragraph) -> Described:
        return {"type": "paragraph", "text": printable(block.text)}

    @describe.register
    def _(self, block: Bullets) -> Described:
        items = [printable(item) for item in block.items]
        return {"type": "bullets", "items": items, "numbered": block.numbered}

    @describe.register
    def _(self, block: CautionBlock) -> Described:
        language = self.edition.language
        cautions = [
            (printable(text), printable(word("forms.source", language, source=source)))
            for text, source in block.cautions
        ]
        heading = printable(block.heading)
        return {
            "type": "cautions",
            "level": self.level + 1,
            "heading": heading,
            "cautions": cautions,
        }

    @describe.register
    def _(self, block: Table) -> Described:
        head = [printable(column.heading) for column in block.columns]
        rows = [self._write_row(row, block) for row in block.rows]
        totals = [self._write_row(row, block) for row in block.totals]
        return {
            "type": "table",
            "caption": self._caption(block.caption),
            "head": head,
            "rows": rows,
            "totals": totals,
            "flush": [column.kind in NUMERIC for column in block.columns],
            "widths": list(_widths(block, [head, *rows, *totals])),
        }

    def _write_row(self, row: Row, table: Table) -> list[str]:
        cells = zip(row, table.columns, strict=True)
        return [printable(write_cell(cell, column, self.edition)) for cell, column in cells]

    @describe.register
    def _(self, block: LabelSheet) -> Described:
        labels = [
            [printable(line) for line in label.lines]
            for label in block.labels
            for _ in range(label.copies)
        ]
        return {"type": "labels", "labels": labels}

    @describe.register
    def _(self, block: BarDiagram) -> Described:
        drawing = draw_bar(block, self.longest_nm, self.edition)
        return self._describe_drawing(block, drawing)

    @describe.register
    def _(self, block: Chart) -> Described:
        return self._describe_drawing(block, draw_chart(block, self.edition))

    def _describe_drawing(self, block: BarDiagram | Chart, drawing: ET.Element) -> Described:
        drawing.set("font-family", FACE)
        return {
            "type": "drawing",
            "caption": self._caption(block.caption),
            "text": printable(block.text),
            "svg": write_drawing(drawing).decode(),
        }

    def _caption(self, caption: str) -> str | None:
        """Return what stands above a table or a drawing: not what the heading has just said."""
        return None if caption == self.headed else printable(caption)


def _widths(table: Table, lines: list[list[str]]) -> Iterator[int]:
    """Yield the share of the page's width that each column takes; 0 where it is as its texts.

    Where every column is short, those of text share out what is left.
    """
    longest = [max(len(line[place]) for line in lines) for place in range(len(table.columns))]
    texts = [place for place, column in enumerate(table.columns) if column.kind is ColumnKind.TEXT]
    long = {place for place in texts if longest[place] > SHORT} or set(texts)
    for place, length in enumerate(longest):
        yield min(max(length, _LEAST_SHARE), _MOST_SHARE) if place in long else 0
