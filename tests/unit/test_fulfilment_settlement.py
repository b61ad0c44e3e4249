"""What a change of an accepted order comes to, counted by hand.

The orders are those of `tests.ten_doors`; Harbour Row, its supplier and all prices are invented.
"""

from dataclasses import replace
from decimal import Decimal

from optimiser.domain.deliveries import CutBars
from optimiser.domain.difference import HeldFasteners
from optimiser.domain.reasons import FastenersSupplied
from optimiser.domain.returns import ReturnTerms
from optimiser.domain.takeoff import FastenerPool
from optimiser.fulfilment import (
    difference_order,
    open_purchase,
    settle_difference,
)
from optimiser.planning import make_plan
from optimiser.render import render_difference
from optimiser.units.lengths import NM_PER_INCH as INCH
from tests.ten_doors import SMALL, TEN_DOORS, small, ten_doors

SUPPLIER = "Larkmoor Strip & Seal"
NAILS = FastenerPool("strip-nail")
DOOR = TEN_DOORS.openings[0]
KITS = ten_doors().plan
CUT = small().plan


def test_doors_that_fall_away_leave_kits_that_may_not_go_back() -> None:
    difference = difference_order(TEN_DOORS, KITS, (replace(DOOR, quantity=8),))
    purchase = open_purchase(KITS)
    account = settle_difference(TEN_DOORS, KITS, purchase, difference)
    assert (account.additional, account.credit.total) == (0, 0)
    assert [(held.sku, held.kits) for held in account.surplus.kits] == [("LK-Z-N", 2)]
    # Where the supplier takes them: 2 × 67.55 less 20 %: 135.10 − 27.02.
    terms = (ReturnTerms(supplier=SUPPLIER, sku="LK-Z-N", returnable=True, percent=Decimal(20)),)
    account = settle_difference(TEN_DOORS, KITS, purchase, difference, terms=terms)
    assert account.credit.total == Decimal("108.08")
    assert account.net == Decimal("644.30") - Decimal("108.08")


def test_nails_that_more_doors_need_are_bought_beside() -> None:
    """At a spacing of 1 1/2 in ten doors need 2,080 nails, of which 1,040 are there."""
    closer = (replace(DOOR, fastener_spacing_nm=3 * INCH // 2),)
    difference = difference_order(TEN_DOORS, KITS, closer)
    assert difference.kept == ()
    assert difference.order is not None
    additional = make_plan(difference.order)
    account = settle_difference(TEN_DOORS, KITS, open_purchase(KITS), difference, additional)
    # What comes one by one at no price is no cause for care.
    assert {notice.code for notice in additional.notices} <= {
        "size-taken-for-both",
        "thin-fastener-margin",
    }
    # The packs alone are to hold what they state: those one by one are counted.
    (supplied,) = (r for r in additional.reasons if isinstance(r, FastenersSupplied))
    assert (supplied.least_per_pack, supplied.stated_per_pack) == (65, 65)
    # 1,040 ÷ 65 = 16 packs at 2.25.
    assert [(line.sku, line.quantity) for line in account.purchases] == [("LN-1", 16)]
    assert account.additional == Decimal("36.00")
    assert account.net == Decimal("680.30")


def test_a_second_change_starts_from_what_the_first_one_left() -> None:
    purchase = open_purchase(CUT)
    more = (*SMALL.openings, replace(DOOR, mark="D-3", quantity=2))
    # A jamb and a head are cut: no door is whole with them.
    first = difference_order(SMALL, CUT, more, cut=(CutBars(pattern="P2", bars=1),))
    assert first.order is not None
    assert [offcut.id for offcut in first.order.rack.offcuts] == ["cut already 1", "cut already 2"]
    plan = make_plan(first.order)
    account = settle_difference(SMALL, CUT, purchase, first, plan)
    bought = open_purchase(plan)
    sheet = next(s for s in plan.patterns if s.sku.endswith("(already bought)"))
    second = difference_order(
        first.order,
        plan,
        more,
        purchase=bought,
        cut=(CutBars(pattern=sheet.name, bars=1),),
        before=first.holdings,
    )
    assert second.order is not None
    sku = sheet.sku.removesuffix(" (already bought)")
    bars = {held.sku: held.bars for held in first.holdings.bars}
    new = {line.sku: line.ordered for line in bought.lines}
    now = {held.sku: held.bars for held in second.holdings.bars}
    assert now[sku] == bars[sku] + new.get(sku, 0) - 1
    again = settle_difference(
        first.order,
        plan,
        bought,
        second,
        make_plan(second.order),
        accepted=account.accepted + account.additional,
    )
    assert again.additional == 0
    assert again.accepted == CUT.payable + account.additional


def test_a_change_is_told_with_its_account() -> None:
    difference = difference_order(TEN_DOORS, KITS, (replace(DOOR, quantity=8),))
    account = settle_difference(TEN_DOORS, KITS, open_purchase(KITS), difference)
    assert (
        render_difference(account)
        == """\
8 openings after the change: 8 kept with what is made for them, none planned again.

KEPT
====
- D-1: 8 openings, 6 by kit LK-Z of interlocking-strip, zinc, 2 by kit LK-Z-N of
  interlocking-strip, zinc.

BOUGHT BESIDE
=============
Nothing.

LEFT OVER
=========
- 2 kits LK-Z-N, interlocking-strip, zinc: 3 × 80 in, 2 × 36 in.
- 208 strip-nails.

WHAT MAY GO BACK
================
Nothing goes back.

ACCOUNT
=======
    Amount  What
----------  -----------------------------------------------
USD 644.30  accepted so far
  USD 0.00  bought beside, with freight
  USD 0.00  possible credit
USD 644.30  what suppliers are paid in all, if it goes back
"""
    )


def test_nails_left_of_a_pack_that_is_bought_beside_spare_those_that_were_there() -> None:
    """Nine doors take 936 of 1,040 nails; one at 2 in takes 156, 52 more than are left."""
    openings = (
        replace(DOOR, quantity=9),
        replace(DOOR, mark="D-2", quantity=1, fastener_spacing_nm=2 * INCH),
    )
    difference = difference_order(TEN_DOORS, KITS, openings)
    assert [(item.mark, item.quantity) for item in difference.kept] == [("D-1", 9)]
    assert difference.order is not None
    additional = make_plan(difference.order)
    account = settle_difference(TEN_DOORS, KITS, open_purchase(KITS), difference, additional)
    # The door is served by the kit that is left; one pack of 65 leaves 13.
    assert [(line.sku, line.quantity) for line in account.purchases] == [("LN-1", 1)]
    assert account.surplus.kits == ()
    assert account.surplus.fasteners == (HeldFasteners(pool=FastenerPool("strip-nail"), count=13),)


def test_cut_pieces_that_no_opening_needs_stay_held_through_a_second_change() -> None:
    # The doors fall away when a jamb and a head are cut.
    windows = (replace(SMALL.openings[2], quantity=3),)
    first = difference_order(SMALL, CUT, windows, cut=(CutBars(pattern="P2", bars=1),))
    assert first.order is not None
    plan = make_plan(first.order)
    account = settle_difference(SMALL, CUT, open_purchase(CUT), first, plan)
    assert account.surplus.pieces == first.holdings.pieces
    second = difference_order(first.order, plan, SMALL.openings, before=first.holdings)
    assert second.holdings.pieces == first.holdings.pieces
    assert second.order is not None
    assert [offcut.id for offcut in second.order.rack.offcuts] == ["cut already 1", "cut already 2"]
