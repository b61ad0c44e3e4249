"""Each rule of the re-proof broken, one at a time, on a good plan made by hand: who is served.

The example is `tests.ten_doors.small`: five doors and two windows. 36 in is 914,400,000 nm,
80 in 2,032,000,000 nm, 30 in 762,000,000 nm, 40 in 1,016,000,000 nm.
"""

from dataclasses import replace
from typing import Any

from optimiser.check import check_plan
from optimiser.domain.catalogue import Kit
from optimiser.domain.order import Order, Policy
from optimiser.domain.plan import Plan
from optimiser.domain.takeoff import FastenerPool, Takeoff
from tests.ten_doors import BRONZE, SMALL, example_of, small, solution_of

EXAMPLE = small()
ORDER, TAKEOFF, PLAN = EXAMPLE.order, EXAMPLE.takeoff, EXAMPLE.plan


def failures(
    order: Order = ORDER, takeoff: Takeoff = TAKEOFF, plan: Plan = PLAN
) -> tuple[str, ...]:
    return check_plan(order, takeoff, plan)


def with_supply(mark: str, **changes: Any) -> Plan:
    return replace(
        PLAN,
        openings=tuple(
            replace(opening, supplies=(replace(opening.supplies[0], **changes),))
            if opening.takeoff.opening.mark == mark
            else opening
            for opening in PLAN.openings
        ),
    )


def with_decision(**changes: Any) -> Plan:
    return replace(PLAN, decision=replace(PLAN.decision, **changes))


def with_kit(name: str, /, **changes: Any) -> Order:
    kits: tuple[Kit, ...] = tuple(
        replace(kit, **changes) if kit.sku == name else kit for kit in ORDER.catalogue.kits
    )
    return replace(ORDER, catalogues=(replace(ORDER.catalogue, kits=kits),))


def test_a_mark_without_plan_is_noticed() -> None:
    plan = replace(PLAN, openings=PLAN.openings[:2])
    assert failures(plan=plan)[0] == "Plan of W-1: it stands 0 times, expected 1."


def test_a_mark_planned_on_another_takeoff_is_noticed() -> None:
    other = replace(PLAN.openings[1].takeoff, fasteners=())
    plan = replace(
        PLAN,
        openings=(
            PLAN.openings[0],
            replace(PLAN.openings[1], takeoff=other),
            PLAN.openings[2],
        ),
    )
    assert failures(plan=plan) == ("Plan of D-2: its takeoff is not the one that was made.",)


def test_an_opening_supplied_twice_is_noticed() -> None:
    plan = with_supply("D-1", kits=(("LK-Z", 2), ("LK-Z-N", 1)))
    assert failures(plan=plan) == (
        "Supply of interlocking-strip, zinc to D-1: 5 openings, expected 4.",
        "Supply of interlocking-strip, zinc for D-1 by kit LK-Z: 2 openings over its marks, "
        "expected 1 as decided.",
    )


def test_an_opening_without_supply_is_noticed() -> None:
    plan = with_supply("D-1", kits=(("LK-Z", 1),))
    assert failures(plan=plan) == (
        "Supply of interlocking-strip, zinc to D-1: 3 openings, expected 4.",
        "Supply of interlocking-strip, zinc for D-1 by kit LK-Z-N: 0 openings over its "
        "marks, expected 1 as decided.",
    )


def test_a_supply_in_the_wrong_material_is_noticed() -> None:
    plan = with_supply("D-1", material=BRONZE)
    assert failures(plan=plan)[:2] == (
        "Supply of interlocking-strip, bronze to D-1: 4 openings, expected 0.",
        "Supply of interlocking-strip, zinc to D-1: 0 openings, expected 4.",
    )


def test_a_supply_below_zero_is_noticed() -> None:
    plan = with_supply("D-1", kits=(("LK-Z", 3), ("LK-Z-N", -1)))
    assert failures(plan=plan)[0] == (
        "Supply of interlocking-strip, zinc to D-1: kit LK-Z-N -1, expected 0 or more."
    )


def test_a_decision_that_serves_too_few_is_noticed() -> None:
    supplies = (PLAN.decision.supplies[0], replace(PLAN.decision.supplies[1], cut=2))
    assert failures(plan=with_decision(supplies=supplies)) == (
        "Supply of interlocking-strip, zinc for D-1 by cutting: 3 openings over its marks, "
        "expected 2 as decided.",
        "Decision on interlocking-strip, zinc for D-1: 4 served, expected 5.",
    )


def test_a_decision_below_zero_is_noticed() -> None:
    supplies = (
        PLAN.decision.supplies[0],
        replace(PLAN.decision.supplies[1], cut=-1, kits=(("LK-Z", 6),)),
    )
    assert (
        "Decision on interlocking-strip, zinc for D-1: a number below 0, expected 0 or more."
    ) in failures(plan=with_decision(supplies=supplies))


def test_a_kit_decided_for_no_opening_says_nothing() -> None:
    supplies = (
        replace(PLAN.decision.supplies[0], kits=(("LK-Z", 0),)),
        PLAN.decision.supplies[1],
    )
    assert failures(plan=with_decision(supplies=supplies)) == ()


def test_a_decision_that_lacks_a_set_is_noticed() -> None:
    plan = with_decision(supplies=PLAN.decision.supplies[:1])
    assert failures(plan=plan)[0] == "Decision: it supplies 1 piece sets, expected 2."


def test_kits_that_are_not_allowed_are_noticed() -> None:
    order = replace(ORDER, policy=replace(ORDER.policy, allow_kits=False))
    assert failures(order=order) == (
        "Kit LK-Z for interlocking-strip, zinc for D-1: 1 bought, expected 0, since kits are "
        "not allowed.",
        "Kit LK-Z-N for interlocking-strip, zinc for D-1: 1 bought, expected 0, since kits "
        "are not allowed.",
    )


def test_cutting_that_is_not_allowed_is_noticed() -> None:
    order = replace(ORDER, policy=replace(ORDER.policy, allow_cutting=False))
    assert failures(order=order) == (
        "Decision on interlocking-strip, bronze for W-1: 2 cut, expected 0, since cutting is "
        "not allowed.",
        "Decision on interlocking-strip, zinc for D-1: 3 cut, expected 0, since cutting is "
        "not allowed.",
    )


def test_a_kit_of_another_material_is_noticed() -> None:
    assert failures(order=with_kit("LK-Z", material=BRONZE)) == (
        "Kit LK-Z for interlocking-strip, zinc for D-1: it is of interlocking-strip, bronze, "
        "expected interlocking-strip, zinc.",
        "Purchase LK-Z for D-1, D-2, material: interlocking-strip, zinc, expected "
        "interlocking-strip, bronze.",
    )


def test_a_kit_with_a_piece_beyond_its_longest_is_noticed() -> None:
    assert failures(order=with_kit("LK-Z", longest_piece_nm=2_031_999_999)) == (
        "Kit LK-Z for interlocking-strip, zinc for D-1: a piece of 2032000000 nm, expected "
        "2031999999 nm at most.",
    )
    assert failures(order=with_kit("LK-Z", longest_piece_nm=2_032_000_000)) == ()


def test_a_kit_that_is_not_offered_is_noticed() -> None:
    assert failures(order=with_kit("LK-Z", sku="LK-Y")) == (
        "Kit LK-Z for interlocking-strip, zinc for D-1: not in the catalogue.",
        "Purchase LK-Z for D-1, D-2: not in the catalogue.",
        "Shipment of Larkmoor Strip & Seal, goods: 609.95, expected 547.6.",
    )


def test_a_plan_with_fasteners_by_finish_holds() -> None:
    order = replace(SMALL, openings=SMALL.openings[:2], policy=Policy(fasteners_match_finish=True))
    supply = replace(PLAN.decision.supplies[1], kits=(("LK-Z", 3), ("LK-Z-N", 2)), cut=0)
    decision = replace(PLAN.decision, supplies=(supply,), patterns=(), stock_lengths=(), packs=())
    # 5 × 104 = 520 nails, two kits with 260 each; 3 × 62.35 + 2 × 67.55 = 322.15.
    example = example_of(order, solution_of(decision, "322.15"))
    assert example.plan.fasteners[0].pool == FastenerPool("strip-nail", "zinc")
    assert check_plan(order, example.takeoff, example.plan) == ()
