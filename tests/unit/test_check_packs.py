"""Each rule of the re-proof broken, one at a time, on a good plan made by hand: packs.

The example is `tests.ten_doors.small`. 655 nails are needed; a kit with nails brings 260 and
seven loose packs 455. Prices are invented.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from optimiser.check import check_plan
from optimiser.domain.catalogue import PackRounding
from optimiser.domain.decision import Decision, Supply
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from tests.ten_doors import NAILED, SMALL, example_of, small, solution_of, ten_doors

EXAMPLE = small()
ORDER, TAKEOFF, PLAN = EXAMPLE.order, EXAMPLE.takeoff, EXAMPLE.plan
CATALOGUE = ORDER.catalogue
NAILS = PLAN.fasteners[0]


def failures(order: Order = ORDER, plan: Plan = PLAN) -> tuple[str, ...]:
    return check_plan(order, TAKEOFF, plan)


def with_nails(**changes: Any) -> Plan:
    return replace(PLAN, fasteners=(replace(NAILS, **changes),))


def with_offer(name: str, /, **changes: Any) -> Order:
    return replace(
        ORDER,
        catalogues=(
            replace(
                CATALOGUE,
                stock_lengths=tuple(
                    replace(stock, **changes) if stock.sku == name else stock
                    for stock in CATALOGUE.stock_lengths
                ),
                kits=tuple(
                    replace(kit, **changes) if kit.sku == name else kit for kit in CATALOGUE.kits
                ),
                fastener_packs=tuple(
                    replace(pack, **changes) if pack.sku == name else pack
                    for pack in CATALOGUE.fastener_packs
                ),
            ),
        ),
    )


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (
            {"need": replace(NAILS.need, spares=9)},
            ("Fasteners strip-nail: the need shown is not that of the takeoff.",),
        ),
        (
            {"kits": (("LK-Z-N", 1, 195),)},
            (
                "Fasteners strip-nail, kits: 1 of LK-Z-N with 195 each, expected 0.",
                "Fasteners strip-nail, kits: 0 of LK-Z-N with 260 each, expected 1.",
            ),
        ),
        (
            {"packs": (("LN-1", 8, 65),)},
            ("Fasteners strip-nail, loose packs: 8 of LN-1 with 65 each, expected 7.",),
        ),
    ],
)
def test_a_fastener_account_that_is_off_is_noticed(
    changes: dict[str, Any], expected: tuple[str, ...]
) -> None:
    assert failures(plan=with_nails(**changes)) == expected


def test_a_pool_that_stands_twice_or_not_at_all_is_noticed() -> None:
    assert failures(plan=replace(PLAN, fasteners=(NAILS, NAILS))) == (
        "Fasteners strip-nail: they stand 2 times, expected 1.",
    )
    assert failures(plan=replace(PLAN, fasteners=())) == (
        "Fasteners strip-nail: they stand 0 times, expected 1.",
    )


def test_packs_counted_above_their_low_end_are_noticed() -> None:
    # 65 less 14 % is 55.9, so 55 to count on: 260 + 7 × 55 = 645, ten short of 655.
    contents = replace(CATALOGUE.fastener_packs[0].contents, tolerance_percent=Decimal(14))
    assert failures(order=with_offer("LN-1", contents=contents)) == (
        "Fasteners strip-nail, loose packs: 0 of LN-1 with 55 each, expected 7.",
        "Fasteners strip-nail, loose packs: 7 of LN-1 with 65 each, expected 0.",
        "Fasteners strip-nail: 645 arrive, expected 655 or more.",
    )


@pytest.mark.parametrize("rounding", [PackRounding.DOWN, PackRounding.NEAREST])
def test_packs_in_a_kit_are_rounded_as_its_supplier_does(rounding: PackRounding) -> None:
    # 208 ÷ 65 = 3.2: 3 packs, 195 nails, so 195 + 455 = 650; the price falls by 1.30.
    order = with_offer("LK-Z-N", fasteners=replace(NAILED, rounding=rounding))
    assert failures(order=order) == (
        "Fasteners strip-nail, kits: 0 of LK-Z-N with 195 each, expected 1.",
        "Fasteners strip-nail, kits: 1 of LK-Z-N with 260 each, expected 0.",
        "Fasteners strip-nail: 650 arrive, expected 655 or more.",
        "Purchase LK-Z-N for D-1, D-2, unit price: 67.55, expected 66.25.",
        "Purchase LK-Z-N for D-1, D-2, packs per kit: 4, expected 3.",
    )


@pytest.mark.parametrize(
    ("per_pack", "rounding", "packs"),
    [
        # 208 nails by 64: 3.25; by 59.5: 3.4958; by 59 3/7: exactly 3.5; by 52: exactly 4.
        (Fraction(64), PackRounding.NEAREST, 3),
        (Fraction(119, 2), PackRounding.NEAREST, 3),
        (Fraction(416, 7), PackRounding.NEAREST, 4),
        (Fraction(52), PackRounding.UP, 4),
        (Fraction(52), PackRounding.DOWN, 4),
    ],
)
def test_half_a_pack_is_rounded_up_and_whole_packs_not_at_all(
    per_pack: Fraction, rounding: PackRounding, packs: int
) -> None:
    contents = replace(NAILED.contents, nominal=per_pack)
    order = with_offer("LK-Z-N", fasteners=replace(NAILED, rounding=rounding, contents=contents))
    example = small(order)
    assert example.plan.purchases[4].packs_per_kit == packs
    found = check_plan(example.order, example.takeoff, example.plan)
    assert not [line for line in found if "packs per kit" in line or "LK-Z-N with" in line]


def test_loose_packs_that_no_opening_needs_are_noticed() -> None:
    bronze_only = replace(
        SMALL,
        openings=(replace(SMALL.openings[2], edges=frozenset()),),
    )
    takeoff = replace(TAKEOFF, demand=replace(TAKEOFF.demand, fasteners=()))
    found = check_plan(bronze_only, takeoff, PLAN)
    assert "Loose pack LN-1: 7 bought, expected 0, since no opening needs them." in found


def test_a_plan_of_a_large_order_is_checked_in_full() -> None:
    # 3,000 marks of one door each, all by kits with nails: 260 nails each, 104 needed.
    door = SMALL.openings[1]
    order = replace(
        ten_doors().order,
        openings=tuple(replace(door, mark=f"D-{number}") for number in range(3_000)),
    )
    decision = Decision(
        supplies=(Supply(kits=(("LK-Z-N", 3_000),), cut=0),),
        patterns=(),
        stock_lengths=(),
        packs=(),
    )
    # 3,000 × 67.55 = 202,650.00
    example = example_of(order, solution_of(decision, "202650.00"))
    assert check_plan(order, example.takeoff, example.plan) == ()
