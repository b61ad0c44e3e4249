"""Cautions: which apply where, and that each has its source and defers to local rules."""

from dataclasses import replace

import pytest

from optimiser.domain.opening import OpeningKind, Threshold
from optimiser.domain.order import Order
from optimiser.explain import applicable_cautions, bench_cautions, leaf_cautions
from optimiser.takeoff import take_off
from tests.ten_doors import SMALL, TEN_DOORS


def marks_by_code(order: Order) -> dict[str, tuple[str, ...]]:
    return {caution.code: caution.marks for caution in applicable_cautions(take_off(order))}


def test_doors_get_the_cautions_for_doors() -> None:
    assert marks_by_code(TEN_DOORS) == {
        "fire-rated": (),
        "escape": (),
        "old-paint": (),
        "square-and-plumb": (),
        "bent-strip": (),
        "eyes-and-hands": (),
    }


def test_a_mixed_order_names_the_openings_that_a_caution_applies_to() -> None:
    assert marks_by_code(SMALL) == {
        "fire-rated": ("D-1", "D-2"),
        "escape": ("D-1", "D-2"),
        "old-paint": (),
        "glazing": ("W-1",),
        "square-and-plumb": ("D-1", "D-2"),
        "bent-strip": ("D-1", "D-2"),
        "eyes-and-hands": (),
    }


def test_a_threshold_brings_the_caution_for_accessible_routes() -> None:
    door = replace(TEN_DOORS.openings[0], threshold=Threshold.INTERLOCKING)
    plain = replace(TEN_DOORS.openings[0], mark="D-2")
    order = replace(TEN_DOORS, openings=(door, plain))
    assert marks_by_code(order)["accessible-threshold"] == ("D-1",)
    swept = replace(plain, also=("sweep",))
    order = replace(TEN_DOORS, openings=(swept, replace(door, also=("threshold",), mark="D-1")))
    assert marks_by_code(order)["accessible-threshold"] == ("D-1",)


def test_strip_bends_only_where_the_leaf_carries_it() -> None:
    # Spring metal and gaskets lie on the frame; interlocking strip and sweeps on the leaf too.
    on_frame = replace(TEN_DOORS.openings[0], mark="D-2", rule_set="spring-metal")
    gasket = replace(on_frame, mark="D-3", rule_set="perimeter-gasket")
    swept = replace(gasket, mark="D-4", also=("sweep",))
    order = replace(TEN_DOORS, openings=(TEN_DOORS.openings[0], on_frame, gasket, swept))
    assert marks_by_code(order)["bent-strip"] == ("D-1", "D-4")


def test_every_caution_has_a_source_and_defers() -> None:
    door = replace(TEN_DOORS.openings[0], threshold=Threshold.INTERLOCKING)
    window = replace(TEN_DOORS.openings[0], mark="W-1", kind=OpeningKind.CASEMENT_WINDOW)
    cautions = applicable_cautions(take_off(replace(TEN_DOORS, openings=(door, window))))
    assert len(cautions) == 8
    for caution in cautions:
        assert caution.source
        assert "local" in caution.sentence


def test_the_sources_are_those_of_the_standards() -> None:
    # NFPA 80 (2022) 5.1.5.2 and ADA 404.2.5 as quoted on idighardware.com (2022-10, 2017-11);
    # 40 CFR 745 as published by the EPA.
    door = replace(TEN_DOORS.openings[0], threshold=Threshold.INTERLOCKING)
    source = {
        caution.code: caution.source
        for caution in applicable_cautions(take_off(replace(TEN_DOORS, openings=(door,))))
    }
    assert source["fire-rated"].startswith("NFPA 80 (2022), 5.1.5.2")
    assert source["accessible-threshold"] == "ADA Standards 404.2.5"
    assert source["old-paint"].startswith("40 CFR 745")


def test_a_sliding_sash_is_checked_for_square_and_is_not_stood_on_its_strip() -> None:
    sash = replace(
        TEN_DOORS.openings[0], kind=OpeningKind.DOUBLE_HUNG_WINDOW, rule_set="double-hung-set"
    )
    assert set(marks_by_code(replace(TEN_DOORS, openings=(sash,)))) == {
        "old-paint",
        "glazing",
        "square-and-plumb",
        "eyes-and-hands",
    }


def test_a_dutch_door_is_a_door() -> None:
    door = replace(TEN_DOORS.openings[0], kind=OpeningKind.DUTCH_DOOR)
    codes = marks_by_code(replace(TEN_DOORS, openings=(door,)))
    assert {"fire-rated", "escape", "bent-strip"} <= set(codes)
    assert "glazing" not in codes


ANY = {"old-paint", "eyes-and-hands"}
"""What holds for whatever is worked on."""
DOOR = ANY | {"fire-rated", "escape", "square-and-plumb"}
WINDOW = ANY | {"glazing", "square-and-plumb"}


@pytest.mark.parametrize(
    ("kind", "works", "threshold", "wanted"),
    [
        ("single-door", ["interlocking-strip"], "none", DOOR | {"bent-strip"}),
        (
            "single-door",
            ["interlocking-strip"],
            "interlocking",
            DOOR | {"bent-strip", "accessible-threshold"},
        ),
        ("pair-of-doors", ["interlocking-strip"], "none", DOOR | {"bent-strip"}),
        ("dutch-door", ["interlocking-strip"], "none", DOOR | {"bent-strip"}),
        ("single-door", ["spring-metal"], "none", DOOR),
        ("single-door", ["cushion-strip"], "none", DOOR),
        ("single-door", ["perimeter-gasket"], "none", DOOR),
        ("single-door", ["perimeter-gasket", "sweep"], "none", DOOR | {"bent-strip"}),
        ("single-door", ["threshold"], "plain", DOOR | {"accessible-threshold"}),
        (
            "single-door",
            ["threshold"],
            "interlocking",
            DOOR | {"accessible-threshold", "bent-strip"},
        ),
        ("casement-window", ["interlocking-strip"], "none", WINDOW | {"bent-strip"}),
        ("casement-window", ["spring-metal"], "none", WINDOW),
        ("double-hung-window", ["double-hung-set"], "none", WINDOW),
        ("double-hung-window", ["spring-metal"], "none", WINDOW),
        ("fixed-window", ["interlocking-strip"], "none", ANY | {"glazing"}),
    ],
)
def test_each_caution_appears_where_it_applies_and_nowhere_else(
    kind: str, works: list[str], threshold: str, wanted: set[str]
) -> None:
    opening = replace(
        TEN_DOORS.openings[0],
        kind=OpeningKind(kind),
        rule_set=works[0],
        also=tuple(works[1:]),
        threshold=Threshold(threshold),
    )
    found = applicable_cautions(take_off(replace(TEN_DOORS, openings=(opening,))))
    assert {caution.code for caution in found} == wanted
    # Each is told once, for the whole order.
    assert [caution.marks for caution in found] == [()] * len(wanted)


def test_every_caution_of_the_trade_is_there_once() -> None:
    # One of each: fire, thresholds, escape, paint, eyes and hands, glazing, bent strip, sagging.
    door = replace(TEN_DOORS.openings[0], threshold=Threshold.INTERLOCKING)
    window = replace(TEN_DOORS.openings[0], mark="W-1", kind=OpeningKind.CASEMENT_WINDOW)
    told = applicable_cautions(take_off(replace(TEN_DOORS, openings=(door, window))))
    words = {
        "fire-rated": ("listing", "NFPA 80"),
        "escape": ("open", "building and fire code"),
        "accessible-threshold": ("1/2 in", "ADA Standards 404.2.5"),
        "old-paint": ("lead", "40 CFR 745"),
        "glazing": ("glazier", "common practice, no source"),
        "square-and-plumb": ("nail holes go oval", "ANSI/BHMA A156.22-2017"),
        "bent-strip": ("no longer locks", "common practice, no source"),
        "eyes-and-hands": ("sharp edges", "common practice, no source"),
    }
    assert [caution.code for caution in told] == list(words)
    for caution in told:
        of_the_sentence, of_the_source = words[caution.code]
        assert of_the_sentence in caution.sentence
        assert of_the_source in caution.source
    assert len({caution.sentence for caution in told}) == len(told)


def test_bench_and_leaf_take_theirs_from_the_same_words() -> None:
    door = replace(TEN_DOORS.openings[0], threshold=Threshold.INTERLOCKING)
    told = applicable_cautions(take_off(replace(TEN_DOORS, openings=(door,))))
    by_code = {caution.code: caution for caution in told}
    assert [caution.code for caution in bench_cautions(told)] == ["eyes-and-hands"]
    assert {caution.code for caution in leaf_cautions()} == {
        "fire-rated",
        "old-paint",
        "square-and-plumb",
        "bent-strip",
        "eyes-and-hands",
    }
    assert all(caution == by_code[caution.code] for caution in leaf_cautions())
