"""Rows of a schedule to openings: marks, counts, kinds, sizes, finishes, remarks. All invented."""

import pytest

from optimiser.domain.opening import (
    MeetingStiles,
    Opening,
    OpeningKind,
    SashCords,
    SizeOf,
    Threshold,
)
from optimiser.schedules import NO_HEADER, PairWidth, ReadingOptions, ScheduleField
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
SIZED = ("Mark", "Qty", "Type", "Size", "Strip finish")


def sized(size: str, kind: str = "single", qty: str = "1", **settings: object) -> Opening:
    reading = read_rows(("D-01", qty, kind, size, "zinc"), header=SIZED, **settings)
    assert messages(reading) == []
    return reading.openings[0]


def inches(opening: Opening) -> tuple[float, float]:
    return opening.width_nm / NM_PER_INCH, opening.height_nm / NM_PER_INCH


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


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("SINGLE_SWING_LEFT", OpeningKind.SINGLE_DOOR),
        ("SINGLE_SWING_RIGHT", OpeningKind.SINGLE_DOOR),
        ("DOUBLE_DOOR_SINGLE_SWING", OpeningKind.PAIR_OF_DOORS),
        ("SIDEHUNGRIGHTHAND", OpeningKind.CASEMENT_WINDOW),
        ("TOPHUNG", OpeningKind.AWNING_WINDOW),
        ("BOTTOMHUNG", OpeningKind.HOPPER_WINDOW),
        ("SLIDINGVERTICAL", OpeningKind.DOUBLE_HUNG_WINDOW),
        ("FIXEDCASEMENT", OpeningKind.FIXED_WINDOW),
        ("SINGLE_PANEL, SIDEHUNGLEFTHAND", OpeningKind.CASEMENT_WINDOW),
        ("SINGLE_PANEL / TOPHUNG", OpeningKind.AWNING_WINDOW),
        ("DOUBLE_PANEL_HORIZONTAL SLIDINGVERTICAL", OpeningKind.DOUBLE_HUNG_WINDOW),
        ("Dutch door", OpeningKind.DUTCH_DOOR),
        ("pair-of-doors", OpeningKind.PAIR_OF_DOORS),
        ("Double-hung", OpeningKind.DOUBLE_HUNG_WINDOW),
    ],
)  # names in capitals: schema IFC4
def test_kind_is_read_by_the_words_of_the_trade_and_of_ifc(text: str, kind: OpeningKind) -> None:
    assert sized("36 x 80", text).kind is kind


@pytest.mark.parametrize(
    ("text", "code", "problem"),
    [
        ("door", "kind-ambiguous", "may mean single-door or pair-of-doors"),
        ("Window", "kind-ambiguous", "may mean casement-window or fixed-window"),
        ("SLIDING_TO_LEFT", "kind-not-taken", "slides, which no rule set seals"),
        ("A", "kind-unknown", "is not a known kind"),
        ("REMOVABLECASEMENT", "kind-not-taken", "is lifted out, which no rule set seals"),
        (
            "DOUBLE_PANEL_VERTICAL",
            "kind-not-taken",
            "means two panels side by side, and not how each opens",
        ),
        (
            "TRIPLE_PANEL_BOTTOM",
            "kind-not-taken",
            "means two panels side by side over a third, and not how each opens",
        ),
    ],
)
def test_kind_that_is_not_clear_is_refused(text: str, code: str, problem: str) -> None:
    reading = read_rows(("D-01", "1", text, "3068", "zinc"), header=SIZED)
    assert [(f.code, f.problem) for f in reading.faults] == [(code, problem)]
    assert reading.openings == ()


# Schema IFC4; the names were looked up in a public parser of it.
IFC_NAMES = [
    "SINGLE_SWING_LEFT",
    "SINGLE_SWING_RIGHT",
    "DOUBLE_DOOR_SINGLE_SWING",
    "DOUBLE_DOOR_SINGLE_SWING_OPPOSITE_LEFT",
    "DOUBLE_DOOR_SINGLE_SWING_OPPOSITE_RIGHT",
    "DOUBLE_SWING_LEFT",
    "DOUBLE_SWING_RIGHT",
    "DOUBLE_DOOR_DOUBLE_SWING",
    "SLIDING_TO_LEFT",
    "SLIDING_TO_RIGHT",
    "DOUBLE_DOOR_SLIDING",
    "FOLDING_TO_LEFT",
    "FOLDING_TO_RIGHT",
    "DOUBLE_DOOR_FOLDING",
    "REVOLVING",
    "ROLLINGUP",
    "SWING_FIXED_LEFT",
    "SWING_FIXED_RIGHT",
    "USERDEFINED",
    "NOTDEFINED",
    "SINGLE_PANEL",
    "DOUBLE_PANEL_VERTICAL",
    "DOUBLE_PANEL_HORIZONTAL",
    "TRIPLE_PANEL_VERTICAL",
    "TRIPLE_PANEL_HORIZONTAL",
    "TRIPLE_PANEL_BOTTOM",
    "TRIPLE_PANEL_TOP",
    "TRIPLE_PANEL_LEFT",
    "TRIPLE_PANEL_RIGHT",
    "SIDEHUNGRIGHTHAND",
    "SIDEHUNGLEFTHAND",
    "TILTANDTURNRIGHTHAND",
    "TILTANDTURNLEFTHAND",
    "TOPHUNG",
    "BOTTOMHUNG",
    "PIVOTHORIZONTAL",
    "PIVOTVERTICAL",
    "SLIDINGHORIZONTAL",
    "SLIDINGVERTICAL",
    "REMOVABLECASEMENT",
    "FIXEDCASEMENT",
    "OTHEROPERATION",
]


@pytest.mark.parametrize("name", IFC_NAMES)
def test_every_ifc_name_is_a_kind_or_is_refused_with_what_it_says(name: str) -> None:
    reading = read_rows(("D-01", "1", name, "36 x 80", "zinc"), header=SIZED)
    assert {fault.code for fault in reading.faults} <= {"kind-ambiguous", "kind-not-taken"}
    assert len(reading.openings) + len(reading.faults) == 1


def test_panels_of_a_window_get_rows_of_their_own() -> None:
    row = ("W-01", "1", "TRIPLE_PANEL_LEFT", "72 x 48", "zinc")
    assert messages(read_rows(row, header=SIZED)) == [
        "Row 2, column C (Type): “TRIPLE_PANEL_LEFT” means one panel beside two, one above the "
        "other, and not how each opens; give each panel a row of its own, with its kind and its "
        "size."
    ]


def test_words_of_the_schedule_are_taken_as_the_user_says() -> None:
    options = ReadingOptions(words={F.KIND: {"a": "single-door"}, F.FINISH: {"ZN": "zinc"}})
    reading = read_rows(("D-01", "1", "A", "3068", "zn"), header=SIZED, options=options)
    assert [(o.kind, o.finish) for o in reading.openings] == [(OpeningKind.SINGLE_DOOR, "zinc")]


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
