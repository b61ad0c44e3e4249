"""Kinds in the rows of a schedule: words of the trade, names of IFC."""

import pytest

from optimiser.domain.opening import (
    Opening,
    OpeningKind,
)
from optimiser.schedules import ReadingOptions, ScheduleField
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
