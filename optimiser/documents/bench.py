"""For the bench: a label for every piece that is cut, and a diagram of every pattern."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace

from optimiser.documents.joints import lay_splices
from optimiser.domain.documents import (
    BarsToPull,
    BenchSheets,
    CuttingDiagram,
    Label,
    OpeningAtBench,
    Span,
    SpanKind,
)
from optimiser.domain.plan import OpeningPlan, PatternSheet, Plan
from optimiser.domain.reasons import Caution


def write_bench_sheets(plan: Plan, kerf_nm: int, cautions: Iterable[Caution]) -> BenchSheets:
    """Return what the bench works from; `kerf_nm` is the policy's.

    `cautions` are those of the work at the bench. Bars of one kind are pulled together,
    whatever patterns they are cut by.
    """
    pulled: dict[BarsToPull, int] = defaultdict(int)
    for sheet in plan.patterns:
        kind = BarsToPull(
            sku=sheet.sku,
            material=sheet.material,
            stock_nm=sheet.stock_nm,
            bars=0,
            from_rack=sheet.from_rack,
        )
        pulled[kind] += sheet.bars
    return BenchSheets(
        reference=plan.reference,
        unit=plan.unit,
        bars=tuple(replace(kind, bars=bars) for kind, bars in pulled.items()),
        diagrams=draw_cutting_diagrams(plan, kerf_nm),
        openings=tuple(
            OpeningAtBench(
                opening=opening.takeoff.opening,
                cut=max(
                    (
                        supply.cut + sum(number for _, number in supply.cut_instead)
                        for supply in opening.supplies
                    ),
                    default=0,
                ),
                cut_list=tuple(_label_lines(opening)),
                trim_list=opening.trim_list,
            )
            for opening in plan.openings
        ),
        cautions=tuple(cautions),
    )


def list_labels(plan: Plan) -> tuple[Label, ...]:
    """Return a label for every line of every cut list, in the order of the marks."""
    return tuple(label for opening in plan.openings for label in _label_lines(opening))


def _label_lines(opening: OpeningPlan) -> Iterator[Label]:
    ends = {
        id(line): end
        for laid in lay_splices(opening)
        for line, end in zip(laid.lines, laid.ends, strict=True)
    }
    for line in opening.cut_list:
        yield Label(
            name=line.label,
            mark=opening.takeoff.opening.mark,
            edge=line.edge,
            member=line.member,
            lies_on=line.lies_on,
            material=line.material,
            length_nm=line.length_nm,
            copies=line.pieces,
            from_patterns=line.from_patterns,
            segment_of_nm=line.segment_of_nm,
            segment_end=ends.get(id(line)),
        )


def draw_cutting_diagrams(plan: Plan, kerf_nm: int) -> tuple[CuttingDiagram, ...]:
    """Return how each pattern lies on its bar, and which marks its pieces go to.

    `kerf_nm` is the policy's. From left to right: end trim, pieces longest first with a kerf
    after each, drop, end trim; the last kerf is narrower where the saw leaves the bar.
    """
    marks: dict[str, dict[tuple[int, str], int]] = defaultdict(lambda: defaultdict(int))
    for label in list_labels(plan):
        for pattern, pieces in label.from_patterns:
            marks[pattern][label.length_nm, label.mark] += pieces
    return tuple(
        CuttingDiagram(
            pattern=sheet.name,
            sku=sheet.sku,
            from_rack=sheet.from_rack,
            material=sheet.material,
            bars=sheet.bars,
            stock_nm=sheet.stock_nm,
            spans=_lay_out(sheet, kerf_nm),
            labels=tuple(
                (length_nm, mark, pieces)
                for (length_nm, mark), pieces in sorted(
                    marks[sheet.name].items(), key=lambda entry: -entry[0][0]
                )
            ),
        )
        for sheet in plan.patterns
    )


def _lay_out(sheet: PatternSheet, kerf_nm: int) -> tuple[Span, ...]:
    trim_nm = sheet.end_trim_nm // 2
    lengths = [length_nm for length_nm, count in sheet.cuts for _ in range(count)]
    parts: list[tuple[SpanKind, int]] = [(SpanKind.TRIM, trim_nm)]
    kerf_left_nm = sheet.kerf_nm
    for length_nm in lengths:
        cut_nm = min(kerf_nm, kerf_left_nm)
        parts += [(SpanKind.PIECE, length_nm), (SpanKind.KERF, cut_nm)]
        kerf_left_nm -= cut_nm
    parts += [(SpanKind.DROP, sheet.drop_nm), (SpanKind.TRIM, sheet.end_trim_nm - trim_nm)]
    spans = []
    start_nm = 0
    for kind, length_nm in parts:
        if length_nm:
            spans.append(Span(kind=kind, start_nm=start_nm, end_nm=start_nm + length_nm))
        start_nm += length_nm
    assert start_nm == sheet.stock_nm
    return tuple(spans)
