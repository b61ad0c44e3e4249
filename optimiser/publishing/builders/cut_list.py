"""The bench cut list: what to cut for each mark, and what is trimmed of standard kits on site."""

from collections.abc import Iterator

from optimiser.documents import write_bench_sheets
from optimiser.domain.documents import Label, OpeningAtBench
from optimiser.domain.opening import Opening
from optimiser.domain.publication import (
    Block,
    Edition,
    Heading,
    Paragraph,
    Publication,
    Table,
)
from optimiser.explain import bench_cautions
from optimiser.publishing.builders.diagrams import list_bars
from optimiser.publishing.builders.matter import (
    PlanMatter,
    Voice,
    list_cautions,
    part_of_mark,
    voice_of,
)
from optimiser.render.openings import describe_one

BENCH_CUT_LIST = "bench-cut-list"


def build_bench_cut_list(matter: PlanMatter, edition: Edition) -> Publication:
    """Return what the bench cuts for each mark; its pieces are those of the plan's cut lists."""
    voice = voice_of(matter.plan, edition)
    return Publication(
        kind=BENCH_CUT_LIST,
        title=voice.word("cuts.title"),
        subtitle=matter.plan.reference,
        blocks=tuple(_blocks(matter, voice)),
        edition=edition,
    )


def _blocks(matter: PlanMatter, voice: Voice) -> Iterator[Block]:
    cautions = bench_cautions(matter.plan.cautions)
    sheets = write_bench_sheets(matter.plan, matter.order.policy.kerf_nm, cautions)
    if sheets.diagrams:
        yield list_bars(sheets, voice)
    else:
        yield Paragraph(voice.word("bench.nothing"))
    for number, opening in enumerate(sheets.openings, 1):
        yield from _of_mark(number, opening, voice)
    yield from list_cautions(cautions, voice.word("bench.cautions"), voice)


def name_openings(opening: Opening, voice: Voice) -> str:
    """Return a mark with what it is, as a heading: `D-1: 2 single doors, leaf 36 in × …`."""
    described = describe_one(opening, voice.length, opening.quantity > 1)
    return voice.word(
        "cuts.opening", mark=opening.mark, described=f"{voice.count(opening.quantity)} {described}"
    )


def _of_mark(number: int, at_bench: OpeningAtBench, voice: Voice) -> Iterator[Block]:
    opening = at_bench.opening
    yield Heading(2, name_openings(opening, voice))
    by_kit = opening.quantity - at_bench.cut
    if not at_bench.cut_list:
        yield Paragraph(voice.word("cuts.by-kit"))
    elif by_kit:
        cut, kits = voice.count(at_bench.cut), voice.count(by_kit)
        yield Paragraph(voice.word("cuts.some-by-kit", cut=cut, kits=kits))
    if at_bench.cut_list:
        yield _list_cuts(number, at_bench, voice)
    if at_bench.trim_list:
        yield _list_trims(number, at_bench, voice)


def _list_cuts(number: int, at_bench: OpeningAtBench, voice: Voice) -> Table:
    return Table(
        name=f"cuts-{number}",
        caption=voice.word("cuts.list-of", mark=at_bench.opening.mark),
        columns=(
            voice.counts("pieces", "cuts.pieces"),
            voice.lengths("length", "bench.length"),
            voice.text("label", "cuts.label"),
            voice.text("lies-on", "cuts.lies-on"),
            voice.text("material", "bench.material"),
            voice.text("patterns", "cuts.patterns"),
        ),
        rows=tuple(
            (
                label.copies,
                label.length_nm,
                _name(label, voice),
                label.lies_on.replace("-", " "),
                str(label.material),
                word_patterns(label, voice),
            )
            for label in at_bench.cut_list
        ),
        totals=(
            (
                sum(label.copies for label in at_bench.cut_list),
                None,
                voice.word("cuts.in-all"),
                None,
                None,
                None,
            ),
        ),
        part_of=part_of_mark("cuts", "cuts.title", at_bench.opening.mark, voice),
    )


def _name(label: Label, voice: Voice) -> str:
    if label.segment_of_nm is None or label.segment_end is None:
        return label.name
    whole = voice.length(label.segment_of_nm)
    return voice.word("cuts.segment", label=label.name, end=label.segment_end, whole=whole)


def word_patterns(label: Label, voice: Voice) -> str:
    """Return the patterns that give the pieces of a label, each with their number."""
    return ", ".join(
        voice.word("cuts.pattern", name=name, pieces=voice.count(pieces))
        for name, pieces in label.from_patterns
    )


def _list_trims(number: int, at_bench: OpeningAtBench, voice: Voice) -> Table:
    return Table(
        name=f"trims-{number}",
        caption=voice.word("cuts.trims-of", mark=at_bench.opening.mark),
        columns=(
            voice.counts("pieces", "cuts.pieces"),
            voice.lengths("held", "cuts.held"),
            voice.lengths("length", "cuts.trimmed"),
            voice.text("label", "cuts.label"),
            voice.text("lies-on", "cuts.lies-on"),
            voice.text("kit", "cuts.kit"),
        ),
        rows=tuple(
            (
                trim.pieces,
                trim.held_nm,
                voice.word("cuts.as-it-is") if trim.held_nm == trim.length_nm else trim.length_nm,
                trim.label,
                trim.lies_on.replace("-", " "),
                trim.sku,
            )
            for trim in at_bench.trim_list
        ),
        part_of=part_of_mark("trims", "cuts.trims", at_bench.opening.mark, voice),
    )
