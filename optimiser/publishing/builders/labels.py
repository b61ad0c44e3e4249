"""Labels: one for each opening, and one for each piece that the bench cuts."""

from collections.abc import Iterator
from typing import Final

from optimiser.documents import list_labels
from optimiser.domain.documents import Label
from optimiser.domain.plan import OpeningPlan, Plan
from optimiser.domain.publication import (
    Block,
    Edition,
    Heading,
    LabelSheet,
    Paper,
    PaperLabel,
    Publication,
    Table,
)
from optimiser.publishing.builders.cut_list import word_patterns
from optimiser.publishing.builders.matter import PlanMatter, Voice, voice_of
from optimiser.render.openings import describe_one

LABELS = "labels"


def build_labels(matter: PlanMatter, edition: Edition) -> Publication:
    """Return the labels of a plan: as many as there are openings and pieces to cut."""
    voice = voice_of(matter.plan, edition)
    return Publication(
        kind=LABELS,
        title=voice.word("labels.title"),
        subtitle=matter.plan.reference,
        blocks=tuple(_blocks(matter.plan, voice)),
        edition=edition,
    )


GRID: Final = {Paper.A4: (3, 8), Paper.LETTER: (3, 7)}
"""Columns and rows of labels on a sheet of each paper: about 59 × 32 and 61 × 34 mm each."""


def _blocks(plan: Plan, voice: Voice) -> Iterator[Block]:
    columns, rows = GRID[voice.edition.paper]
    pieces = list_labels(plan)
    yield _count(plan, pieces, voice)
    yield Heading(2, voice.word("labels.openings"))
    yield LabelSheet(
        labels=tuple(label for opening in plan.openings for label in _of_openings(opening, voice)),
        columns=columns,
        rows=rows,
    )
    if pieces:
        yield Heading(2, voice.word("labels.pieces"))
        labels = tuple(_of_piece(label, voice) for label in pieces)
        yield LabelSheet(labels=labels, columns=columns, rows=rows)


def _count(plan: Plan, pieces: tuple[Label, ...], voice: Voice) -> Table:
    """Return how many labels there are of each mark."""
    cut: dict[str, int] = {}
    for label in pieces:
        cut[label.mark] = cut.get(label.mark, 0) + label.copies
    openings = [opening.takeoff.opening for opening in plan.openings]
    return Table(
        name="labels",
        caption=voice.word("labels.count"),
        columns=(
            voice.text("mark", "diagrams.mark"),
            voice.counts("openings", "labels.of-openings"),
            voice.counts("pieces", "labels.of-pieces"),
        ),
        rows=tuple((one.mark, one.quantity, cut.get(one.mark, 0)) for one in openings),
        totals=(
            (
                voice.word("cuts.in-all"),
                sum(one.quantity for one in openings),
                sum(cut.values()),
            ),
        ),
    )


def _of_openings(plan: OpeningPlan, voice: Voice) -> Iterator[PaperLabel]:
    """Yield a label for each opening of a mark: which one it is, and what is fitted to it."""
    opening = plan.takeoff.opening
    counts: dict[int, int] = {}
    for piece in plan.takeoff.pieces:
        counts[piece.length_nm] = counts.get(piece.length_nm, 0) + piece.count
    pieces = ", ".join(
        voice.word("labels.of-piece", count=voice.count(count), length=voice.length(length_nm))
        for length_nm, count in counts.items()
    )
    quantity = voice.count(opening.quantity)
    for number in range(1, opening.quantity + 1):
        which = voice.word("labels.of-opening", number=voice.count(number), quantity=quantity)
        first = opening.mark if opening.quantity == 1 else f"{opening.mark}, {which}"
        yield PaperLabel(lines=(first, describe_one(opening, voice.length), pieces), copies=1)


def _of_piece(label: Label, voice: Voice) -> PaperLabel:
    lines = [label.name, voice.length(label.length_nm)]
    if label.segment_of_nm is not None and label.segment_end is not None:
        whole = voice.length(label.segment_of_nm)
        lines.append(voice.word("labels.segment", end=label.segment_end, whole=whole))
    place = label.lies_on.replace("-", " ")
    lines.append(voice.word("labels.lies-on", place=place, material=str(label.material)))
    lines.append(voice.word("labels.from", patterns=word_patterns(label, voice)))
    return PaperLabel(lines=tuple(lines), copies=label.copies)
