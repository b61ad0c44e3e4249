"""Drawings of bars and charts: to scale, told apart without colour, no text on another."""

from decimal import Decimal
from fractions import Fraction
from xml.etree import ElementTree as ET

import pytest

from optimiser.domain.documents import Span, SpanKind
from optimiser.domain.publication import (
    BarDiagram,
    Chart,
    ChartKind,
    Column,
    ColumnKind,
    Edition,
    LengthsShown,
)
from optimiser.publishing.forms.svg import FONT, write_drawing
from optimiser.publishing.forms.svg_bar import draw_bar
from optimiser.publishing.forms.svg_chart import draw_chart
from optimiser.publishing.forms.svg_file import write_svg
from optimiser.publishing.forms.svg_line import round_step
from optimiser.units.lengths import NM_PER_INCH
from tests.publications import EXAMPLES, bars_of, publish

INCH = NM_PER_INCH
LETTER = 0.56
"""How wide a letter of a text face is at most on average, as a share of its size."""


def bar(*parts: tuple[SpanKind, int]) -> BarDiagram:
    spans, start = [], 0
    for kind, length_nm in parts:
        spans.append(Span(kind=kind, start_nm=start, end_nm=start + length_nm))
        start += length_nm
    return BarDiagram(name="b", caption="Bar", stock_nm=start, spans=tuple(spans), text="…")


def crowded(pieces: int) -> BarDiagram:
    """Return a bar of many lengths, longest first, of which the shorter ones have no room."""
    parts = [(SpanKind.TRIM, INCH // 4)]
    for number in range(pieces):
        parts += [(SpanKind.PIECE, (pieces - number + 1) * INCH), (SpanKind.KERF, INCH // 8)]
    return bar(*parts, (SpanKind.DROP, INCH), (SpanKind.TRIM, INCH // 4))


def boxes_of(drawing: ET.Element) -> list[tuple[float, float, str]]:
    """Return left side, width and fill of each box of the bar itself."""
    found = [box for box in drawing.findall("rect") if box.get("height") == "34"]
    return [(float(b.get("x", "")), float(b.get("width", "")), b.get("fill", "")) for b in found]


def test_bar_is_drawn_to_scale() -> None:
    """718 units for 96 in: 40 in are 299.17 wide, 55 1/2 in 415.09, and the cut is 3.74."""
    drawn = draw_bar(
        bar(
            (SpanKind.PIECE, 40 * INCH),
            (SpanKind.KERF, INCH // 2),
            (SpanKind.DROP, 111 * INCH // 2),
        ),
        96 * INCH,
        Edition(),
    )
    assert boxes_of(drawn) == [
        (1, 299.17, "#fff"),
        (300.17, 3.74, "#000"),
        (303.91, 415.09, "url(#b-drop)"),
    ]


def test_bars_of_one_document_share_a_scale() -> None:
    short = bar((SpanKind.PIECE, 48 * INCH))
    assert boxes_of(draw_bar(short, 96 * INCH, Edition())) == [(1, 359, "#fff")]


@pytest.mark.parametrize("pieces", range(1, 20, 3))
def test_no_text_lies_on_another_and_no_line_crosses_one(pieces: int) -> None:
    diagram = crowded(pieces)
    drawn = draw_bar(diagram, diagram.stock_nm, Edition())
    texts = []
    for text in drawn.findall("text"):
        wide = LETTER * FONT * len(text.text or "")
        x = float(text.get("x", ""))
        start = x - {"start": 0, "middle": wide / 2, "end": wide}[text.get("text-anchor", "")]
        texts.append((start, start + wide, float(text.get("y", ""))))
    for number, (start, end, foot) in enumerate(texts):
        assert start >= -1 and end <= 721
        for other_start, other_end, other_foot in texts[:number]:
            assert abs(foot - other_foot) >= FONT or end <= other_start or other_end <= start
    for line in drawn.findall("line"):
        x, deep = float(line.get("x1", "")), float(line.get("y2", ""))
        for start, end, foot in texts:
            assert foot - FONT + 1 >= deep or foot < 36 or not start + 1 < x < end - 1


def test_equal_pieces_without_room_are_told_together() -> None:
    parts = [(SpanKind.PIECE, 2 * INCH), (SpanKind.KERF, INCH // 8)] * 12
    drawn = draw_bar(bar(*parts), 96 * INCH, Edition())
    assert said(drawn) == ["12 × 2 in", "kerf 1/8 in at each cut"]


def test_drawing_is_named_and_told_in_words() -> None:
    drawing = ET.fromstring(write_drawing(draw_bar(crowded(3), 96 * INCH, Edition())))
    space = "{http://www.w3.org/2000/svg}"
    assert drawing.get("role") == "img"
    assert [drawing.findtext(space + tag) for tag in ("title", "desc")] == ["Bar", "…"]
    assert drawing.get("aria-labelledby") == "b-title b-text"


def chart(kind: ChartKind, *points: tuple[object, object]) -> ET.Element:
    drawn = Chart(
        name="c",
        caption="Cost by spacing",
        kind=kind,
        across=Column(name="spacing", heading="Spacing", kind=ColumnKind.COUNT),
        measure=Column(name="cost", heading="Cost", kind=ColumnKind.MONEY, currency="USD"),
        points=points,  # type: ignore[arg-type]
        text="…",
        marked=((2, "here"),),
    )
    return draw_chart(drawn, Edition())


def said(drawing: ET.Element) -> list[str]:
    return [(text.text or "").replace("\N{NO-BREAK SPACE}", " ") for text in drawing.iter("text")]


def test_shares_are_told_with_what_part_of_the_whole_they_are() -> None:
    drawing = chart(ChartKind.SHARES, ("Kits", Decimal("75.00")), ("Freight", Decimal("25.00")))
    assert said(drawing) == ["Kits", "$75.00 (75%)", "Freight", "$25.00 (25%)"]


def test_long_name_stands_in_lines_beside_its_bar() -> None:
    name = "No kits at all, everything cut from stock lengths at the bench"
    drawing = chart(ChartKind.BARS, (name, Decimal(10)), ("kits", Decimal(5)))
    assert said(drawing) == [
        "No kits at all, everything cut from",
        "stock lengths at the bench",
        "$10.00",
        "kits",
        "$5.00",
    ]
    first, second, bar, *_ = (float(text.get("y", "")) for text in drawing.iter("text"))
    assert (first + second) / 2 == pytest.approx(bar, abs=0.5)


def test_bars_below_zero_go_to_the_left() -> None:
    drawing = chart(ChartKind.BARS, ("dearer", Decimal(10)), ("cheaper", Decimal(-5)))
    boxes = [b for b in drawing.findall("rect") if b.get("height") == "14"]
    (right, left) = ((float(b.get("x", "")), float(b.get("width", ""))) for b in boxes)
    assert right[0] == pytest.approx(left[0] + left[1], abs=0.02)
    assert right[1] == pytest.approx(2 * left[1], abs=0.02)


def test_bar_without_a_number_is_named_and_says_why() -> None:
    assert said(chart(ChartKind.BARS, ("6 in", "no plan"), ("3 in", Decimal(10)))) == [
        "6 in",
        "no plan",
        "3 in",
        "$10.00",
    ]


def test_line_has_round_levels_and_marks_where_something_changes() -> None:
    points = [(1, Decimal(104)), (2, Decimal(110)), (3, Decimal(119)), (4, None)]
    drawing = chart(ChartKind.LINE, *points)
    assert said(drawing)[:4] == ["$100.00", "$105.00", "$110.00", "$115.00"]
    assert "here" in said(drawing)
    (line,) = drawing.findall("polyline")
    assert len(line.get("points", "").split()) == 3


def test_line_through_one_point_is_drawn() -> None:
    assert "$5.00" in said(chart(ChartKind.LINE, (1, Decimal(5))))


def line_of_prices(*marked: tuple[Decimal, str], prices: int = 14) -> list[str]:
    """Return what is said beside a line over prices of 40.00, 40.37 and so on."""
    line = Chart(
        name="c",
        caption="Cost by price",
        kind=ChartKind.LINE,
        across=Column(name="price", heading="Price", kind=ColumnKind.MONEY, currency="USD"),
        measure=Column(name="cost", heading="Cost", kind=ColumnKind.MONEY, currency="USD"),
        points=tuple(
            (Decimal(40) + Decimal("0.37") * number, Decimal(417 + number))
            for number in range(prices)
        ),
        text="…",
        marked=marked,
    )
    drawing = draw_chart(line, Edition())
    return [
        f"{text} {place.get('y')}" if marked else text
        for text, place in zip(said(drawing), drawing.iter("text"), strict=True)
    ]


def test_few_points_are_named_and_many_have_round_steps() -> None:
    assert line_of_prices(prices=4)[-6:-2] == ["$40.00", "$40.37", "$40.74", "$41.11"]
    assert line_of_prices()[-7:-2] == ["$40.00", "$41.00", "$42.00", "$43.00", "$44.00"]


def test_marks_that_would_meet_stand_in_rows_and_those_outside_are_left_out() -> None:
    told = line_of_prices(
        (Decimal("41.00"), "one kit more"),
        (Decimal("41.10"), "one kit less"),
        (Decimal("44.00"), "no kits"),
        (Decimal("99.00"), "far away"),
    )
    assert told[-3:] == ["one kit more 42", "one kit less 60", "no kits 42"]


@pytest.mark.parametrize(
    ("least", "kind", "lengths", "expected"),
    [
        ("1.4", ColumnKind.MONEY, LengthsShown.INCHES, "2"),
        ("0.03", ColumnKind.MONEY, LengthsShown.INCHES, "0.05"),
        ("0.03", ColumnKind.COUNT, LengthsShown.INCHES, "1"),
        # 0.3 in takes half an inch; 7.62 mm takes 10 mm.
        ("7620000", ColumnKind.LENGTH, LengthsShown.INCHES, "12700000"),
        ("7620000", ColumnKind.LENGTH, LengthsShown.MILLIMETRES, "10000000"),
    ],
)
def test_steps_of_an_axis_are_round(
    least: str, kind: ColumnKind, lengths: LengthsShown, expected: str
) -> None:
    column = Column(name="c", heading="C", kind=kind, currency="USD")
    step = round_step(Fraction(least), column, Edition(lengths=lengths))
    assert step == Fraction(expected)


def test_drawings_of_a_document_come_as_one_file() -> None:
    """Each stands below the one before it, so tall that none lies on another."""
    publication = publish("cutting-diagrams", EXAMPLES["small"])
    sheet = ET.fromstring(write_svg(publication))
    space = "{http://www.w3.org/2000/svg}"
    drawings = sheet.findall(f"{space}svg")
    bars = bars_of(publication)
    titles = [drawing.findtext(f"{space}title") or "" for drawing in drawings]
    assert [title.replace("\N{NO-BREAK SPACE}", " ") for title in titles] == [
        bar.caption for bar in bars
    ]
    tops = [Decimal(drawing.get("y", "")) for drawing in drawings]
    ends = [top + Decimal(d.get("height", "")) for top, d in zip(tops, drawings, strict=True)]
    assert all(end < top for end, top in zip(ends, tops[1:], strict=False))
    assert Decimal(sheet.get("viewBox", "").split()[3]) >= ends[-1]
    told = (sheet.findtext(f"{space}desc") or "").replace("\N{NO-BREAK SPACE}", " ")
    assert all(bar.text in told for bar in bars)
    named = [element.get("id") for element in sheet.iter() if element.get("id")]
    assert len(named) == len(set(named))


def test_document_without_drawings_is_its_title() -> None:
    nothing = publish("cutting-diagrams", EXAMPLES["ten doors"])
    sheet = ET.fromstring(write_svg(nothing))
    assert [text.text for text in sheet.iter("{http://www.w3.org/2000/svg}text")] == [
        "Cutting diagrams"
    ]
