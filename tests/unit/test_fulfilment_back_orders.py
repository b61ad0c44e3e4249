"""Which openings can be finished with what has arrived, counted by hand.

The small order of `tests.ten_doors`: four doors D-1 by a bare kit, a kit with nails and two cut,
one door D-2 cut, two windows W-1 cut. P1 cuts 40 + 30 from LS-96-B, P2 80 + 36 from LS-120-Z,
P3 80 from LS-96-Z. The jambs of D-1 come from P2, those of D-2 from P3, every head from P2. A door
takes 104 nails, a window 47; 5 % are added. The kit with nails brings 260, a pack 65.
"""

from dataclasses import replace

import pytest

from optimiser.domain.back_orders import BackOrders, LateLine, ShortFasteners, ShortGoods
from optimiser.domain.deliveries import Units
from optimiser.domain.faults import PriorityRejected
from optimiser.domain.takeoff import FastenerPool
from optimiser.fulfilment import allot_goods, open_purchase, receive
from optimiser.render import render_back_orders
from tests.every_term import every_term
from tests.ten_doors import SMALL, small

STRIP_AND_SEAL = "Larkmoor Strip & Seal"
PLAN = small().plan
NAILS = FastenerPool("strip-nail")


def with_received(priority: tuple[str, ...] = (), **received: int) -> BackOrders:
    delivery = tuple(
        Units(supplier=STRIP_AND_SEAL, sku=sku.replace("_", "-"), quantity=quantity)
        for sku, quantity in received.items()
    )
    return allot_goods(SMALL, PLAN, receive(open_purchase(PLAN), delivery), priority)


def short(sku: str, quantity: int) -> ShortGoods:
    kit = sku.startswith("LK")
    return ShortGoods(
        supplier=STRIP_AND_SEAL,
        sku=sku,
        quantity=quantity,
        made_for=("D-1", "D-2") if kit else (),
    )


def ready(orders: BackOrders) -> dict[str, int]:
    return {opening.mark: opening.ready for opening in orders.openings}


def test_the_late_bars_hold_up_the_openings_that_are_cut_from_them() -> None:
    orders = with_received(LS_96_B=4, LS_96_Z=3, LK_Z=1, LK_Z_N=1, LN_1=7)
    assert ready(orders) == {"D-1": 2, "D-2": 0, "W-1": 2}
    # The two doors left of D-1 need six jambs, one from each bar of P2; D-2 needs two heads.
    assert [opening.goods for opening in orders.openings] == [
        (short("LS-120-Z", 6),),
        (short("LS-120-Z", 2),),
        (),
    ]
    assert orders.late_lines == (
        LateLine(
            supplier=STRIP_AND_SEAL,
            sku="LS-120-Z",
            open=10,
            holds_up=(("D-1", 2), ("D-2", 1)),
        ),
    )


def test_the_priority_decides_who_gets_bars_that_are_not_enough() -> None:
    # Three bars of P2: three jambs and three heads. D-1 first: one door takes three jambs and two
    # heads; the head that is left is one short for D-2.
    bars = {"LS_120_Z": 3, "LS_96_Z": 3, "LN_1": 7}
    assert ready(with_received(**bars)) == {"D-1": 1, "D-2": 0, "W-1": 0}
    assert with_received(**bars).openings[1].goods == (short("LS-120-Z", 1),)
    # D-2 first: it takes two heads, and one head is left for a door that needs two.
    assert ready(with_received(("D-2",), **bars)) == {"D-2": 1, "D-1": 0, "W-1": 0}


def test_one_that_waits_takes_nothing_from_those_after_it() -> None:
    # D-1 waits for everything, W-1 has all that it needs.
    orders = with_received(LS_96_B=4, LN_1=2)
    assert ready(orders) == {"D-1": 0, "D-2": 0, "W-1": 2}


def test_a_kit_serves_the_mark_that_comes_first() -> None:
    assert ready(with_received(LK_Z=1, LN_1=7)) == {"D-1": 1, "D-2": 0, "W-1": 0}


def test_fasteners_are_pooled_with_their_allowance() -> None:
    # 260 nails: two doors take 208, with 5 % 218.4, so 219. A third would take 327.6, so 328.
    orders = with_received(LS_120_Z=10, LS_96_B=4, LS_96_Z=3, LK_Z=1, LK_Z_N=1)
    assert ready(orders) == {"D-1": 2, "D-2": 0, "W-1": 0}
    # D-1: 4 × 104 × 1.05 = 436.8, so 437; D-2: 328; W-1: (208 + 94) × 1.05 = 317.1, so 318.
    assert [opening.fasteners for opening in orders.openings] == [
        (ShortFasteners(pool=NAILS, count=437 - 260),),
        (ShortFasteners(pool=NAILS, count=328 - 260),),
        (ShortFasteners(pool=NAILS, count=318 - 260),),
    ]
    assert [(line.sku, line.holds_up) for line in orders.late_lines] == [
        ("LN-1", (("D-1", 2), ("D-2", 1), ("W-1", 2)))
    ]


def test_a_window_may_have_the_nails_that_a_door_cannot() -> None:
    # Two packs are 130: one door takes 110, and 104 + 47 would take 159; the windows alone 99.
    bars = {"LS_120_Z": 10, "LS_96_B": 4, "LS_96_Z": 3, "LN_1": 2}
    assert ready(with_received(**bars)) == {"D-1": 1, "D-2": 0, "W-1": 0}
    assert ready(with_received(("W-1",), **bars)) == {"W-1": 2, "D-1": 0, "D-2": 0}


def test_all_can_be_finished_when_all_is_there() -> None:
    orders = with_received(LS_120_Z=10, LS_96_B=4, LS_96_Z=3, LK_Z=1, LK_Z_N=1, LN_1=7)
    assert ready(orders) == {"D-1": 4, "D-2": 1, "W-1": 2}
    assert orders.late_lines == ()


def test_spliced_trimmed_and_substituted_openings_wait_for_what_they_come_from() -> None:
    """With everything but the bundle of TC-96-Z, only D-1 and D-4 are ready; see `every_term`.

    D-2 needs the segments 60, 40 and 20, of which 40 come from the rack; D-3 heads of 36.
    """
    example = every_term()
    purchase = open_purchase(example.plan)
    delivery = tuple(
        Units(supplier=line.supplier, sku=line.sku, quantity=line.open)
        for line in purchase.lines
        if line.sku != "TC-96-Z"
    )
    orders = allot_goods(example.order, example.plan, receive(purchase, delivery))
    assert ready(orders) == {"D-1": 2, "D-2": 0, "D-3": 0, "D-4": 3}
    assert [(line.sku, line.open, line.holds_up) for line in orders.late_lines] == [
        ("TC-96-Z", 1, (("D-2", 1), ("D-3", 1)))
    ]


def test_marks_that_are_not_there_or_stand_twice_are_refused_at_once() -> None:
    with pytest.raises(PriorityRejected) as refused:
        with_received(("D-2", "D-9", "D-2"))
    assert [(f.path, f.code, f.message) for f in refused.value.faults] == [
        (
            ("priority", 1),
            "unknown-mark",
            "“D-9” is not a mark of the order; correct it, or leave it out.",
        ),
        (
            ("priority", 2),
            "repeated-mark",
            "“D-2” stands twice in the priority; leave it once.",
        ),
    ]


def test_the_schedule_is_the_usual_priority() -> None:
    order = replace(SMALL, openings=tuple(reversed(SMALL.openings)))
    orders = allot_goods(order, PLAN, open_purchase(PLAN))
    assert [opening.mark for opening in orders.openings] == ["W-1", "D-2", "D-1"]


def test_back_orders_are_told_in_words() -> None:
    orders = with_received(LS_96_B=4, LS_96_Z=3, LK_Z=1, LK_Z_N=1, LN_1=7)
    assert (
        render_back_orders(orders)
        == """\
4 openings can be finished now, 3 wait.

OPENINGS
========
- D-1: 2 of 4 can be finished; 2 wait for 6 × LS-120-Z of Larkmoor Strip & Seal.
- D-2: none of 1 can be finished; 1 waits for 2 × LS-120-Z of Larkmoor Strip & Seal.
- W-1: all 2 can be finished.

NOT RECEIVED YET
================
- 10 × LS-120-Z of Larkmoor Strip & Seal: holds up 3 openings: D-1, D-2.
"""
    )
