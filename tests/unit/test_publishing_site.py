"""Install sheets: the pieces, positions, steps and cautions of every mark."""

import pytest

from optimiser.domain.publication import (
    Bullets,
    CautionBlock,
    Edition,
    Heading,
    Language,
    LengthsShown,
)
from optimiser.explain import applicable_cautions
from tests.publications import EXAMPLES, blocks_of, column, publish, tables_like
from tests.ten_doors import Example

EACH = pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES.keys())


@EACH
def test_every_mark_has_a_sheet_that_begins_a_page(example: Example) -> None:
    publication = publish("install-sheets", example)
    marks = [opening.takeoff.opening.mark for opening in example.plan.openings]
    headings = [h for h in blocks_of(publication, Heading) if h.level == 2]
    assert [heading.text.partition(":")[0] for heading in headings] == marks
    assert [heading.new_page for heading in headings] == [False] + [True] * (len(marks) - 1)
    assert len(blocks_of(publication, CautionBlock)) == len(marks)


@EACH
def test_pieces_on_the_sheets_are_those_of_the_takeoff(example: Example) -> None:
    tables = list(tables_like(publish("install-sheets", example), "pieces-"))
    for table, opening in zip(tables, example.plan.openings, strict=True):
        taken = [(piece.count, piece.length_nm) for piece in opening.takeoff.pieces]
        assert list(zip(column(table, "pieces"), column(table, "length"), strict=True)) == taken


@pytest.mark.parametrize(
    ("language", "unit"),
    [(Language.AMERICAN, "in millimeters from"), (Language.BRITISH, "in millimetres from")],
)
def test_positions_are_told_in_the_unit_and_spelling_of_the_reader(
    language: Language, unit: str
) -> None:
    """914.4 mm: 25.4 mm from each end, 863.6 mm between in 12 spaces of 71.97 mm, to 1/2 mm."""
    edition = Edition(language=language, lengths=LengthsShown.MILLIMETRES)
    publication = publish("install-sheets", EXAMPLES["ten doors"], edition)
    told = [item for bullets in blocks_of(publication, Bullets) for item in bullets.items]
    head = next(item for item in told if item.startswith("Head, frame member, 914.4 mm:"))
    assert f"13 strip-nails at 76.2 mm or less, {unit} either end: 25.5, 97.5, 169.5," in head


def test_spliced_pieces_are_told_with_their_segments() -> None:
    publication = publish("install-sheets", EXAMPLES["every term"])
    told = [item for bullets in blocks_of(publication, Bullets) for item in bullets.items]
    assert [item for item in told if "spliced of" in item]


@EACH
def test_cautions_on_a_sheet_name_no_mark_because_they_are_of_its_own(example: Example) -> None:
    publication = publish("install-sheets", example)
    sentences = {caution.sentence for caution in applicable_cautions(example.takeoff)}
    for block in blocks_of(publication, CautionBlock):
        assert {text for text, _ in block.cautions} <= sentences
