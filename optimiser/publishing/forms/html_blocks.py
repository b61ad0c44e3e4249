"""The blocks of a publication as elements of HTML."""

from functools import singledispatchmethod
from xml.etree import ElementTree as ET

from optimiser.domain.publication import (
    BarDiagram,
    Block,
    Bullets,
    CautionBlock,
    Cell,
    Chart,
    Column,
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
from optimiser.publishing.forms.html_text import add
from optimiser.publishing.forms.svg_bar import draw_bar
from optimiser.publishing.forms.svg_chart import draw_chart

SHORT = 16
"""Characters that the head of a row may have to stay on one line."""

VERY_SHORT = 8
"""Characters that any other cell may have to stay on one line."""

MANY = 4
"""Columns of lengths from which figures may stand in two lines, each unit in its own."""

FEW = 8
LONG = 80
"""Rows that a table may have to stay on one page, and characters of its longest text."""


def add_blocks(main: ET.Element, publication: Publication) -> None:
    """Add every block of a publication to the main element of its page."""
    writer = _BlockWriter(main, publication)
    for block in publication.blocks:
        writer.add(block)


class _BlockWriter:
    """Adds blocks, one below the other."""

    def __init__(self, main: ET.Element, publication: Publication) -> None:
        self.main = main
        self.publication = publication
        self.edition = publication.edition
        self.longest_nm = publication.longest_bar_nm
        self.level = 1
        self.headed = ""

    @singledispatchmethod
    def add(self, block: Block) -> None:
        """Add one block.

        Raises:
            TypeError: the block's class has no form.
        """
        raise TypeError(f"no HTML for {type(block).__name__}")

    @add.register
    def _(self, block: Heading) -> None:
        attributes = {"class": "new-page"} if block.new_page else {}
        add(self.main, f"h{block.level}", block.text, attributes)
        self.level, self.headed = block.level, block.text

    @add.register
    def _(self, block: Paragraph) -> None:
        add(self.main, "p", block.text)

    @add.register
    def _(self, block: Bullets) -> None:
        items = add(self.main, "ol" if block.numbered else "ul")
        for item in block.items:
            add(items, "li", item)

    @add.register
    def _(self, block: CautionBlock) -> None:
        section = add(self.main, "section", attributes={"class": "cautions"})
        add(section, f"h{self.level + 1}", block.heading)
        items = add(section, "ul")
        for text, source in block.cautions:
            item = add(items, "li", f"{text} ")
            said = word("forms.source", self.edition.language, source=source)
            add(item, "span", said, {"class": "source"})

    @add.register
    def _(self, block: Table) -> None:
        caption = f"{block.name}-caption"
        frame = add(
            self.main,
            "div",
            attributes={
                "class": "scroll few" if _is_small(block) else "scroll",
                "role": "region",
                "tabindex": "0",
                "aria-labelledby": caption,
            },
        )
        lengths = sum(column.kind is ColumnKind.LENGTH for column in block.columns)
        table = add(frame, "table", attributes={"class": "wide"} if lengths >= MANY else {})
        said = {"id": caption, **self._unless_headed(block.caption)}
        add(add(table, "caption"), "span", block.caption, said)
        heading = add(add(table, "thead"), "tr")
        for column in block.columns:
            add(heading, "th", column.heading, {"scope": "col", **_class_of(column)})
        self._add_rows(add(table, "tbody"), block, block.rows)
        if block.totals:
            self._add_rows(add(table, "tbody", attributes={"class": "totals"}), block, block.totals)

    def _unless_headed(self, caption: str) -> dict[str, str]:
        """Return what hides a caption from the eye where the heading above says the same."""
        return {"class": "unseen"} if caption == self.headed else {}

    def _add_rows(self, body: ET.Element, table: Table, rows: tuple[Row, ...]) -> None:
        """Add rows; the first cell of text in each heads its row."""
        for row in rows:
            line = add(body, "tr")
            headed = False
            for column, cell in zip(table.columns, row, strict=True):
                heads = not headed and column.kind is ColumnKind.TEXT and bool(cell)
                headed = headed or heads
                self._add_cell(line, column, cell, heads=heads)

    def _add_cell(self, line: ET.Element, column: Column, cell: Cell, *, heads: bool) -> None:
        text = write_cell(cell, column, self.edition)
        if heads:
            short = {"class": "short"} if len(text) <= SHORT else {}
            add(line, "th", text, {"scope": "row", **short})
        else:
            short = {"class": "short"} if 0 < len(text) <= VERY_SHORT else {}
            add(line, "td", text, {**short, **_class_of(column)})

    @add.register
    def _(self, block: BarDiagram) -> None:
        self._add_figure(block.caption, draw_bar(block, self.longest_nm, self.edition))

    @add.register
    def _(self, block: Chart) -> None:
        self._add_figure(block.caption, draw_chart(block, self.edition))

    def _add_figure(self, caption: str, drawing: ET.Element) -> None:
        figure = add(self.main, "figure")
        add(figure, "figcaption", caption, self._unless_headed(caption))
        frame = {"class": "scroll", "role": "region", "tabindex": "0", "aria-label": caption}
        add(figure, "div", attributes=frame).append(drawing)

    @add.register
    def _(self, block: LabelSheet) -> None:
        """Add a list for each sheet of paper; its grid holds on paper alone."""
        name = f"sheet-{block.columns}-{block.rows}"
        for sheet in block.sheets:
            labels = add(self.main, "ul", attributes={"class": f"labels {name}"})
            for label in sheet:
                item = add(labels, "li")
                first, *others = label.lines
                add(item, "strong", first)
                for line in others:
                    add(item, "span", line)


def _is_small(table: Table) -> bool:
    """Return whether a table is to stay on one page: a few rows of a line or two each."""
    long = any(isinstance(cell, str) and len(cell) > LONG for row in table.rows for cell in row)
    return len(table.rows) <= FEW and not long


def _class_of(column: Column) -> dict[str, str]:
    return {"class": "figure"} if column.kind in NUMERIC else {}
