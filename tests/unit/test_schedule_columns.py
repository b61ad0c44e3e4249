"""Columns of a schedule: found by their usual names, mapped, measured by their headers."""

import pytest

from optimiser.domain.opening import (
    Opening,
    SizeOf,
)
from optimiser.schedules import NO_HEADER, ReadingOptions, ScheduleField
from optimiser.units.lengths import NM_PER_INCH, LengthUnit
from tests.unit.schedule_files import (
    DOOR,
    HEADER,
    codes,
    csv_bytes,
    messages,
    note_codes,
    read,
    read_rows,
    skipped_codes,
)

F = ScheduleField


def inches(opening: Opening) -> tuple[float, float]:
    return opening.width_nm / NM_PER_INCH, opening.height_nm / NM_PER_INCH


@pytest.mark.parametrize(
    ("header", "fields"),
    [
        (("No.", "Count", "Door type", "W", "H", "Finish"),
         "mark quantity kind width height finish"),
        (("Tag", "QTY.", "Operation", "Door width", "Door height", "Seal finish"),
         "mark quantity kind width height finish"),
        (("Door No", "Number of", "Style", "Size (W x H)", "Comments", "Finish"),
         "mark quantity kind size remarks finish"),
        (("Name", "Quantity", "OperationType", "OverallWidth", "OverallHeight", "FIN"),
         "mark quantity kind width height finish"),
    ],
)  # fmt: skip
def test_columns_are_found_by_their_usual_names(header: tuple[str, ...], fields: str) -> None:
    reading = read_rows(("x",) * 6, header=header)
    assert [column.field for column in reading.columns] == fields.split()


def test_header_names_unit_and_datum() -> None:
    header = ("Mark", "Type", "Rough opening width (mm)", "R.O. height", "Strip finish")
    reading = read_rows(("D-01", "single", "914", "2'", "zinc"), header=header)
    assert messages(reading) == []
    (opening,) = reading.openings
    assert opening.size_of is SizeOf.ROUGH_OPENING
    assert (opening.width_nm, opening.height_nm) == (914_000_000, 24 * NM_PER_INCH)
    assert (1, "D", "unit-taken") in note_codes(reading)


def test_size_in_centimetres_by_its_header() -> None:
    reading = read_rows(
        ("D-01", "single", "90 x 200,5", "zinc"),
        header=("Mark", "Type", "Size, cm", "Strip finish"),
        options=ReadingOptions(decimal_comma=True),
    )
    assert [(o.width_nm, o.height_nm) for o in reading.openings] == [(900_000_000, 2_005_000_000)]


def test_explicit_mapping_wins_over_the_usual_names() -> None:
    reading = read_rows(
        ("7", "D-01", "single", "3068", "painted", "zinc"),
        header=("No.", "Where", "Type", "Leaf", "Finish", "Metal"),
        mapping={F.MARK: "where", F.SIZE: "D", F.FINISH: "Metal", F.QUANTITY: None},
    )
    assert messages(reading) == []
    assert [(o.mark, o.finish, o.quantity) for o in reading.openings] == [("D-01", "zinc", 1)]
    assert [(c.letter, c.field) for c in reading.columns] == [
        ("A", None), ("B", F.MARK), ("C", F.KIND), ("D", F.SIZE), ("E", None), ("F", F.FINISH),
    ]  # fmt: skip


def test_mapping_to_a_column_that_is_not_there_is_refused() -> None:
    reading = read_rows(DOOR, mapping={F.FINISH: "Metal", F.MARK: "Qty", F.QUANTITY: "Qty"})
    assert messages(reading)[:2] == [
        "The schedule: “Metal” is mapped to finish, but no column has that header or letter; map "
        "one of: A Mark, B Qty, C Type, D Width, E Height, F Strip finish.",
        "The schedule: “Qty” is mapped to quantity, but that column is mapped to another field as "
        "well; map one of: A Mark, B Qty, C Type, D Width, E Height, F Strip finish.",
    ]


def test_file_without_a_header_is_read_by_letters() -> None:
    reading = read(
        csv_bytes([("D-01", "3068", "single")]),
        mapping={F.MARK: "A", F.SIZE: "B", F.KIND: "C"},
        defaults={F.FINISH: "zinc"},
        options=ReadingOptions(header_row=NO_HEADER),
    )
    assert messages(reading) == []
    assert [inches(o) for o in reading.openings] == [(36, 80)]


def test_number_beside_a_mark_is_not_guessed_to_be_the_quantity() -> None:
    header = ("Mark", "No.", "Type", "Size", "Strip finish")
    row = ("D-01", "2", "single", "3068", "zinc")
    assert messages(read_rows(row, header=header)) == [
        "Row 1, column B (No.): the column may state the quantity or a running number; map "
        "quantity to it, or map quantity to no column."
    ]
    assert read_rows(row, header=header, mapping={F.QUANTITY: "No."}).quantity == 2
    assert read_rows(row, header=header, mapping={F.QUANTITY: None}).quantity == 1


def test_two_columns_for_one_field_are_refused() -> None:
    header = ("Mark", "Tag", "Type", "Size", "Strip finish")
    reading = read_rows(("D-01", "x", "single", "3068", "zinc"), header=header)
    assert messages(reading)[0] == (
        "Row 1: columns A (Mark) and B (Tag) may all state the mark; map mark to the one meant."
    )


def test_columns_that_measure_different_things_are_refused() -> None:
    header = ("Mark", "Type", "Leaf width", "Frame height", "Strip finish")
    reading = read_rows(("D-01", "single", "36", "80", "zinc"), header=header)
    assert codes(reading) == [(1, None, "datum-differs")]


def test_missing_columns_are_told_once() -> None:
    reading = read_rows(("D-01", "36"), ("D-02", "36"), header=("Mark", "Width"))
    assert messages(reading) == [
        "Row 1: no column states the height (read are: Mark as mark, Width as width); give it a "
        "column, or map the one that states it.",
        "Row 1: no column states the kind (read are: Mark as mark, Width as width); give it a "
        "column, or a default, or map the one that states it.",
        "Row 1: no column states the finish (read are: Mark as mark, Width as width); give it a "
        "column, or a default, or map the one that states it.",
    ]


def test_finish_that_may_be_the_doors_is_noted_and_other_columns_are_named() -> None:
    reading = read_rows((*DOOR, "clear"), header=(*HEADER[:5], "Finish", "Glazing"))
    assert [note.message for note in reading.notes] == [
        "Row 1, column F (Finish): the column was read as the finish of the strip; if it states "
        "that of the door, map finish to no column and give a default.",
        "Row 1, column G (Glazing): the column was not read.",
    ]


def test_schedule_without_a_header_is_refused() -> None:
    assert messages(read(b"D-01,36,80\nD-02,36,80\n")) == [
        "The schedule: no header was found: no row names a mark or a size, and one more column; "
        "name the columns as usual (mark, qty, type, width, height), map them to the headers that "
        "the file has, or give header_row 0 and map them by letter."
    ]


def test_header_without_rows_is_refused() -> None:
    reading = read_rows()
    assert messages(reading) == [
        "The schedule: there is no row with an opening below the header; add one."
    ]
    assert skipped_codes(reading) == [(1, 1, "header")]


def test_too_many_openings_are_refused() -> None:
    reading = read_rows(("D-01", "30000", *DOOR[2:]), ("D-02", "30000", *DOOR[2:]))
    assert messages(reading) == [
        "Row 3, column B (Qty): the quantities add up to more than 50,000 with this row; split "
        "the schedule."
    ]


def test_metric_schedule_is_read_exactly() -> None:
    reading = read_rows(("D-01", "1", "single", "762", "1981", "zinc"), unit=LengthUnit.MILLIMETRE)
    assert [(o.width_nm, o.height_nm) for o in reading.openings] == [(762_000_000, 1_981_000_000)]
