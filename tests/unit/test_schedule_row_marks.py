"""Marks and quantities in the rows of a schedule: lists, ranges, the usual words."""

import pytest

from optimiser.domain.opening import (
    Opening,
)
from tests.unit.schedule_files import (
    DOOR,
    messages,
    read_rows,
)

SIZED = ("Mark", "Qty", "Type", "Size", "Strip finish")


def sized(size: str, kind: str = "single", qty: str = "1", **settings: object) -> Opening:
    reading = read_rows(("D-01", qty, kind, size, "zinc"), header=SIZED, **settings)
    assert messages(reading) == []
    return reading.openings[0]


@pytest.mark.parametrize(
    ("marks", "quantity", "wanted"),
    [
        ("D-01 - D-03", "3", ["D-01", "D-02", "D-03"]),
        ("D-01 – D-03", "", ["D-01", "D-02", "D-03"]),
        ("D-09 to D-11", "", ["D-09", "D-10", "D-11"]),
        ("D-8 thru D-10", "", ["D-8", "D-9", "D-10"]),
        ("D01-D03", "", ["D01", "D02", "D03"]),
        ("101-103", "", ["101", "102", "103"]),
        ("D-01-03", "3", ["D-01", "D-02", "D-03"]),
        ("1-3", "3", ["1", "2", "3"]),
        ("101A-101C", "", ["101A", "101B", "101C"]),
        ("W1, W3", "2", ["W1", "W3"]),
        ("W1; W3 - W5 & W9", "5", ["W1", "W3", "W4", "W5", "W9"]),
        ("D-01-03", "1", ["D-01-03"]),
        ("1-101", "", ["1-101"]),
        ("101/A", "", ["101/A"]),
    ],
)
def test_marks_are_lists_and_ranges(marks: str, quantity: str, wanted: list[str]) -> None:
    reading = read_rows((marks, quantity, "single", "3068", "zinc"), header=SIZED)
    assert messages(reading) == []
    assert [opening.mark for opening in reading.openings] == wanted
    assert all(opening.quantity == 1 for opening in reading.openings)


@pytest.mark.parametrize(
    ("marks", "quantity", "column", "message"),
    [
        (
            "D-01 - D-06", "4", "B",
            "Row 2, column B (Qty): “4” does not agree with the 6 marks from D-01 to D-06; write "
            "6, leave it blank, or correct the marks.",
        ),
        (
            "D-06 - D-01", "", "A",
            "Row 2, column A (Mark): “D-06 - D-01” is not a range: its ends differ in more than "
            "their last number or letter, or run backwards; write both ends alike, such as D-01 - "
            "D-06, or each mark in a row of its own.",
        ),
        (
            "1-3", "", "A",
            "Row 2, column A (Mark): “1-3” may be one mark or the range from 1 to 3; write 1 to 3 "
            "for a range, or state the quantity.",
        ),
        (
            "D-1 to D-9999", "", "A",
            "Row 2, column A (Mark): “D-1 to D-9999” names more than 1,000 marks; split the row, "
            "or check the ends of the range.",
        ),
        (
            "W1, W1", "2", "A",
            "Row 2, column A (Mark): “W1, W1” names W1 twice; name each mark once.",
        ),
    ],
)  # fmt: skip
def test_marks_that_are_not_clear_are_refused(
    marks: str, quantity: str, column: str, message: str
) -> None:
    reading = read_rows((marks, quantity, "single", "3068", "zinc"), header=SIZED)
    assert messages(reading) == [message]
    assert reading.faults[0].place.column == column


def test_range_with_a_bare_hyphen_is_noted() -> None:
    reading = read_rows(("101-103", "3", "single", "3068", "zinc"), header=SIZED)
    assert [note.message for note in reading.notes] == [
        "Row 2, column A (Mark): “101-103” was read as the range from 101 to 103."
    ]


def test_mark_of_two_rows_is_refused_in_the_second() -> None:
    reading = read_rows(("D-01 - D-03", "3", *DOOR[2:]), ("D-02", "1", *DOOR[2:]))
    assert messages(reading) == [
        "Row 3, column A (Mark): “D-02” has D-02, which is a mark of row 2 as well; give each row "
        "marks of its own, or add the quantities."
    ]


@pytest.mark.parametrize("text", ["4", "4.0", "4 EA", "(4)", "x4", "4 no.", "4,00"])
def test_quantity_is_read_with_the_usual_words(text: str) -> None:
    assert sized("3068", qty=text).quantity == 4


def test_blank_quantity_is_one_and_noted() -> None:
    reading = read_rows(("D-01", "", *DOOR[2:]))
    assert [note.message for note in reading.notes] == [
        "Row 2, column B (Qty): the quantity is blank and was read as 1."
    ]
    assert reading.quantity == 1
