"""Labels and cutting diagrams as plain text."""

from collections.abc import Iterable, Iterator

from optimiser.domain.documents import CuttingDiagram, Label, SpanKind
from optimiser.domain.phrases import write_count
from optimiser.render.table import LINE_WIDTH, write_item
from optimiser.units.lengths import LengthUnit, format_length


def render_labels(labels: Iterable[Label]) -> str:
    """Return every label once, with its copies: mark, edge, member, length in both units."""
    return "\n".join("\n".join(_write_label(label)) for label in labels) + "\n"


def write_both_units(length_nm: int) -> str:
    """Return a length in fractions of an inch and in millimetres: `36 1/2 in (927.1 mm)`."""
    inches = format_length(length_nm, LengthUnit.INCH)
    millimetres = format_length(length_nm, LengthUnit.MILLIMETRE)
    return inches if inches == millimetres else f"{inches} ({millimetres})"


def _write_label(label: Label) -> Iterator[str]:
    part = (
        ""
        if label.segment_of_nm is None
        else f", part of a spliced {write_both_units(label.segment_of_nm)}"
    )
    patterns = ", ".join(f"{name}: {pieces:,}" for name, pieces in label.from_patterns)
    yield f"{label.mark}  {label.edge.replace('-', ' ')}, {label.member}"
    yield f"    {write_both_units(label.length_nm)}{part}"
    yield f"    on the {label.lies_on.replace('-', ' ')}; {label.material}"
    yield f"    {write_count(label.copies, 'label')}; from {patterns}"


def render_cutting_diagrams(diagrams: Iterable[CuttingDiagram], unit: LengthUnit) -> str:
    """Return each pattern as a bar drawn to scale, with its cuts measured from the left end."""
    return "\n".join("\n".join(_write_diagram(diagram, unit)) for diagram in diagrams) + "\n"


def _write_diagram(diagram: CuttingDiagram, unit: LengthUnit) -> Iterator[str]:
    yield from write_item(
        f"{diagram.pattern}: {write_count(diagram.bars, 'bar')} {diagram.sku}, "
        f"{format_length(diagram.stock_nm, unit)}, {diagram.material}",
        bullet="",
    )
    yield _draw(diagram)
    for span in diagram.spans:
        if span.kind in {SpanKind.PIECE, SpanKind.DROP}:
            yield (
                f"    {span.kind:<5}  {format_length(span.length_nm, unit)}, from "
                f"{format_length(span.start_nm, unit)} to {format_length(span.end_nm, unit)}"
            )
    for length_nm, mark, pieces in diagram.labels:
        yield f"    {pieces:,} × {format_length(length_nm, unit)} for {mark}"
    yield ""


_SIGNS = {SpanKind.TRIM: "x", SpanKind.PIECE: "=", SpanKind.KERF: "|", SpanKind.DROP: "."}


def _draw(diagram: CuttingDiagram) -> str:
    """Return the bar to scale: `=` piece, `|` cut, `.` drop, `x` trim; each at least once.

    A cut stands even where the saw takes nothing.
    """
    width = LINE_WIDTH - 4
    drawn = ""
    for position, span in enumerate(diagram.spans):
        if span.kind is SpanKind.KERF:
            continue
        end = span.end_nm * width // diagram.stock_nm
        cut = span.kind is SpanKind.PIECE and position + 1 < len(diagram.spans)
        drawn += _SIGNS[span.kind] * max(end - len(drawn) - cut, 1)
        if cut:
            drawn += _SIGNS[SpanKind.KERF]
    return f"    {drawn}"
