"""Each rule of the re-proof broken, one at a time, on a good plan made by hand: demand.

The example is `tests.ten_doors.small`: five doors and two windows. 36 in is 914,400,000 nm,
80 in 2,032,000,000 nm, 30 in 762,000,000 nm, 40 in 1,016,000,000 nm.
"""

from dataclasses import replace
from typing import Any

from optimiser.check import check_plan
from optimiser.domain.order import FastenerCounting, Order
from optimiser.domain.plan import Plan
from optimiser.domain.takeoff import FastenerCount, Takeoff
from optimiser.planning.assemble import assemble_plan
from optimiser.takeoff import take_off
from tests.ten_doors import SMALL, small, ten_doors

EXAMPLE = small()
ORDER, TAKEOFF, PLAN = EXAMPLE.order, EXAMPLE.takeoff, EXAMPLE.plan
WINDOW_SET, DOOR_SET = TAKEOFF.demand.sets
NEED = TAKEOFF.demand.fasteners[0]


def failures(
    order: Order = ORDER, takeoff: Takeoff = TAKEOFF, plan: Plan = PLAN
) -> tuple[str, ...]:
    return check_plan(order, takeoff, plan)


def with_demand(**changes: Any) -> Takeoff:
    return replace(TAKEOFF, demand=replace(TAKEOFF.demand, **changes))


def with_count(mark: str, **changes: Any) -> tuple[Takeoff, Plan]:
    """Return takeoff and plan in which the fastener count of one mark is changed."""

    def change(counts: tuple[FastenerCount, ...]) -> tuple[FastenerCount, ...]:
        return tuple(replace(count, **changes) for count in counts)

    openings = tuple(
        replace(item, fasteners=change(item.fasteners)) if item.opening.mark == mark else item
        for item in TAKEOFF.openings
    )
    takeoff = replace(TAKEOFF, openings=openings)
    return takeoff, assemble_plan(ORDER, takeoff, EXAMPLE.solution)


def test_good_plans_hold() -> None:
    assert failures() == ()
    other = ten_doors()
    assert check_plan(other.order, other.takeoff, other.plan) == ()


def test_an_opening_without_takeoff_is_noticed() -> None:
    takeoff = replace(TAKEOFF, openings=TAKEOFF.openings[1:])
    assert "Takeoff of D-1: it stands 0 times, expected 1." in failures(takeoff=takeoff)


def test_a_takeoff_of_another_opening_is_noticed() -> None:
    order = replace(
        ORDER, openings=(replace(ORDER.openings[0], remarks="rear"), *ORDER.openings[1:])
    )
    assert failures(order=order) == ("Takeoff of D-1: its opening is not the one in the order.",)


def test_marks_that_do_not_add_up_to_their_set_are_noticed() -> None:
    takeoff = with_demand(sets=(WINDOW_SET, replace(DOOR_SET, quantity=6)))
    assert failures(takeoff=takeoff) == (
        "Demand of interlocking-strip, zinc for D-1: its marks add up to 5, expected 6.",
        "Decision on interlocking-strip, zinc for D-1: 5 served, expected 6.",
    )


def test_a_mark_demanded_too_often_is_noticed() -> None:
    too_many = replace(DOOR_SET, marks=(("D-1", 5), ("D-2", 1)), quantity=6)
    assert failures(takeoff=with_demand(sets=(WINDOW_SET, too_many)))[0] == (
        "Demand of interlocking-strip, zinc for D-1: 5 openings, expected 4."
    )


def test_a_mark_that_nobody_ordered_is_noticed() -> None:
    extra = replace(WINDOW_SET, marks=(("W-1", 2), ("W-9", 1)), quantity=3)
    assert failures(takeoff=with_demand(sets=(extra, DOOR_SET)))[0] == (
        "Demand of interlocking-strip, bronze for W-9: 1 openings, expected none."
    )


def test_a_set_that_lacks_a_piece_is_noticed() -> None:
    lengths = ((1_016_000_000, 2), (762_000_000, 1))
    pieces = replace(WINDOW_SET.piece_set, lengths=lengths)
    takeoff = with_demand(sets=(replace(WINDOW_SET, piece_set=pieces), DOOR_SET))
    assert failures(takeoff=takeoff) == (
        "Demand of interlocking-strip, bronze for W-1: pieces ((1016000000, 2), "
        "(762000000, 1)), nailed (('strip-nail', 3556000000),) nm, expected "
        "((1016000000, 2), (762000000, 2)), (('strip-nail', 3556000000),).",
    )


def test_a_set_that_forgets_its_nails_is_noticed() -> None:
    pieces = replace(WINDOW_SET.piece_set, nailed_nm=())
    takeoff = with_demand(sets=(replace(WINDOW_SET, piece_set=pieces), DOOR_SET))
    assert failures(takeoff=takeoff) == (
        "Demand of interlocking-strip, bronze for W-1: pieces ((1016000000, 2), "
        "(762000000, 2)), nailed () nm, expected ((1016000000, 2), (762000000, 2)), "
        "(('strip-nail', 3556000000),).",
    )


def test_nails_counted_at_another_spacing_are_noticed() -> None:
    # Window: 2 × 40 + 2 × 30 = 140 in, at 2 in 70; by piece 2 × (19 + 1) + 2 × (14 + 1).
    takeoff, plan = with_count("W-1", spacing_nm=50_800_000)
    assert failures(takeoff=takeoff, plan=plan) == (
        "Takeoff of W-1, strip-nail: spacing 50800000 nm, expected 76200000 nm.",
        "Takeoff of W-1, strip-nail: 47 by running length, expected 70.",
        "Takeoff of W-1, strip-nail: 50 by piece, expected 70.",
    )


def test_a_wrong_running_length_is_noticed() -> None:
    takeoff, plan = with_count("W-1", running_length_nm=3_556_000_001)
    assert failures(takeoff=takeoff, plan=plan) == (
        "Takeoff of W-1, strip-nail: running length 3556000001 nm, expected 3556000000 nm.",
    )


def test_one_nail_too_few_by_piece_is_noticed() -> None:
    # By hand: 4 × 107 + 107 + 2 × 50 = 635, with 49 it is 633.
    takeoff, plan = with_count("W-1", per_piece=49)
    assert failures(takeoff=takeoff, plan=plan) == (
        "Takeoff of W-1, strip-nail: 49 by piece, expected 50.",
        "Need of strip-nail, by piece: 635, expected 633.",
    )


def test_a_mark_whose_nails_are_not_counted_is_noticed() -> None:
    openings = tuple(
        replace(item, fasteners=()) if item.opening.mark == "W-1" else item
        for item in TAKEOFF.openings
    )
    takeoff = replace(TAKEOFF, openings=openings)
    assert failures(takeoff=takeoff)[0] == (
        "Takeoff of W-1: fasteners are counted for none, expected strip-nail."
    )


def test_each_figure_of_a_need_is_recomputed() -> None:
    wrong = replace(NEED, by_running_length=613, per_piece=634, counted=613, allowance=30, spares=0)
    plan = replace(PLAN, fasteners=(replace(PLAN.fasteners[0], need=wrong),))
    assert failures(takeoff=with_demand(fasteners=(wrong,)), plan=plan) == (
        "Need of strip-nail, by running length: 613, expected 614.",
        "Need of strip-nail, by piece: 634, expected 635.",
        "Need of strip-nail, counted: 613, expected 614.",
        "Need of strip-nail, allowance: 30, expected 31.",
        "Need of strip-nail, spares: 0, expected 10.",
    )


def test_a_need_counted_by_the_other_rule_is_noticed() -> None:
    # 635 by piece; 5 % is 31.75, so 32.
    policy = replace(ORDER.policy, fastener_counting=FastenerCounting.PER_PIECE)
    assert failures(order=replace(ORDER, policy=policy)) == (
        "Need of strip-nail, counted: 614, expected 635.",
        "Need of strip-nail, allowance: 31, expected 32.",
    )


def test_a_need_that_stands_twice_or_not_at_all_is_noticed() -> None:
    assert failures(takeoff=with_demand(fasteners=(NEED, NEED))) == (
        "Need of strip-nail: it stands 2 times, expected 1.",
    )
    assert failures(takeoff=with_demand(fasteners=()))[0] == (
        "Need of strip-nail: it stands 0 times, expected 1."
    )


def test_fasteners_that_must_match_the_finish_are_counted_apart() -> None:
    policy = replace(ORDER.policy, fasteners_match_finish=True)
    found = failures(order=replace(ORDER, policy=policy))
    assert (
        "Takeoff of W-1: fasteners are counted for strip-nail, expected strip-nail, bronze."
    ) in found


def test_a_very_short_piece_still_takes_two_nails() -> None:
    order = replace(
        SMALL,
        openings=(replace(SMALL.openings[2], width_nm=25_400_000, height_nm=25_400_000),),
    )
    takeoff = take_off(order)
    # Four pieces of 1 in, end distance 1 in: two nails each, eight in all.
    assert takeoff.openings[0].fasteners[0].per_piece == 8
    found = check_plan(order, takeoff, PLAN)
    assert not [line for line in found if line.startswith("Takeoff of W-1, strip-nail")]
