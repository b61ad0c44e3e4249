"""Cutting diagrams, cut list and labels: as many pieces and as much strip as the plan has."""

import pytest

from optimiser.domain.documents import SpanKind
from optimiser.domain.publication import Edition, LabelSheet, LengthsShown, Paper
from optimiser.publishing.forms.lists import lists_of
from optimiser.units.lengths import NM_PER_INCH
from tests.publications import (
    EXAMPLES,
    bars_of,
    blocks_of,
    column,
    publish,
    table_of,
    tables_like,
)
from tests.ten_doors import Example

INCH = NM_PER_INCH
EACH = pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES.keys())


def total(cells: list[object]) -> int:
    return sum(cell for cell in cells if isinstance(cell, int))


@EACH
def test_strip_adds_up_to_that_of_the_plan(example: Example) -> None:
    plan = example.plan
    publication = publish("cutting-diagrams", example)
    if not plan.patterns:
        assert [type(block).__name__ for block in publication.blocks] == ["Paragraph"]
        return
    strip = table_of(publication, "strip")
    bars, stock, pieces, kerf, trim, drop = (
        total(list(column(strip, name)))
        for name in ("bars", "stock", "pieces", "kerf", "end-trim", "drop")
    )
    assert strip.totals[0][1:] == (bars, stock, pieces, kerf, trim, drop)
    assert bars == sum(sheet.bars for sheet in plan.patterns)
    assert stock == sum(sheet.bars * sheet.stock_nm for sheet in plan.patterns)
    assert stock == pieces + kerf + trim + drop
    assert pieces == sum(
        line.length_nm * line.pieces for opening in plan.openings for line in opening.cut_list
    )
    assert total(list(column(table_of(publication, "bars"), "bars"))) == bars


@EACH
def test_every_diagram_tells_in_words_what_it_draws(example: Example) -> None:
    for bar in bars_of(publish("cutting-diagrams", example)):
        assert sum(span.length_nm for span in bar.spans) == bar.stock_nm
        words = {
            SpanKind.PIECE: "piece",
            SpanKind.KERF: "cut",
            SpanKind.DROP: "drop",
            SpanKind.TRIM: "end trim",
        }
        told = bar.text.split(": ", 1)[1].split(", ")
        assert len(told) == len(bar.spans)
        for said, span in zip(told, bar.spans, strict=True):
            assert said.startswith(words[span.kind])


def test_diagram_in_words_can_be_checked_by_hand() -> None:
    """96 in − 2 × 1/4 in of end trim − 40 in − 30 in − 2 × 1/8 in of kerf = 25 1/4 in."""
    bars = bars_of(publish("cutting-diagrams", EXAMPLES["small"]))
    assert bars[0].text == (
        "A bar of 96 in. From its left end: end trim 1/4 in, piece 40 in, cut 1/8 in, "
        "piece 30 in, cut 1/8 in, drop 25 1/4 in, end trim 1/4 in."
    )


@EACH
def test_cut_list_has_every_piece_that_is_cut_once(example: Example) -> None:
    publication = publish("bench-cut-list", example)
    tables = list(tables_like(publication, "cuts-"))
    cut = [
        (row[0], row[1], str(row[2]).partition(", upper")[0].partition(", lower")[0])
        for table in tables
        for row in table.rows
    ]
    planned = [line for opening in example.plan.openings for line in opening.cut_list]
    assert [(pieces, nm) for pieces, nm, _ in cut] == [(x.pieces, x.length_nm) for x in planned]
    assert all(named.startswith(x.label) for (_, _, named), x in zip(cut, planned, strict=True))
    assert sum(total([table.totals[0][0]]) for table in tables) == sum(x.pieces for x in planned)


def test_what_a_standard_kit_holds_is_trimmed_on_site() -> None:
    (trims,) = tables_like(publish("bench-cut-list", EXAMPLES["every term"]), "trims-")
    assert set(zip(column(trims, "held"), column(trims, "length"), strict=True)) == {
        (84 * INCH, 80 * INCH),
        (40 * INCH, 36 * INCH),
    }


@EACH
@pytest.mark.parametrize(("paper", "on_one"), [(Paper.A4, 24), (Paper.LETTER, 21)])
def test_every_opening_and_every_piece_has_its_label(
    example: Example, paper: Paper, on_one: int
) -> None:
    publication = publish("labels", example, Edition(paper=paper))
    openings = sum(opening.takeoff.opening.quantity for opening in example.plan.openings)
    pieces = sum(line.pieces for opening in example.plan.openings for line in opening.cut_list)
    sheets = blocks_of(publication, LabelSheet)
    printed = [sum(label.copies for label in sheet.labels) for sheet in sheets]
    assert printed == [openings, pieces] if pieces else printed == [openings]
    assert table_of(publication, "labels").totals[0][1:] == (openings, pieces)
    for sheet in sheets:
        papers = list(sheet.sheets)
        assert sum(map(len, papers)) == sum(label.copies for label in sheet.labels)
        assert all(len(labels) == on_one for labels in papers[:-1])


def test_label_tells_mark_length_place_and_pattern() -> None:
    sheet = blocks_of(
        publish("labels", EXAMPLES["small"], Edition(lengths=LengthsShown.BOTH)), LabelSheet
    )[1]
    window = [label for label in sheet.labels if label.lines[0].startswith("W-1")]
    assert window[1].lines == (
        "W-1 jamb, frame member",
        "40 in (1016 mm)",
        "on the frame, interlocking-strip, bronze",
        "pattern P1: 4",
    )
    assert sum(label.copies for label in window) == 2 * 4


@EACH
@pytest.mark.parametrize(
    ("document", "name", "first"),
    [
        ("bench-cut-list", "cuts", "mark"),
        ("cutting-diagrams", "pieces", "pattern"),
        ("install-sheets", "pieces", "mark"),
    ],
)
def test_list_that_is_read_in_parts_is_one_list_to_a_program(
    example: Example, document: str, name: str, first: str
) -> None:
    publication = publish(document, example)
    parts = [t for t in publication.tables if t.part_of is not None and t.part_of.name == name]
    whole = [table for table in lists_of(publication) if table.name == name]
    assert len(whole) == (1 if parts else 0)
    for table in whole:
        assert [column.name for column in table.columns] == [
            first,
            *(column.name for column in parts[0].columns),
        ]
        assert [row[1:] for row in table.rows] == [row for part in parts for row in part.rows]
        assert table.totals == ()
        assert all(part.columns == parts[0].columns for part in parts)
