"""A cutting diagram as a drawing to scale, told apart without colour.

Pieces are white, the drop is hatched, end trim is grey, a cut is black. A length stands inside
its piece where there is room, else below it with a line that leads there.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import count, groupby
from typing import Final
from xml.etree import ElementTree as ET

from optimiser.domain.documents import Span, SpanKind
from optimiser.domain.publication import BarDiagram, Edition
from optimiser.explain.document_words import word
from optimiser.publishing.figures import write_length
from optimiser.publishing.forms.svg import (
    FONT,
    INK,
    WIDTH,
    add_box,
    add_hatching,
    add_line,
    add_text,
    begin_drawing,
    width_of,
)

TOP: Final = 2
BAR: Final = 34
LANE: Final = 18
PAD: Final = 8
THINNEST_CUT: Final = Fraction(3, 2)
"""A cut is drawn this wide at least, so that it is seen."""

_FILLS: Final = {
    SpanKind.KERF: {"fill": "#000"},
    SpanKind.TRIM: {**INK, "fill": "#8c8c8c"},
    SpanKind.PIECE: {**INK, "fill": "#fff"},
    SpanKind.DROP: INK,
}


@dataclass(frozen=True, slots=True)
class _Note:
    """A text below the bar, from `start` to `end` at most, and the place that it speaks of."""

    at: Fraction
    text: str
    start: Fraction
    lane: int

    @property
    def end(self) -> Fraction:
        """Return where the text ends at the latest."""
        return self.start + width_of(self.text)

    @property
    def anchor(self) -> tuple[str, Fraction]:
        """Return which part of the text is held in its place: the one nearest the line."""
        middle = (self.start + self.end) / 2
        if abs(middle - self.at) < 1:
            return "middle", middle
        return ("end", self.end) if middle < self.at else ("start", self.start)


def draw_bar(diagram: BarDiagram, longest_nm: int, edition: Edition) -> ET.Element:
    """Return a bar; `longest_nm` takes the whole width, so that bars can be compared."""
    scale = Fraction(WIDTH - 2, longest_nm)
    notes = list(_place_notes(diagram, scale, edition))
    legend = list(_legend(diagram, edition))
    lanes = max((note.lane + 1 for note in notes), default=0)
    foot = TOP + BAR + LANE * (lanes + bool(legend)) + 6
    drawing = begin_drawing(diagram.name, diagram.caption, diagram.text, foot)
    hatching = add_hatching(drawing, f"{diagram.name}-drop")
    for span in diagram.spans:
        _draw_span(drawing, span, scale, hatching)
    for text, middle in _inside(diagram, scale, edition):
        add_text(drawing, middle, TOP + Fraction(BAR + FONT - 4, 2), text, "middle")
    for note in notes:
        level = TOP + BAR + LANE * (note.lane + 1)
        add_line(drawing, (note.at, TOP + BAR), (note.at, level - FONT + 1))
        anchor, place = note.anchor
        add_text(drawing, place, level, note.text, anchor)
    place, level = Fraction(1), TOP + BAR + LANE * (lanes + 1)
    for kind, text in legend:
        wide = 2 if kind is SpanKind.KERF else FONT
        add_box(drawing, (place, level - FONT + 2), (wide, FONT), _FILLS[kind])
        add_text(drawing, place + wide + 6, level, text)
        place += wide + 6 + width_of(text) + 2 * PAD
    return drawing


def _legend(diagram: BarDiagram, edition: Edition) -> Iterator[tuple[SpanKind, str]]:
    """Yield what each cut takes, and what is trimmed off the ends."""
    for kind in (SpanKind.KERF, SpanKind.TRIM):
        widest_nm = max((s.length_nm for s in diagram.spans if s.kind is kind), default=0)
        if widest_nm:
            length = write_length(widest_nm, edition.lengths)
            yield kind, word(f"forms.{kind}", edition.language, length=length)


def _draw_span(drawing: ET.Element, span: Span, scale: Fraction, hatching: str) -> None:
    start, width = 1 + span.start_nm * scale, span.length_nm * scale
    if span.kind is SpanKind.KERF:
        drawn = max(width, THINNEST_CUT)
        corner = (start - (drawn - width) / 2, TOP)
        add_box(drawing, corner, (drawn, BAR), _FILLS[span.kind])
    else:
        fill = {"fill": hatching} if span.kind is SpanKind.DROP else {}
        add_box(drawing, (start, TOP), (width, BAR), {**_FILLS[span.kind], **fill})


def _fits(span: Span, text: str, scale: Fraction) -> bool:
    return width_of(text) + PAD <= span.length_nm * scale


def _inside(
    diagram: BarDiagram, scale: Fraction, edition: Edition
) -> Iterator[tuple[str, Fraction]]:
    """Yield the lengths that stand inside their pieces, and the middle of each."""
    for span in diagram.spans:
        text = write_length(span.length_nm, edition.lengths)
        if span.kind is SpanKind.PIECE and _fits(span, text, scale):
            yield text, 1 + Fraction(span.start_nm + span.end_nm, 2) * scale


def _place_notes(diagram: BarDiagram, scale: Fraction, edition: Edition) -> Iterator[_Note]:
    """Yield the texts below the bar: none meets another, and no line crosses one."""
    told = [(text, 1 + middle_nm * scale) for text, middle_nm in _below(diagram, scale, edition)]
    placed: list[_Note] = []
    for position, (text, at) in enumerate(told):
        wide = width_of(text)
        start = min(at - wide / 2, WIDTH - wide)
        if position + 1 < len(told):
            # The line of the next one comes down beside it.
            start = min(start, told[position + 1][1] - 4 - wide)
        start = max(start, Fraction(0))
        lane = next(lane for lane in count() if _is_free(lane, start, placed))
        placed.append(_Note(at, text, start, lane))
    yield from placed


def _is_free(lane: int, start: Fraction, placed: list[_Note]) -> bool:
    """Return whether a text may begin there: clear of texts, and of lines that go deeper."""
    return all(
        note.end + PAD <= start if note.lane == lane else note.lane < lane or note.at + 4 <= start
        for note in placed
    )


def _below(
    diagram: BarDiagram, scale: Fraction, edition: Edition
) -> Iterator[tuple[str, Fraction]]:
    """Yield what stands below the bar with its place: the drop, and pieces without room inside.

    Equal pieces side by side are told together: `5 × 4 in`.
    """
    spans = [span for span in diagram.spans if span.kind in {SpanKind.PIECE, SpanKind.DROP}]
    for (kind, length_nm), group in groupby(spans, key=lambda s: (s.kind, s.length_nm)):
        alike = list(group)
        length = write_length(length_nm, edition.lengths)
        if kind is SpanKind.PIECE:
            if _fits(alike[0], length, scale):
                continue
            text = length if len(alike) == 1 else f"{len(alike)} × {length}"
        else:
            text = word("forms.drop", edition.language, length=length)
        yield text, Fraction(alike[0].start_nm + alike[-1].end_nm, 2)
