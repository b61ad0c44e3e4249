"""A publication as plain text, for a terminal or a message: drawings are told in words."""

from collections.abc import Iterator

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
    Table,
)
from optimiser.explain.document_words import word
from optimiser.publishing.figures import NUMERIC, ROUNDED, write_cell
from optimiser.render.table import GUTTER, LINE_WIDTH, write_heading, write_item, write_table

LEAST_LAST = 20
"""Columns that the last one of a table needs for its text."""


def write_text(publication: Publication) -> bytes:
    """Return the publication as lines of plain text in UTF-8, at most 92 columns where they can."""
    text = "\n".join(_write(publication)) + "\n"
    if ROUNDED in text:
        note = word("forms.rounded", publication.language)
        text += "\n".join(("", *write_item(note, bullet=""))) + "\n"
    return text.encode()


def _write(publication: Publication) -> Iterator[str]:
    yield from write_item(publication.title, bullet="")
    if publication.subtitle:
        yield from write_item(publication.subtitle, bullet="")
    headed = ""
    for block in publication.blocks:
        if isinstance(block, Heading):
            headed = block.text
        if isinstance(block, Table):
            yield from _write_table(block, publication, headed)
        else:
            yield from _write_block(block, publication)


def _write_block(block: Block, publication: Publication) -> Iterator[str]:
    match block:
        case Heading(level=level, text=text):
            yield from write_heading(text) if level == 2 else ("", *write_item(text, bullet=""))
        case Paragraph(text=text):
            yield ""
            yield from write_item(text, bullet="")
        case Bullets(items=items, numbered=numbered):
            yield ""
            for number, item in enumerate(items, 1):
                yield from write_item(item, bullet=f"{number}. " if numbered else "- ")
        case CautionBlock(heading=heading, cautions=cautions):
            yield from ("", *write_item(heading, bullet=""))
            for text, source in cautions:
                said = word("forms.source", publication.language, source=source)
                yield from write_item(f"{text} {said}")
        case BarDiagram(text=text) | Chart(text=text):
            yield ""
            yield from write_item(text, bullet="")
        case LabelSheet(labels=labels):
            for label in labels:
                first, *others = label.lines
                yield ""
                yield from write_item(f"{label.copies:,} × {first}", bullet="")
                for line in others:
                    yield from write_item(line, bullet="    ")


def _write_table(table: Table, publication: Publication, headed: str) -> Iterator[str]:
    """Yield a table, with its caption unless it is `headed` the same.

    In one that is wider than a line the longest text comes last, where it can be broken; where
    that does not do, every row is an item.
    """
    rows = [
        [
            write_cell(cell, column, publication.edition)
            for column, cell in zip(table.columns, row, strict=True)
        ]
        for row in (*table.rows, *table.totals)
    ]
    order = list(range(len(table.columns)))
    longest = [max(map(len, cells)) for cells in zip(_heads(table), *rows, strict=True)]
    if sum(longest) + len(GUTTER) * (len(order) - 1) > LINE_WIDTH:
        texts = [at for at in order if table.columns[at].kind is ColumnKind.TEXT]
        order.sort(key=lambda at: at == max(texts, key=longest.__getitem__, default=None))
    yield ""
    if table.caption != headed:
        yield from write_item(table.caption, bullet="")
    last = min(longest[order[-1]], LEAST_LAST)
    if sum(longest[at] + len(GUTTER) for at in order[:-1]) + last > LINE_WIDTH:
        yield from (line for row in rows for line in write_item(_word_row(row, table)))
        return
    yield from write_table(
        [table.columns[at].heading for at in order],
        [[row[at] for at in order] for row in rows],
        right=frozenset(n for n, at in enumerate(order) if table.columns[at].kind in NUMERIC),
    )


def _word_row(row: list[str], table: Table) -> str:
    """Return a row as one line, each cell with the heading of its column."""
    heads = _heads(table)
    return "; ".join(f"{head}: {cell}" for head, cell in zip(heads, row, strict=True) if cell)


def _heads(table: Table) -> list[str]:
    return [column.heading for column in table.columns]
