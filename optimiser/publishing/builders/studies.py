"""A what-if study as a document: what each case comes to, where the decision flips, what matters.

The figures are the study's own; what is bought otherwise stands case by case in a list.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.break_even import BreakEven, Influence
from optimiser.domain.publication import (
    Block,
    Bullets,
    Cell,
    Chart,
    ChartKind,
    Column,
    ColumnKind,
    Edition,
    Heading,
    Paragraph,
    Publication,
    Row,
    Table,
)
from optimiser.domain.study import Study, StudyRow
from optimiser.domain.study_questions import Answer, Question
from optimiser.publishing.builders.break_evens import tell_break_even
from optimiser.publishing.builders.matter import Voice
from optimiser.units.lengths import LengthUnit

STUDY = "study"

MOST_BARS = 40
"""Cases that are drawn: more of them stand in the table alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyMatter:
    """A study with the order's reference and unit, and what was sought beside its table."""

    study: Study
    reference: str
    unit: LengthUnit
    answers: tuple[Answer, ...] = ()
    break_evens: tuple[BreakEven, ...] = ()
    ranking: tuple[Influence, ...] = ()


def build_study(matter: StudyMatter, edition: Edition) -> Publication:
    """Return the document of a study."""
    base = matter.study.base
    voice = Voice(edition=edition, currency=base.currency, unit=matter.unit)
    return Publication(
        kind=STUDY,
        title=voice.word("study.title"),
        subtitle=matter.reference,
        blocks=tuple(_blocks(matter, voice)),
        edition=edition,
    )


def _blocks(matter: StudyMatter, voice: Voice) -> Iterator[Block]:
    study = matter.study
    assert study.base.cost is not None
    yield Paragraph(
        voice.word(
            "study.base",
            cost=voice.money(study.base.cost),
            proof=_proof(study.base, voice, "study.proved-base", "study.open-base"),
        )
    )
    told = tuple(text for answer in matter.answers for text in _tell_answer(answer, voice))
    if told:
        yield Bullets(told)
    if study.rows:
        yield from _tell_cases(study, voice)
    for number, found in enumerate(matter.break_evens, start=1):
        yield from tell_break_even(found, number, voice)
    if matter.ranking:
        yield Heading(2, voice.word("study.matters"))
        yield from _tell_ranking(matter.ranking, study.base, voice)


def _tell_answer(answer: Answer, voice: Voice) -> Iterator[str]:
    if answer.cheapest is not None:
        others = ", ".join(answer.points)
        yield voice.word("study.cheapest", points=others, cheapest=answer.cheapest)
    if answer.saving is not None:
        key = "study.together-saves" if answer.saving > 0 else "study.together-costs"
        if not answer.saving:
            key = "study.together-same"
        yield voice.word(key, amount=voice.money(abs(answer.saving)))
    if answer.next_break is not None:
        found = answer.next_break
        yield voice.word(
            "study.next-break",
            point=found.point,
            sku=found.sku,
            price=voice.money(found.price),
            before=voice.money(found.base_price),
        )
    elif answer.question is Question.QUANTITY:
        yield voice.word("study.no-break", points=", ".join(answer.points))


def _tell_cases(study: Study, voice: Voice) -> Iterator[Block]:
    planned = [row for row in study.rows if row.cost is not None]
    yield Paragraph(
        voice.word(
            "study.counted",
            points=voice.count(len(study.rows)),
            planned=voice.count(len(planned)),
            proved=voice.count(sum(row.proved for row in planned)),
        )
    )
    yield Heading(2, voice.word("study.cases"))
    alike = [row for row in planned if row.currency == study.base.currency]
    if alike and len(alike) <= MOST_BARS:
        yield _draw_costs((study.base, *alike), voice)
    yield _list_cases(study, voice)
    if any(row.changes for row in planned):
        yield Heading(2, voice.word("study.changes"))
        yield _list_changes(planned, voice)
    if len(planned) < len(study.rows):
        yield Heading(2, voice.word("study.without"))
        yield _list_failures([row for row in study.rows if row.cost is None], voice)


def _draw_costs(rows: Sequence[StudyRow], voice: Voice) -> Chart:
    points = tuple((_case(row, rows[0], voice), row.cost) for row in rows)
    told = "; ".join(
        voice.word("study.costs", case=case, cost=voice.money(cost))
        for case, cost in points
        if cost is not None
    )
    return Chart(
        name="costs",
        caption=voice.word("study.costs-drawn"),
        kind=ChartKind.BARS,
        across=voice.text("case", "study.case"),
        measure=voice.amounts("cost", "study.cost"),
        points=points,
        text=voice.word("study.costs-text", costs=told),
    )


def _case(row: StudyRow, base: StudyRow, voice: Voice) -> str:
    return voice.word("study.as-it-stands") if row is base else name_of(row)


def name_of(row: StudyRow) -> str:
    """Return a case by its name, and where it lies on the axes unless the name says that."""
    if all(value in row.scenario for _, value in row.values):
        return row.scenario
    place = ", ".join(f"{axis} {value}" for axis, value in row.values)
    return f"{row.scenario}: {place}"


def _list_cases(study: Study, voice: Voice) -> Table:
    percent = Column(name="percent", heading=voice.word("study.percent"), kind=ColumnKind.PERCENT)
    return Table(
        name="cases",
        caption=voice.word("study.cases"),
        columns=(
            voice.text("case", "study.case"),
            voice.amounts("cost", "study.cost"),
            voice.amounts("difference", "study.difference"),
            percent,
            voice.counts("kits", "study.kits"),
            voice.counts("kits-with-fasteners", "study.with-fasteners"),
            voice.counts("spare-fasteners", "study.spare"),
            voice.lengths("drops", "study.drop"),
            voice.text("proof", "study.proof"),
        ),
        rows=tuple(_row(row, study.base, voice) for row in (study.base, *study.rows)),
    )


def _row(row: StudyRow, base: StudyRow, voice: Voice) -> Row:
    cost: Cell = row.cost
    if row.cost is None:
        cost = voice.word("study.no-plan")
    elif row.currency != base.currency:
        cost = voice.word("study.in-currency", cost=f"{row.cost:,f}", currency=row.currency)
    compared = row is not base
    return (
        _case(row, base, voice),
        cost,
        row.difference if compared else None,
        row.difference_percent if compared else None,
        row.kits,
        row.kits_with_fasteners,
        row.spare_fasteners,
        row.drop_nm,
        _proof(row, voice),
    )


def _proof(
    row: StudyRow, voice: Voice, proved: str = "study.proved", left: str = "study.open"
) -> str:
    certificate = row.certificate
    if certificate is None:
        return ""
    if certificate.proved:
        return voice.word(proved)
    return voice.word(left, gap=voice.money(certificate.gap))


def _list_changes(rows: Sequence[StudyRow], voice: Voice) -> Table:
    """Return what is bought of each SKU; suppliers are named where there are several."""
    several = len({change.supplier for row in rows for change in row.changes}) > 1
    supplier = (voice.text("supplier", "study.supplier"),) if several else ()
    return Table(
        name="changes",
        caption=voice.word("study.changes"),
        columns=(
            voice.text("case", "study.case"),
            *supplier,
            voice.text("sku", "study.sku"),
            voice.counts("before", "study.before"),
            voice.counts("now", "study.now"),
        ),
        rows=tuple(
            (
                name_of(row),
                *((change.supplier,) if several else ()),
                change.sku,
                change.base_quantity,
                change.quantity,
            )
            for row in rows
            for change in row.changes
        ),
    )


def _list_failures(rows: Sequence[StudyRow], voice: Voice) -> Table:
    return Table(
        name="without-a-plan",
        caption=voice.word("study.without"),
        columns=(voice.text("case", "study.case"), voice.text("why", "study.why")),
        rows=tuple((name_of(row), _why(row)) for row in rows),
    )


def _why(row: StudyRow) -> str:
    return " ".join(fault.message for fault in row.faults)


def _tell_ranking(ranking: Sequence[Influence], base: StudyRow, voice: Voice) -> Iterator[Block]:
    drawn = tuple((one.name, one.swing) for one in ranking if one.swing is not None)
    if drawn:
        told = "; ".join(
            voice.word("study.costs", case=name, cost=voice.money(swing)) for name, swing in drawn
        )
        yield Chart(
            name="swings",
            caption=voice.word("study.matters"),
            kind=ChartKind.BARS,
            across=voice.text("input", "study.input"),
            measure=voice.amounts("swing", "study.swing"),
            points=drawn,
            text=voice.word("study.swings-text", swings=told),
        )
    yield Table(
        name="ranking",
        caption=voice.word("study.matters"),
        columns=(
            voice.text("input", "study.input"),
            voice.text("lower", "study.lower"),
            voice.amounts("cost-lower", "study.cost-lower"),
            voice.text("higher", "study.higher"),
            voice.amounts("cost-higher", "study.cost-higher"),
            voice.amounts("swing", "study.swing"),
        ),
        rows=tuple(
            (
                one.name,
                one.low_value,
                _cost(one.low, base),
                one.high_value,
                _cost(one.high, base),
                one.swing,
            )
            for one in ranking
        ),
    )


def _cost(row: StudyRow, base: StudyRow) -> Decimal | str:
    """Return the cost of a point, or why there is none."""
    if row.cost is None:
        return _why(row)
    return row.cost if row.currency == base.currency else f"{row.currency} {row.cost:,f}"
