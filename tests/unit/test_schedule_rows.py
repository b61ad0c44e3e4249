"""Rows of a schedule to openings: what is read, carried down, skipped, noted. All invented."""

from optimiser.domain.opening import (
    MeetingStiles,
    Opening,
    OpeningKind,
    SashCords,
    Threshold,
)
from optimiser.schedules import ReadingOptions, ScheduleField
from optimiser.units.lengths import NM_PER_INCH
from tests.unit.schedule_files import (
    DOOR,
    HEADER,
    codes,
    csv_bytes,
    messages,
    read,
    read_rows,
)

F = ScheduleField


def test_row_becomes_an_opening() -> None:
    reading = read_rows(DOOR)
    assert reading.faults == ()
    assert reading.openings == (
        Opening(
            mark="D-01",
            kind=OpeningKind.SINGLE_DOOR,
            width_nm=36 * NM_PER_INCH,
            height_nm=80 * NM_PER_INCH,
            quantity=2,
            finish="zinc",
        ),
    )
    (row,) = reading.rows
    assert (row.row, row.marks) == (2, ("D-01",))
    assert dict(row.values) == {
        F.MARK: "D-01", F.QUANTITY: "2", F.KIND: "single door",
        F.WIDTH: "36", F.HEIGHT: "80", F.FINISH: "zinc",
    }  # fmt: skip


def test_every_fault_of_every_row_is_reported_and_nothing_is_taken() -> None:
    reading = read_rows(
        ("", "x", "barn", "36,5", "-1", ""),
        ("D-02", "0", "single", "36 1/2", "80", "zinc"),
        DOOR,
    )
    assert messages(reading) == [
        "Row 2, column A (Mark): the cell is blank; write the mark.",
        "Row 2, column B (Qty): “x” is not a whole number; write one, such as 4.",
        "Row 2, column C (Type): “barn” is not a known kind; give one of single-door, "
        "pair-of-doors, dutch-door, casement-window, hopper-window, awning-window, "
        "double-hung-window, fixed-window, or say once what the word means in this schedule.",
        "Row 2, column D (Width): “36,5” holds a comma, which may mark thousands or decimals; "
        "write a decimal point, and no mark for thousands.",
        "Row 2, column E (Height): “-1” is negative; state a length of 0 or more.",
        "Row 2, column F (Strip finish): the cell is blank; write the finish.",
        "Row 3, column B (Qty): “0” is below 1; write 1 or more, or remove the row.",
    ]
    assert (reading.openings, reading.rows) == ((), ())


def test_width_and_height_must_agree_with_the_size() -> None:
    header = ("Mark", "Type", "Size", "Width", "Height", "Strip finish")
    agreeing = read_rows(("D-01", "single", "3068", "36", "", "zinc"), header=header)
    assert agreeing.faults == ()
    reading = read_rows(("D-01", "single", "3068", "36", "84", "zinc"), header=header)
    assert messages(reading) == [
        "Row 2, column E (Height): “84” does not agree with the size “3068”, which gives 80 in; "
        "correct one of them, or leave one blank."
    ]


def test_door_wider_than_high_and_unlikely_sides_are_noted() -> None:
    reading = read_rows(
        ("D-01", "1", "single", "80", "36", "zinc"),
        ("D-02", "1", "single", "914", "2032", "zinc"),
    )
    assert [note.message for note in reading.notes] == [
        "Row 2, column D (Width): The width is greater than the height; check which is which.",
        "Row 3, column D (Width): A width of 914 in is unusual; check the unit.",
        "Row 3, column E (Height): A height of 2032 in is unusual; check the unit.",
    ]
    assert reading.openings[1].notes == (
        "A width of 914 in is unusual; check the unit.",
        "A height of 2032 in is unusual; check the unit.",
    )


def test_options_of_an_opening_are_read_from_their_columns() -> None:
    header = (*HEADER, "Spacing", "Threshold", "Meeting stiles", "Cords", "Product", "Lower height")
    reading = read_rows(
        (*DOOR, '3" o.c.', "interlocking", "", "", "Interlocking strip", ""),
        ("D-02", "1", "pair", "72", "80", "zinc", "2", "none", "nested members", "", "", ""),
        ("W-01", "1", "double hung", "30", "60", "bronze", "", "", "", "yes", "", "28"),
        header=header,
    )
    assert messages(reading) == []
    door, pair, window = reading.openings
    assert door.fastener_spacing_nm == 3 * NM_PER_INCH
    assert (door.threshold, door.rule_set) == (Threshold.INTERLOCKING, "interlocking-strip")
    assert pair.meeting_stiles is MeetingStiles.NESTED_MEMBERS
    assert window.sash_cords is SashCords.OVER_PULLEYS
    assert window.lower_height_nm == 28 * NM_PER_INCH


def test_rule_set_is_checked_where_the_known_ones_are_given() -> None:
    options = ReadingOptions(rule_sets=frozenset({"interlocking-strip", "cushion-strip"}))
    reading = read_rows((*DOOR, "spring"), header=(*HEADER, "Product"), options=options)
    assert messages(reading) == [
        "Row 2, column G (Product): “spring” is not a known rule set; give one of cushion-strip, "
        "interlocking-strip."
    ]


def test_hand_and_other_columns_are_kept_word_for_word_in_the_remarks() -> None:
    header = (*HEADER, "Hand", "Material", "Remarks", "Fire rating")
    reading = read_rows((*DOOR, "LHR", "oak", "check sill", "20 min"), header=header)
    assert reading.openings[0].remarks == (
        "check sill; Hand: LHR; Material: oak; Fire rating: 20 min"
    )


def test_defaults_stand_for_missing_columns_and_blank_cells() -> None:
    header = ("Mark", "Size", "Type")
    reading = read_rows(
        ("D-01", "3068", ""),
        ("D-02", "6068", "pair"),
        header=header,
        defaults={
            F.KIND: "single",
            F.FINISH: "zinc",
            F.FASTENER_SPACING: "3 in",
            F.MEETING_STILES: "nested",
            F.RULE_SET: "cushion strip",
        },
    )
    assert messages(reading) == []
    door, pair = reading.openings
    assert (door.kind, door.finish, door.rule_set) == (
        OpeningKind.SINGLE_DOOR, "zinc", "cushion-strip",
    )  # fmt: skip
    # A default for meeting stiles is for pairs alone.
    assert door.meeting_stiles is MeetingStiles.BY_OTHERS
    assert pair.meeting_stiles is MeetingStiles.NESTED_MEMBERS
    assert pair.fastener_spacing_nm == 3 * NM_PER_INCH


def test_faulty_default_is_told_once() -> None:
    reading = read_rows(
        ("D-01", "3068"), ("D-02", "3068"), header=("Mark", "Size"),
        defaults={F.KIND: "barn", F.FINISH: "zinc"},
    )  # fmt: skip
    assert messages(reading) == [
        "The default for kind: “barn” is not a known kind; give one of single-door, "
        "pair-of-doors, dutch-door, casement-window, hopper-window, awning-window, "
        "double-hung-window, fixed-window, or say once what the word means in this schedule."
    ]


def test_ditto_marks_repeat_the_cell_above() -> None:
    reading = read_rows(DOOR, ("D-02", "ditto", '"', "''", '"', "do."))
    assert messages(reading) == []
    assert reading.openings[1].width_nm == 36 * NM_PER_INCH
    assert (reading.openings[1].quantity, reading.openings[1].finish) == (2, "zinc")


def test_ditto_mark_below_nothing_is_refused() -> None:
    reading = read_rows(("D-01", "1", '"', "36", "80", "zinc"))
    assert messages(reading) == [
        'Row 2, column C (Type): “"” repeats the cell above, which is blank; write the value.'
    ]


def test_blank_cells_carry_down_only_where_the_user_says_so() -> None:
    rows = (DOOR, ("D-02", "1", "", "36", "80", ""))
    assert codes(read_rows(*rows)) == [(3, "C", "kind-missing"), (3, "F", "finish-missing")]
    options = ReadingOptions(carry_down=frozenset({F.KIND, F.FINISH}))
    reading = read_rows(*rows, options=options)
    assert [(o.kind, o.finish) for o in reading.openings] == [(OpeningKind.SINGLE_DOOR, "zinc")] * 2


def test_dashes_and_n_a_are_blank() -> None:
    reading = read_rows((*DOOR, "-", "n/a"), header=(*HEADER, "Spacing", "Remarks"))
    assert messages(reading) == []
    assert (reading.openings[0].fastener_spacing_nm, reading.openings[0].remarks) == (None, "")


def test_rows_that_state_no_opening_are_skipped_and_said_to_be() -> None:
    reading = read(
        csv_bytes(
            [
                ("Harbour Row hotel", "", "", "", "", ""),
                (),
                HEADER,
                ("GROUND FLOOR", "", "", "", "", ""),
                DOOR,
                (),
                (),
                HEADER,
                ("D-02", "3", *DOOR[2:]),
                ("", "", "", "", "", ""),
                ("Total", "5", "", "", "", ""),
                ("All sizes to be checked on site", "", "", "", "", ""),
            ]
        )
    )
    assert messages(reading) == []
    assert [opening.mark for opening in reading.openings] == ["D-01", "D-02"]
    assert [rows.message for rows in reading.skipped] == [
        "Row 1 was skipped: above the header.",
        "Row 2 was skipped: blank.",
        "Row 3 was skipped: the header.",
        "Row 4 was skipped: it holds a heading alone.",
        "Rows 6 to 7 were skipped: blank.",
        "Row 8 was skipped: it repeats the header.",
        "Row 10 was skipped: blank.",
        "Row 11 was skipped: it states a total.",
        "Row 12 was skipped: it holds a single text and no opening.",
    ]


def test_total_that_differs_is_noted() -> None:
    reading = read_rows(DOOR, ("Total:", "7", "", "", "", ""))
    assert [note.message for note in reading.notes] == [
        "Row 3: the total is 7, and the rows above add up to 2 openings; check that none is "
        "missing."
    ]


def test_lone_mark_is_a_faulty_row_and_not_a_heading() -> None:
    reading = read_rows(DOOR, ("D-02", "", "", "", "", ""))
    assert codes(reading) == [
        (3, "C", "kind-missing"),
        (3, "D", "width-missing"),
        (3, "E", "height-missing"),
        (3, "F", "finish-missing"),
    ]
