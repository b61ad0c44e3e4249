"""Bench sheets: what the bench pulls, how it cuts it, and what it writes on the pieces."""

from typing import Annotated

from pydantic import Field

from optimiser.domain.documents import SpanKind
from optimiser.domain.opening import Edge
from optimiser.domain.splicing import EdgeEnd
from optimiser.domain.takeoff import LiesOn
from optimiser.units.lengths import LengthUnit
from service.wire.base import WireModel
from service.wire.plan import Caution, PatternCount, TrimLine
from service.wire.shown import Count, Material, ShownLength


class BarsToPull(WireModel):
    """Whole bars of one kind to lay out before cutting begins."""

    sku: str
    """The article's number; of an offcut its identifier."""
    from_rack: bool
    """Whether it is an offcut from the rack."""
    material: Material
    length: ShownLength
    bars: Count


class Span(WireModel):
    """A stretch of a bar, measured from the bar's left end."""

    kind: SpanKind
    start: ShownLength
    end: ShownLength
    length: ShownLength


class PiecesForMark(WireModel):
    """Which mark the pieces of one length go to."""

    length: ShownLength
    mark: str
    pieces: Count
    """Over all bars of the pattern."""


class CuttingDiagram(WireModel):
    """How each of some bars is cut: its spans fill it from left to right without a gap."""

    pattern: str
    sku: str
    from_rack: bool
    material: Material
    bars: Count
    stock_length: ShownLength
    spans: list[Span]
    pieces: list[PiecesForMark]


class Label(WireModel):
    """One line of a cut list, with the label that each of its pieces carries."""

    text: Annotated[
        list[str],
        Field(
            examples=[
                [
                    "D-01 head, frame member",
                    "36 1/2 in (927.1 mm)",
                    "on the frame; interlocking-strip, zinc",
                ]
            ]
        ),
    ]
    """What to write on a piece, line by line."""
    edge: Edge
    member: str
    lies_on: LiesOn
    material: Material
    length: ShownLength
    segment_of: ShownLength | None
    """The length of the whole piece where this is a segment of a spliced one; else null."""
    segment_end: EdgeEnd | None
    """The end of the edge that the segment lies at; null for whole pieces. Segments of nested
    members lie so that their joints are apart."""
    copies: Count
    """Pieces to cut and to label, over all openings of the mark that are cut."""
    from_patterns: list[PatternCount]


class OpeningAtBench(WireModel):
    """The cut list of one mark."""

    mark: str
    quantity: Count
    """Openings of this mark."""
    cut: Count
    """Openings of this mark that are cut, at least in part; the others are supplied by kit."""
    cut_list: list[Label]
    trim_list: list[TrimLine]
    """Pieces of standard kits, which are trimmed on site."""


class BenchSheets(WireModel):
    """All that the bench works from."""

    reference: str
    unit: LengthUnit
    bars: list[BarsToPull]
    diagrams: list[CuttingDiagram]
    openings: list[OpeningAtBench]
    """In the natural order of their marks."""
    cautions: list[Caution]
