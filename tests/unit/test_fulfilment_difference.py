"""Changes of an accepted order, counted by hand on the small orders of `tests.ten_doors`.

Harbour Row, its supplier and all prices are invented.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.deliveries import CutBars, OpenPurchase
from optimiser.domain.difference import (
    ALREADY_BOUGHT,
    HeldFasteners,
    HeldKits,
    KeptOpenings,
    MadePieces,
)
from optimiser.domain.faults import DifferenceRejected, InvalidOrder
from optimiser.domain.opening import Edge
from optimiser.domain.plan import SetSupply
from optimiser.domain.rack import Offcut, Rack
from optimiser.domain.takeoff import FastenerPool
from optimiser.fulfilment import (
    difference_order,
    hold_goods,
    open_purchase,
    retake,
    settle_difference,
    take,
)
from optimiser.planning import make_plan
from optimiser.units.lengths import NM_PER_INCH
from tests.every_term import every_term
from tests.ten_doors import BRONZE, SMALL, TEN_DOORS, ZINC, small, ten_doors

INCH = NM_PER_INCH
SUPPLIER = "Larkmoor Strip & Seal"
NAILS = FastenerPool("strip-nail")
DOOR = TEN_DOORS.openings[0]
KITS = ten_doors().plan
CUT = small().plan


def test_an_unchanged_order_is_served_by_the_plan_as_it_stands() -> None:
    renamed = (replace(DOOR, mark="E-1", quantity=4), replace(DOOR, mark="E-2", quantity=6))
    for openings in (TEN_DOORS.openings, renamed):
        difference = difference_order(TEN_DOORS, KITS, openings)
        assert difference.unchanged
        assert difference.order is None
        account = settle_difference(TEN_DOORS, KITS, open_purchase(KITS), difference)
        assert (account.accepted, account.additional) == (Decimal("644.30"), 0)
        assert account.net == Decimal("644.30")
        assert account.surplus.kits == ()


def test_bought_kits_keep_serving_equal_openings() -> None:
    openings = (replace(DOOR, mark="A-1", quantity=3), replace(DOOR, quantity=4))
    difference = difference_order(TEN_DOORS, KITS, openings)
    # Six bare kits first, then one with nails; three with nails are left.
    assert difference.kept == (
        KeptOpenings(
            mark="A-1",
            quantity=3,
            supplies=(SetSupply(material=ZINC, kits=(("LK-Z", 3),), cut=0),),
        ),
        KeptOpenings(
            mark="D-1",
            quantity=4,
            supplies=(SetSupply(material=ZINC, kits=(("LK-Z", 3), ("LK-Z-N", 1)), cut=0),),
        ),
    )
    assert difference.order is None
    assert difference.left.kits == (
        HeldKits(
            supplier=SUPPLIER,
            sku="LK-Z-N",
            material=ZINC,
            lengths=((80 * INCH, 3), (36 * INCH, 2)),
            kits=3,
        ),
    )
    # Four kits with nails bring 4 × 260; seven doors take 7 × 104.
    assert difference.left.fasteners == (HeldFasteners(pool=NAILS, count=1_040 - 728),)


def test_a_kit_too_many_is_trimmed_for_a_smaller_door() -> None:
    smaller = replace(DOOR, mark="D-2", quantity=2, width_nm=34 * INCH, height_nm=79 * INCH)
    difference = difference_order(TEN_DOORS, KITS, (replace(DOOR, quantity=8), smaller))
    assert difference.order is not None
    assert [opening.mark for opening in difference.order.openings] == ["D-2"]
    additional = make_plan(difference.order)
    assert additional.decision.standard_kits == (("LK-Z-N (already bought)", 2),)
    # Nails that are there one by one are no pack that may hold less.
    codes = {notice.code for notice in additional.notices}
    assert not codes & {"price-of-zero", "thin-fastener-margin"}
    purchase = open_purchase(KITS)
    account = settle_difference(TEN_DOORS, KITS, purchase, difference, additional)
    # 8 × 104 + 2 × 102 nails of 1,040: four are left.
    assert account.additional == 0
    assert account.surplus.kits == ()
    assert account.surplus.fasteners == (HeldFasteners(pool=NAILS, count=4),)
    assert open_purchase(additional) == OpenPurchase(lines=())
    assert len(open_purchase(additional, already_bought=True).lines) == 2


def test_cut_pieces_and_uncut_bars_are_held() -> None:
    """P1 cuts 40 + 30 from LS-96-B, P2 80 + 36 from LS-120-Z, P3 80 from LS-96-Z."""
    cut = (CutBars(pattern="P2", bars=4), CutBars(pattern="P1", bars=1))
    held = hold_goods(SMALL, CUT, open_purchase(CUT), cut)
    assert [(bars.sku, bars.bars) for bars in held.bars] == [
        ("LS-120-Z", 6),
        ("LS-96-B", 3),
        ("LS-96-Z", 3),
    ]
    assert held.pieces == (
        MadePieces(material=BRONZE, length_nm=30 * INCH, pieces=1),
        MadePieces(material=BRONZE, length_nm=40 * INCH, pieces=1),
        MadePieces(material=ZINC, length_nm=36 * INCH, pieces=4),
        MadePieces(material=ZINC, length_nm=80 * INCH, pieces=4),
    )
    # 260 in the kit and 7 × 65 in packs.
    assert held.fasteners == (HeldFasteners(pool=NAILS, count=715),)


def test_openings_whose_pieces_are_all_cut_are_kept() -> None:
    # Four bars of P2 give four jambs and four heads: one door has three and two of them.
    cut = (CutBars(pattern="P2", bars=4),)
    openings = (replace(DOOR, quantity=4), *SMALL.openings[2:])
    difference = difference_order(SMALL, CUT, openings, cut=cut)
    assert difference.kept == (
        KeptOpenings(
            mark="D-1",
            quantity=3,
            supplies=(SetSupply(material=ZINC, kits=(("LK-Z", 1), ("LK-Z-N", 1)), cut=1),),
        ),
    )
    assert difference.left.pieces == (
        MadePieces(material=ZINC, length_nm=36 * INCH, pieces=2),
        MadePieces(material=ZINC, length_nm=80 * INCH, pieces=1),
    )
    assert difference.order is not None
    assert [(o.mark, o.quantity) for o in difference.order.openings] == [("D-1", 1), ("W-1", 2)]
    assert [(o.id, o.length_nm, o.quantity) for o in difference.order.rack.offcuts] == [
        ("cut already 1", 36 * INCH, 2),
        ("cut already 2", 80 * INCH, 1),
    ]
    additional = make_plan(difference.order)
    account = settle_difference(SMALL, CUT, open_purchase(CUT), difference, additional)
    assert account.additional == 0
    # The door that is left has one jamb and both heads; two jambs come from bars of 96.
    assert account.surplus.pieces == ()
    assert [(bars.sku, bars.bars) for bars in account.surplus.bars] == [
        ("LS-120-Z", 6),
        ("LS-96-Z", 1),
    ]


def test_an_added_opening_does_not_take_pieces_that_were_cut_for_another() -> None:
    # Six bars of P2 give six jambs; A-1 needs three of them and nothing else.
    jambs = frozenset({Edge.HINGE_JAMB, Edge.STRIKE_JAMB})
    cut = (CutBars(pattern="P2", bars=6),)
    openings = (replace(DOOR, mark="A-1", quantity=1, edges=jambs), *SMALL.openings)
    difference = difference_order(SMALL, CUT, openings, cut=cut)
    # Two doors have both their jambs and heads cut; kits serve two more.
    assert [(item.mark, item.quantity) for item in difference.kept] == [("D-1", 4)]


def test_held_bars_are_priced_below_every_step_of_cost() -> None:
    difference = difference_order(SMALL, CUT, SMALL.openings[1:])
    assert difference.order is not None
    held = difference.order.catalogues[-1]
    assert held.supplier == ALREADY_BOUGHT
    # Ten of 16 shares and seven of 13 (16 × 96 ÷ 120 = 12.8): 251 shares, so five decimals.
    assert [(bar.sku, bar.price, bar.available) for bar in held.stock_lengths] == [
        ("LS-120-Z (already bought)", Decimal("0.00016"), 10),
        ("LS-96-B (already bought)", Decimal("0.00013"), 4),
        ("LS-96-Z (already bought)", Decimal("0.00013"), 3),
    ]
    assert sum(bar.price * (bar.available or 0) for bar in held.stock_lengths) < Decimal("0.01")


def test_bars_are_priced_at_the_credit_of_one_left_whole_where_drops_are_credited() -> None:
    example = every_term()
    openings = (*example.order.openings, replace(DOOR, mark="D-9", quantity=1))
    difference = difference_order(example.order, example.plan, openings)
    assert difference.order is not None
    # 0.05 an inch: 84 in are 4.20, 96 in 4.80; a bundle holds three bars.
    assert [
        (bar.sku, bar.price, bar.available) for bar in difference.order.catalogues[-1].stock_lengths
    ] == [
        ("LS-84-Z (already bought)", Decimal("4.20"), 5),
        ("TC-96-Z (already bought)", Decimal("4.80"), 3),
    ]


def test_offcuts_that_the_plan_took_are_there_for_the_change() -> None:
    example = every_term()
    order, plan = example.order, example.plan
    openings = (*order.openings, replace(DOOR, mark="D-9", quantity=1))
    on_rack = next(sheet.name for sheet in plan.patterns if sheet.from_rack)
    difference = difference_order(order, plan, openings, cut=(CutBars(pattern=on_rack, bars=1),))
    assert difference.order is not None
    # Of three R-1 the plan takes two, one of which is cut to a piece of 40 in.
    assert [(o.id, o.quantity, o.value) for o in difference.order.rack.offcuts] == [
        ("cut already 1", 1, 0),
        ("R-1", 2, Decimal("2.00")),
        ("R-2", 1, Decimal("1.00")),
    ]
    additional = make_plan(difference.order)
    used = {offcut.id: offcut.used for offcut in additional.offcuts_used}
    rack = retake(take(order.rack, plan), difference, additional)
    left = {offcut.id: offcut.quantity for offcut in rack.offcuts}
    assert left.get("R-1", 0) == 2 - used.get("R-1", 0)
    assert "cut already 1" not in left


def test_names_and_numbers_that_clash_are_refused_at_once() -> None:
    catalogue = SMALL.catalogues[0]
    bar = replace(catalogue.stock_lengths[0], sku="LS-96-Z (already bought)")
    order = replace(
        SMALL, catalogues=(replace(catalogue, stock_lengths=(*catalogue.stock_lengths, bar)),)
    )
    rack = Rack(
        offcuts=tuple(
            Offcut(id=name, material=BRONZE, length_nm=30 * INCH)
            for name in ("LS-120-Z (already bought)", "R-1")
        )
    )
    with pytest.raises(DifferenceRejected) as refused:
        difference_order(order, CUT, SMALL.openings[1:], rack=rack, most_offcuts=1)
    assert [(f.path, f.code) for f in refused.value.faults] == [
        (("catalogues", 0), "repeated-sku"),
        (("rack", "offcuts", 0, "id"), "repeated-id"),
        (("rack", "offcuts"), "too-many-offcuts"),
    ]


def test_wrong_openings_are_refused_as_in_any_order() -> None:
    with pytest.raises(InvalidOrder):
        difference_order(TEN_DOORS, KITS, (DOOR, DOOR))
