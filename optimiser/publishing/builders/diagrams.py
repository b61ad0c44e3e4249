"""Cutting diagrams: how each bar is cut, to scale, and which marks its pieces go to."""

from collections.abc import Iterator

from optimiser.documents import draw_cutting_diagrams, write_bench_sheets
from optimiser.domain.documents import BenchSheets, CuttingDiagram, Span
from optimiser.domain.plan import Plan
from optimiser.domain.publication import (
    BarDiagram,
    Block,
    Edition,
    Heading,
    Paragraph,
    PartOf,
    Publication,
    Row,
    Table,
)
from optimiser.explain import bench_cautions
from optimiser.publishing.builders.matter import PlanMatter, Voice, list_cautions, voice_of

CUTTING_DIAGRAMS = "cutting-diagrams"


def build_cutting_diagrams(matter: PlanMatter, edition: Edition) -> Publication:
    """Return the cutting diagrams of a plan, with where all the strip goes."""
    voice = voice_of(matter.plan, edition)
    return Publication(
        kind=CUTTING_DIAGRAMS,
        title=voice.word("diagrams.title"),
        subtitle=matter.plan.reference,
        blocks=tuple(_blocks(matter, voice)),
        edition=edition,
    )


def _blocks(matter: PlanMatter, voice: Voice) -> Iterator[Block]:
    plan, kerf_nm = matter.plan, matter.order.policy.kerf_nm
    cautions = bench_cautions(plan.cautions)
    if not plan.patterns:
        yield Paragraph(voice.word("bench.nothing"))
        return
    yield list_bars(write_bench_sheets(plan, kerf_nm, cautions), voice)
    yield Paragraph(voice.word("diagrams.how-to-read"))
    for number, diagram in enumerate(draw_cutting_diagrams(plan, kerf_nm), 1):
        caption = voice.word(
            "diagrams.pattern",
            name=diagram.pattern,
            bars=voice.count(diagram.bars),
            sku=name_source(diagram.sku, voice, from_rack=diagram.from_rack),
            length=voice.length(diagram.stock_nm),
            material=str(diagram.material),
        )
        yield Heading(2, caption)
        yield BarDiagram(
            name=f"bar-{number}",
            caption=caption,
            stock_nm=diagram.stock_nm,
            spans=diagram.spans,
            text=voice.word(
                "diagrams.spans",
                length=voice.length(diagram.stock_nm),
                spans=", ".join(_word_span(span, voice) for span in diagram.spans),
            ),
        )
        yield _list_pieces(number, diagram, voice)
    yield Heading(2, voice.word("diagrams.account"))
    yield _account(plan, voice)
    yield from list_cautions(cautions, voice.word("bench.cautions"), voice)


def name_source(sku: str, voice: Voice, *, from_rack: bool) -> str:
    """Return the article that is cut; of an offcut, its id."""
    return voice.word("bench.offcut", id=sku) if from_rack else sku


def list_bars(sheets: BenchSheets, voice: Voice) -> Table:
    """Return the whole bars to lay out before cutting begins."""
    return Table(
        name="bars",
        caption=voice.word("bench.pull"),
        columns=(
            voice.counts("bars", "bench.bars"),
            voice.text("sku", "bench.sku"),
            voice.lengths("length", "bench.length"),
            voice.text("material", "bench.material"),
        ),
        rows=tuple(
            (
                pull.bars,
                name_source(pull.sku, voice, from_rack=pull.from_rack),
                pull.stock_nm,
                str(pull.material),
            )
            for pull in sheets.bars
        ),
        totals=((sum(p.bars for p in sheets.bars), voice.word("bench.bars-in-all"), None, None),),
    )


def _word_span(span: Span, voice: Voice) -> str:
    return voice.word(f"diagrams.span-{span.kind}", length=voice.length(span.length_nm))


def _list_pieces(number: int, diagram: CuttingDiagram, voice: Voice) -> Table:
    return Table(
        name=f"pieces-{number}",
        caption=voice.word("diagrams.pieces-of", name=diagram.pattern),
        columns=(
            voice.counts("pieces", "diagrams.pieces"),
            voice.lengths("length", "diagrams.piece"),
            voice.text("mark", "diagrams.mark"),
        ),
        rows=tuple((pieces, length_nm, mark) for length_nm, mark, pieces in diagram.labels),
        part_of=PartOf(
            name="pieces",
            caption=voice.word("diagrams.pieces-of-all"),
            column=voice.text("pattern", "diagrams.pattern-name"),
            part=diagram.pattern,
        ),
    )


def _account(plan: Plan, voice: Voice) -> Table:
    """Return where the strip of each pattern goes, over all its bars: strip = all the others."""
    columns = (
        voice.text("pattern", "diagrams.pattern-name"),
        voice.counts("bars", "bench.bars"),
        voice.lengths("stock", "diagrams.stock"),
        voice.lengths("pieces", "diagrams.in-pieces"),
        voice.lengths("kerf", "diagrams.kerf"),
        voice.lengths("end-trim", "diagrams.end-trim"),
        voice.lengths("drop", "diagrams.drop"),
    )
    figures = [
        (
            sheet.bars,
            *(
                sheet.bars * length_nm
                for length_nm in (
                    sheet.stock_nm,
                    sum(length_nm * count for length_nm, count in sheet.cuts),
                    sheet.kerf_nm,
                    sheet.end_trim_nm,
                    sheet.drop_nm,
                )
            ),
        )
        for sheet in plan.patterns
    ]
    rows: tuple[Row, ...] = tuple(
        (sheet.name, *row) for sheet, row in zip(plan.patterns, figures, strict=True)
    )
    sums = [sum(column) for column in zip(*figures, strict=True)]
    return Table(
        name="strip",
        caption=voice.word("diagrams.account"),
        columns=columns,
        rows=rows,
        totals=((voice.word("diagrams.in-all"), *sums),),
    )
