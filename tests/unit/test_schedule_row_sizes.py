"""Sizes in the rows of a schedule: shorthand, pairs, unequal leaves."""

import pytest

from optimiser.domain.opening import (
    Opening,
    OpeningKind,
    SizeOf,
)
from optimiser.schedules import PairWidth, ReadingOptions, ScheduleField
from optimiser.units.lengths import NM_PER_INCH
from tests.unit.schedule_files import (
    messages,
    read_rows,
)

F = ScheduleField
SIZED = ("Mark", "Qty", "Type", "Size", "Strip finish")


def sized(size: str, kind: str = "single", qty: str = "1", **settings: object) -> Opening:
    reading = read_rows(("D-01", qty, kind, size, "zinc"), header=SIZED, **settings)
    assert messages(reading) == []
    return reading.openings[0]


def inches(opening: Opening) -> tuple[float, float]:
    return opening.width_nm / NM_PER_INCH, opening.height_nm / NM_PER_INCH


@pytest.mark.parametrize(
    ("size", "wanted"),
    [
        ("3068", (36, 80)),
        ("3-0 x 6-8", (36, 80)),
        ("3/0 6/8", (36, 80)),
        ('3\'-0" x 7\'-0" x 1-3/4"', (36, 84)),
        ("36 x 80", (36, 80)),
        ('80"H x 36"W', (36, 80)),
    ],
)  # forms: "how to read a door schedule", usearticulate.com
def test_sizes_are_read_in_the_forms_of_door_schedules(
    size: str, wanted: tuple[float, float]
) -> None:
    assert inches(sized(size)) == wanted


def test_size_of_a_pair_is_the_total_width_of_both_leaves() -> None:
    # 6070 is two leaves of 3'-0": "how to read a door schedule", usearticulate.com.
    opening = sized("6070", "pair")
    assert opening.kind is OpeningKind.PAIR_OF_DOORS
    assert inches(opening) == (72, 84)
    assert opening.notes == ()


def test_pair_sized_by_the_leaf_has_half_the_total_width() -> None:
    opening = sized("6070", "pair", defaults={F.SIZE_OF: "leaf"})
    assert opening.size_of is SizeOf.LEAF
    assert inches(opening) == (36, 84)


def test_two_of_a_size_is_a_pair_of_such_leaves() -> None:
    opening = sized("(2) 3068", "")
    assert opening.kind is OpeningKind.PAIR_OF_DOORS
    assert inches(opening) == (72, 80)
    assert opening.notes == ("The width of the pair is twice that of a leaf, 72 in, without gaps.",)


def test_width_of_a_pair_is_that_of_one_leaf_where_the_user_says_so() -> None:
    options = ReadingOptions(pair_width=PairWidth.ONE_LEAF)
    assert inches(sized("3068", "pair", options=options)) == (72, 80)


def test_narrow_pair_is_noted() -> None:
    assert sized("3068", "pair").notes == (
        "The width 36 in was taken for both leaves of the pair, so that a leaf has 18 in; check "
        "it.",
    )


def test_pair_before_a_size_is_taken_where_one_reading_is_likely() -> None:
    assert inches(sized("PR 3068", "")) == (72, 80)
    assert inches(sized("PR 6068", "")) == (72, 80)


def test_pair_before_a_size_is_refused_where_both_readings_are_likely() -> None:
    reading = read_rows(("D-01", "1", "pair", "PR 4068", "zinc"), header=SIZED)
    assert messages(reading) == [
        "Row 2, column D (Size): “PR 4068” may give 48 in as the width of one leaf or of both; "
        "write (2) before the size of one leaf, or the total width with the kind in its own column."
    ]


@pytest.mark.parametrize(
    ("size", "size_of", "pair_width", "width", "notes"),
    [
        ("54 x 84", SizeOf.OPENING, PairWidth.BOTH_LEAVES, 54, ()),
        ("54 x 84", SizeOf.LEAF, PairWidth.BOTH_LEAVES, 36, ()),
        ("36 x 84", SizeOf.LEAF, PairWidth.ONE_LEAF, 36, ()),
        (
            "36 x 84",
            SizeOf.OPENING,
            PairWidth.ONE_LEAF,
            54,
            ("The width of the pair is that of both leaves, 54 in, without gaps.",),
        ),
    ],
)
def test_inactive_leaf_has_a_column_of_its_own(
    size: str, size_of: SizeOf, pair_width: PairWidth, width: int, notes: tuple[str, ...]
) -> None:
    # By hand: 36 + 18 = 54 in.
    reading = read_rows(
        ("D-01", "1", "pair", size, "zinc", "18"),
        header=(*SIZED, "Inactive leaf width (in)"),
        defaults={F.SIZE_OF: size_of},
        options=ReadingOptions(pair_width=pair_width),
    )
    assert messages(reading) == []
    (opening,) = reading.openings
    assert opening.inactive_leaf_width_nm == 18 * NM_PER_INCH
    assert inches(opening) == (width, 84)
    assert opening.notes == notes


@pytest.mark.parametrize(
    ("kind", "size", "inactive", "message"),
    [
        (
            "single", "36 x 84", "18",
            "Row 2, column D (Size): “36 x 84” has an inactive leaf of 18 in beside it, and the "
            "kind is single-door; correct the kind, or leave the inactive leaf blank.",
        ),
        (
            "pair", "(2) 3070", "18",
            "Row 2, column D (Size): “(2) 3070” states two leaves alike, and the inactive leaf is "
            "18 in; write the width of both leaves together, or leave the inactive leaf blank.",
        ),
        (
            "pair", "54 x 84", "54",
            "Row 2, column D (Size): “54 x 84” leaves nothing for the active leaf beside an "
            "inactive one of 54 in; correct one of them.",
        ),
    ],
)  # fmt: skip
def test_inactive_leaf_that_does_not_go_with_the_size_is_refused(
    kind: str, size: str, inactive: str, message: str
) -> None:
    row = ("D-01", "1", kind, size, "zinc", inactive)
    reading = read_rows(row, header=(*SIZED, "Inactive leaf"))
    assert messages(reading) == [message]


def test_two_leaves_in_a_single_door_are_refused() -> None:
    reading = read_rows(("D-01", "1", "single", "(2) 3068", "zinc"), header=SIZED)
    assert messages(reading) == [
        "Row 2, column D (Size): “(2) 3068” states two leaves, and the kind is single-door; "
        "correct one of them."
    ]
