"""From bench sheets of the domain to those of the wire."""

from optimiser.domain import documents as domain
from optimiser.render import word_label
from service.mapping.shown import ValueWriter, write_material
from service.mapping.stating import state
from service.mapping.told_out import write_caution
from service.wire import bench as wire
from service.wire.plan import PatternCount, TrimLine


def write_bench_sheets(sheets: domain.BenchSheets) -> wire.BenchSheets:
    """Return bench sheets as an answer states them."""
    # Nothing at the bench states money.
    writer = ValueWriter(sheets.unit, "")
    return wire.BenchSheets(
        reference=sheets.reference,
        unit=sheets.unit,
        bars=[
            wire.BarsToPull(
                sku=pull.sku,
                from_rack=pull.from_rack,
                material=write_material(pull.material),
                length=writer.length(pull.stock_nm),
                bars=pull.bars,
            )
            for pull in sheets.bars
        ],
        diagrams=[_write_diagram(diagram, writer) for diagram in sheets.diagrams],
        openings=[
            wire.OpeningAtBench(
                mark=opening.opening.mark,
                quantity=opening.opening.quantity,
                cut=opening.cut,
                cut_list=[_write_label(label, writer) for label in opening.cut_list],
                trim_list=[state(TrimLine, line, writer) for line in opening.trim_list],
            )
            for opening in sheets.openings
        ],
        cautions=[write_caution(caution) for caution in sheets.cautions],
    )


def _write_diagram(diagram: domain.CuttingDiagram, writer: ValueWriter) -> wire.CuttingDiagram:
    return wire.CuttingDiagram(
        pattern=diagram.pattern,
        sku=diagram.sku,
        from_rack=diagram.from_rack,
        material=write_material(diagram.material),
        bars=diagram.bars,
        stock_length=writer.length(diagram.stock_nm),
        spans=[
            wire.Span(
                kind=span.kind,
                start=writer.length(span.start_nm),
                end=writer.length(span.end_nm),
                length=writer.length(span.length_nm),
            )
            for span in diagram.spans
        ],
        pieces=[
            wire.PiecesForMark(length=writer.length(length_nm), mark=mark, pieces=pieces)
            for length_nm, mark, pieces in diagram.labels
        ],
    )


def _write_label(label: domain.Label, writer: ValueWriter) -> wire.Label:
    return wire.Label(
        text=list(word_label(label, writer.unit)),
        edge=label.edge,
        member=label.member,
        lies_on=label.lies_on,
        material=write_material(label.material),
        length=writer.length(label.length_nm),
        segment_of=None if label.segment_of_nm is None else writer.length(label.segment_of_nm),
        segment_end=label.segment_end,
        copies=label.copies,
        from_patterns=[
            PatternCount(pattern=name, pieces=pieces) for name, pieces in label.from_patterns
        ],
    )
