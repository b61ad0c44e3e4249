"""Cautions: which apply where, and that each has its source and defers to local rules."""

from dataclasses import replace

from optimiser.domain.opening import OpeningKind, Threshold
from optimiser.domain.order import Order
from optimiser.explain import applicable_cautions
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
