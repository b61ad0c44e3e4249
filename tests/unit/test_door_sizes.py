"""Door sizes: the shorthand of schedules. Source: "how to read a door schedule",
usearticulate.com; the five digits and the side-by-side forms are from memory."""

import pytest

from optimiser.units.door_sizes import DoorSize, parse_door_size
from optimiser.units.faults import DoorSizeError
from optimiser.units.lengths import NM_PER_INCH, NM_PER_MILLIMETRE, LengthUnit

INCH, MILLIMETRE = LengthUnit.INCH, LengthUnit.MILLIMETRE


def size_in(width: float, height: float, *notes: str) -> DoorSize:
    return DoorSize(
        width_nm=int(width * NM_PER_INCH), height_nm=int(height * NM_PER_INCH), notes=notes
    )


@pytest.mark.parametrize("unit", LengthUnit)
@pytest.mark.parametrize(
    "text",
    [
        "3-0 x 6-8",
        "3-0 X 6-8",
        "3-0x6-8",
        "3-0 × 6-8",
        "3-0 by 6-8",
        "3-0 6-8",
        "3/0 x 6/8",
        "3/0 6/8",
        "3/0, 6/8",
        "3'0\" x 6'8\"",
        "3'-0\" x 6'-8\"",
        "3′-0″ × 6′-8″",
        "3'0\" 6'8\"",
        "3' x 6'8\"",
        "3 ft 0 in x 6 ft 8 in",
        "36 in x 80 in",
        '36" x 80"',
        '36 x 80"',
        '36"W x 80"H',
        '80"H x 36"W',
        '80" x 36"W',
        '80"H x 36"',
        '36" x 80"H',
        "914.4 x 2032 mm",
        "36 in x 2032 mm",
    ],
)
def test_every_way_of_writing_a_36_by_80_door_is_the_same_size(text: str, unit: LengthUnit) -> None:
    assert parse_door_size(text, unit) == size_in(36, 80)


@pytest.mark.parametrize(
    ("text", "width", "height"),
    [("3068", 36, 80), ("3070", 36, 84), ("3080", 36, 96), ("6070", 72, 84), ("2868", 32, 80)],
)
def test_four_digits_are_feet_and_inches_width_first(
    text: str, width: float, height: float
) -> None:
    assert parse_door_size(text, INCH) == size_in(width, height)


@pytest.mark.parametrize(
    ("text", "read_as", "width", "height"),
    [
        ("21068", "2-10 x 6-8", 34, 80),
        ("30610", "3-0 x 6-10", 36, 82),
        ("210610", "2-10 x 6-10", 34, 82),
        ("300608", "3-0 x 6-8", 36, 80),
    ],
)
def test_digits_with_two_digit_inches_are_read_and_flagged(
    text: str, read_as: str, width: float, height: float
) -> None:
    assert parse_door_size(text, INCH) == size_in(
        width,
        height,
        f"Size “{text}” was read as {read_as}, in feet and inches: it is easily misread, "
        "so check it.",
    )


def test_digits_in_a_metric_order_are_flagged_as_feet_and_inches() -> None:
    assert parse_door_size("3068", MILLIMETRE) == size_in(
        36,
        80,
        "Size “3068” was read as 3-0 x 6-8, in feet and inches: it is easily misread, so check it.",
    )


@pytest.mark.parametrize(
    "text",
    [
        '3\'-0" x 7\'-0" x 1-3/4"',
        "3-0 x 7-0 x 1 3/4",
        '3070 x 1-3/4"',
        "3/0 7/0 x 1-3/4",
    ],
)
def test_thickness_is_read_and_noted_and_not_used(text: str) -> None:
    assert parse_door_size(text, INCH) == size_in(
        36, 84, f"Size “{text}”: the thickness, 1 3/4 in, is not used."
    )


@pytest.mark.parametrize(
    "text", ["3-0 1/2 x 6-8", "3'-0 1/2\" x 6'-8\"", "36 1/2 x 80", "36½ x 80"]
)
def test_a_side_may_have_a_fraction(text: str) -> None:
    assert parse_door_size(text, INCH) == size_in(36.5, 80)


def test_bare_sides_are_in_the_orders_unit() -> None:
    assert parse_door_size("36 x 80", INCH) == size_in(36, 80)
    assert parse_door_size("926 x 2040", MILLIMETRE) == DoorSize(
        width_nm=926 * NM_PER_MILLIMETRE, height_nm=2040 * NM_PER_MILLIMETRE
    )


def test_bare_side_takes_the_unit_of_the_other() -> None:
    expected = DoorSize(width_nm=914 * NM_PER_MILLIMETRE, height_nm=2032 * NM_PER_MILLIMETRE)
    assert parse_door_size("914 x 2032 mm", INCH) == expected
    assert parse_door_size("914 mm x 2032", INCH) == expected


def test_size_that_hints_at_the_wrong_unit_is_noted() -> None:
    assert parse_door_size("36 x 80", MILLIMETRE).notes == (
        "Size “36 x 80”: a width of 36 mm is unusual; check the unit.",
        "Size “36 x 80”: a height of 80 mm is unusual; check the unit.",
    )
    assert parse_door_size("914 x 2032", INCH).notes == (
        "Size “914 x 2032”: a width of 914 in is unusual; check the unit.",
        "Size “914 x 2032”: a height of 2032 in is unusual; check the unit.",
    )


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("21110", "“21110” can be read as 2-11 x 1-0 or as 2-1 x 1-10; write the one meant."),
        (
            "0926",
            "“0926” is not four digits that give feet and inches of width and of height; "
            "write width x height, such as 3-0 x 6-8.",
        ),
        (
            "3-0 x 80",
            "“3-0 x 80” has one side in feet and one bare number, 80; write both sides alike.",
        ),
        (
            "3' x 80",
            "“3' x 80” has one side in feet and one bare number, 80; write both sides alike.",
        ),
        (
            "3-14 x 6-8",
            "“3-14 x 6-8” has the side “3' 14\"”, which has 12 or more inches after feet; "
            "carry them into the feet.",
        ),
        (
            "36 80",
            "“36 80” is not a size; write width x height, such as 3-0 x 6-8, 36 in x 80 in or "
            "914 mm x 2032 mm.",
        ),
        (
            "1 x 2 x 3 x 4",
            "“1 x 2 x 3 x 4” is not a size; write width x height, such as 3-0 x 6-8, "
            "36 in x 80 in or 914 mm x 2032 mm.",
        ),
        ("0 x 80", "“0 x 80” has a width of 0; state what was measured."),
        ('36"W x 80"W', '“36"W x 80"W” marks both sides W; mark one W and the other H.'),
        (
            "36 x",
            "“36 x” is not a size; write width x height, such as 3-0 x 6-8, 36 in x 80 in or "
            "914 mm x 2032 mm.",
        ),
        (
            "36 x tall",
            "“36 x tall” has the side “tall”, which is not a length; write a number with an "
            "optional unit, such as 36 1/2 in, 3'-0\", 914.4 mm or 0.9144 m.",
        ),
        ("", "“” is empty; state a number, with its unit where it needs one."),
        ("3068\0", "“3068\\x00” holds a control character; remove it."),
    ],
)
def test_size_that_cannot_be_read_in_just_one_way_is_refused(text: str, message: str) -> None:
    with pytest.raises(DoorSizeError) as caught:
        parse_door_size(text, INCH)
    assert str(caught.value) == message


@pytest.mark.parametrize("text", ["abc", "30", "306", "3068000", "x", "3068 3068"])
def test_what_is_not_a_size_is_refused(text: str) -> None:
    with pytest.raises(DoorSizeError):
        parse_door_size(text, INCH)
