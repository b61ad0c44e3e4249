"""Bench sheets as plain text: bars to pull, cutting diagrams, cut lists, labels."""

from collections.abc import Iterable, Iterator

from optimiser.domain.documents import (
    BarsToPull,
    BenchSheets,
    CuttingDiagram,
    Label,
    OpeningAtBench,
    SpanKind,
)
from optimiser.domain.phrases import write_count
from optimiser.domain.trimming import TrimLine
from optimiser.render.both_units import write_both_units
from optimiser.render.openings import describe_opening
from optimiser.render.table import (
    LINE_WIDTH,
    write_heading,
    write_item,
    write_list,
    write_table,
)
from optimiser.units.lengths import LengthUnit, format_length

INDENT = "    "
FROM_RACK = "offcut "


def render_bench_sheets(sheets: BenchSheets) -> str:
    """Return all sheets of the bench: what to pull, how to cut it, and how to mark the pieces."""
    return "\n".join(_write_sheets(sheets)) + "\n"


def _write_sheets(sheets: BenchSheets) -> Iterator[str]:
    yield from write_item(f"Bench sheets {sheets.reference}".rstrip(), bullet="")
    if not sheets.diagrams:
        yield from write_item("Nothing is cut at the bench: every piece comes in a kit.", bullet="")
    else:
        yield from write_heading("Bars to pull")
        yield from _write_bars(sheets.bars, sheets.unit)
        yield from write_heading("Cutting diagrams")
        yield "= piece, | cut, . drop, x end trim; measured from the left end of the bar"
        for diagram in sheets.diagrams:
            yield ""
            yield from _write_diagram(diagram, sheets.unit)
        yield from write_heading("Cut lists and labels")
    for opening in sheets.openings:
        yield ""
        yield from _write_opening(opening, sheets.unit)
    yield from write_list(
        "Cautions", (f"{caution.sentence} ({caution.source})" for caution in sheets.cautions)
    )


def _write_bars(bars: Iterable[BarsToPull], unit: LengthUnit) -> Iterator[str]:
    rows = [
        (
            f"{pull.bars:,}",
            f"{FROM_RACK if pull.from_rack else ''}{pull.sku}",
            format_length(pull.stock_nm, unit),
            str(pull.material),
        )
        for pull in bars
    ]
    yield from write_table(("Bars", "SKU", "Length", "Material"), rows, right=frozenset({0, 2}))


def _write_opening(opening: OpeningAtBench, unit: LengthUnit) -> Iterator[str]:
    described = describe_opening(opening.opening, unit)
    yield from write_item(f"{opening.opening.mark}: {described}", bullet="")
    by_kit = opening.opening.quantity - opening.cut
    if not opening.cut_list:
        yield f"{INDENT}nothing to cut: supplied by kit"
    elif by_kit:
        yield f"{INDENT}{opening.cut:,} cut; the other {by_kit:,} supplied by kit"
    for label in opening.cut_list:
        first, *rest = word_label(label, unit)
        patterns = ", ".join(f"{name}: {pieces:,}" for name, pieces in label.from_patterns)
        yield from write_item(f"{label.copies:,} × {first}", bullet=INDENT)
        for line in (*rest, f"from {patterns}"):
            yield from write_item(line, bullet=INDENT * 2)
    for trim in opening.trim_list:
        yield from write_trim(trim, unit)


def write_trim(trim: TrimLine, unit: LengthUnit) -> Iterator[str]:
    """Yield the lines of pieces of a standard kit that are trimmed on site."""
    held = write_both_units(trim.held_nm, unit)
    net = write_both_units(trim.length_nm, unit)
    to = "as it is" if trim.held_nm == trim.length_nm else f"trim to {net} on site"
    yield from write_item(f"{trim.pieces:,} × {trim.label}", bullet=INDENT)
    yield from write_item(f"{held} of kit {trim.sku}, {to}", bullet=INDENT * 2)


def word_label(label: Label, unit: LengthUnit) -> tuple[str, ...]:
    """Return the lines to write on a piece: which it is, its length, where it lies, of what."""
    part = (
        ""
        if label.segment_of_nm is None
        else f", the {label.segment_end} part of a spliced "
        f"{write_both_units(label.segment_of_nm, unit)}"
    )
    return (
        label.name,
        f"{write_both_units(label.length_nm, unit)}{part}",
        f"on the {label.lies_on.replace('-', ' ')}; {label.material}",
    )


def render_labels(labels: Iterable[Label], unit: LengthUnit) -> str:
    """Return every label once, with the number of pieces that carry it."""
    return "\n".join(_write_labels(labels, unit)) + "\n"


def _write_labels(labels: Iterable[Label], unit: LengthUnit) -> Iterator[str]:
    for label in labels:
        first, *rest = word_label(label, unit)
        yield f"{label.copies:,} × {first}"
        yield from (f"{INDENT}{line}" for line in rest)


def render_cutting_diagrams(diagrams: Iterable[CuttingDiagram], unit: LengthUnit) -> str:
    """Return each pattern as a bar drawn to scale, with its cuts measured from the left end."""
    drawn = ("\n".join(_write_diagram(diagram, unit)) for diagram in diagrams)
    return "\n\n".join(drawn) + "\n"


def _write_diagram(diagram: CuttingDiagram, unit: LengthUnit) -> Iterator[str]:
    yield from write_item(
        f"{diagram.pattern}: {write_count(diagram.bars, 'bar')} "
        f"{FROM_RACK if diagram.from_rack else ''}{diagram.sku}, "
        f"{format_length(diagram.stock_nm, unit)}, {diagram.material}",
        bullet="",
    )
    yield _draw(diagram)
    for span in diagram.spans:
        if span.kind in {SpanKind.PIECE, SpanKind.DROP}:
            yield (
                f"{INDENT}{span.kind:<5}  {format_length(span.length_nm, unit)}, from "
                f"{format_length(span.start_nm, unit)} to {format_length(span.end_nm, unit)}"
            )
    for length_nm, mark, pieces in diagram.labels:
        yield f"{INDENT}{pieces:,} × {format_length(length_nm, unit)} for {mark}"


_SIGNS = {SpanKind.TRIM: "x", SpanKind.PIECE: "=", SpanKind.KERF: "|", SpanKind.DROP: "."}


def _draw(diagram: CuttingDiagram) -> str:
    """Return the bar to scale: `=` piece, `|` cut, `.` drop, `x` trim; each at least once.

    A cut stands even where the saw takes nothing.
    """
    width = LINE_WIDTH - len(INDENT)
    drawn = ""
    for position, span in enumerate(diagram.spans):
        if span.kind is SpanKind.KERF:
            continue
        end = span.end_nm * width // diagram.stock_nm
        cut = span.kind is SpanKind.PIECE and position + 1 < len(diagram.spans)
        drawn += _SIGNS[span.kind] * max(end - len(drawn) - cut, 1)
        if cut:
            drawn += _SIGNS[SpanKind.KERF]
    return f"{INDENT}{drawn}"
