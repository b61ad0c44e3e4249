"""What goes back, what may not, and what is credited, worked out by hand.

The order of `tests.every_term`: five LS-84-Z at 9.50 (10.00 below four), of which four are cut;
one bundle TC-96-Z, cut; eight packs LN-1 at 2.25; two standard kits LT-84-Z at 39.00; three kits
TK-Z at 61.13 less 10 % from three on, 55.02.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.buying import BreakKind, PriceBreak
from optimiser.domain.deliveries import CutBars, OpenPurchase, Units
from optimiser.domain.faults import ReturnRejected
from optimiser.domain.order import Order, Policy
from optimiser.domain.returns import ReturnCredit, ReturnedLine, ReturnTerms, SupplierCredit
from optimiser.fulfilment import open_purchase, opened_by_cutting, receive, return_goods
from optimiser.planning import make_plan
from optimiser.render import render_open_purchase, render_return
from optimiser.units.lengths import NM_PER_INCH as INCH
from tests.every_term import DOOR, ORDER, every_term
from tests.ten_doors import TEN_DOORS

STRIP_AND_SEAL, TRADE_COUNTER = "Larkmoor Strip & Seal", "Larkmoor Trade Counter"
PLAN = every_term().plan
BARS, PACKS, KITS = "LS-84-Z", "LN-1", "TK-Z"


def units(sku: str, quantity: int) -> Units:
    supplier = TRADE_COUNTER if sku.startswith("T") else STRIP_AND_SEAL
    return Units(supplier=supplier, sku=sku, quantity=quantity)


def received() -> OpenPurchase:
    purchase = open_purchase(PLAN)
    return receive(purchase, tuple(units(line.sku, line.open) for line in purchase.lines))


def send_back(
    *returned: Units,
    order: Order = ORDER,
    used: tuple[Units, ...] = (),
    terms: tuple[ReturnTerms, ...] = (),
) -> ReturnCredit:
    _, credit = return_goods(order, PLAN, received(), returned, used=used, terms=terms)
    return credit


def with_breaks(kind: BreakKind, *breaks: tuple[int, str]) -> Order:
    first, second = ORDER.catalogues
    bars = replace(
        first.stock_lengths[0],
        break_kind=kind,
        breaks=tuple(PriceBreak(from_quantity=n, price=Decimal(price)) for n, price in breaks),
    )
    return replace(ORDER, catalogues=(replace(first, stock_lengths=(bars,)), second))


def test_the_credit_is_what_the_line_costs_less_without_what_goes_back() -> None:
    # Packs: 8 × 2.25 = 18.00 less 6 × 2.25 = 13.50. Bars: 5 × 9.50 = 47.50 less 38.00.
    credit = send_back(units(PACKS, 2), units(BARS, 1))
    assert credit.lines == (
        ReturnedLine(
            supplier=STRIP_AND_SEAL,
            sku=BARS,
            quantity=1,
            paid_before=Decimal("47.50"),
            paid_after=Decimal("38.00"),
            credit=Decimal("9.50"),
            charge=Decimal(0),
        ),
        ReturnedLine(
            supplier=STRIP_AND_SEAL,
            sku=PACKS,
            quantity=2,
            paid_before=Decimal("18.00"),
            paid_after=Decimal("13.50"),
            credit=Decimal("4.50"),
            charge=Decimal(0),
        ),
    )
    assert credit.total == Decimal("14.00")


def test_a_price_break_that_is_lost_lowers_the_credit() -> None:
    # Three bars are below the break at four: 47.50 less 3 × 10.00.
    assert send_back(units(BARS, 2)).total == Decimal("17.50")


def test_a_credit_is_never_below_zero() -> None:
    # Five at 7.00 are 35.00; four at 10.00, below the break, would be 40.00.
    order = with_breaks(BreakKind.ALL_UNITS, (5, "7.00"))
    assert send_back(units(BARS, 1), order=order).lines[0].paid_after == Decimal("40.00")
    assert send_back(units(BARS, 1), order=order).total == 0


def test_with_incremental_breaks_the_cheapest_units_go_back() -> None:
    # 3 × 10.00 + 2 × 8.00 = 46.00 less 3 × 10.00 + 8.00 = 38.00.
    order = with_breaks(BreakKind.INCREMENTAL, (4, "8.00"))
    assert send_back(units(BARS, 1), order=order).total == Decimal("8.00")


def test_a_charge_is_per_cent_and_an_amount_once_for_a_supplier() -> None:
    # 14.00 × 15 % = 2.10 and 2.00: 4.10.
    terms = (ReturnTerms(supplier=STRIP_AND_SEAL, percent=Decimal(15), amount=Decimal("2.00")),)
    credit = send_back(units(PACKS, 2), units(BARS, 1), terms=terms)
    assert credit.suppliers == (
        SupplierCredit(supplier=STRIP_AND_SEAL, credit=Decimal("14.00"), charge=Decimal("4.10")),
    )
    assert credit.total == Decimal("9.90")


def test_terms_of_a_sku_go_before_those_of_its_supplier() -> None:
    # Bars: 9.50 × 25 % = 2.375, rounded half up to 2.38. Packs: 4.50 × 10 % = 0.45.
    terms = (
        ReturnTerms(supplier=STRIP_AND_SEAL, percent=Decimal(10)),
        ReturnTerms(supplier=STRIP_AND_SEAL, sku=BARS, percent=Decimal(25)),
    )
    credit = send_back(units(PACKS, 2), units(BARS, 1), terms=terms)
    assert [line.charge for line in credit.lines] == [Decimal("2.38"), 0]
    assert credit.suppliers[0].charge == Decimal("2.83")
    assert credit.total == Decimal("11.17")


def test_a_charge_is_at_most_the_credit() -> None:
    terms = (ReturnTerms(supplier=STRIP_AND_SEAL, amount=Decimal(50)),)
    assert send_back(units(PACKS, 1), terms=terms).suppliers == (
        SupplierCredit(supplier=STRIP_AND_SEAL, credit=Decimal("2.25"), charge=Decimal("2.25")),
    )


def test_made_to_measure_kits_go_back_only_where_the_terms_say_so() -> None:
    with pytest.raises(ReturnRejected) as refused:
        send_back(units(KITS, 1))
    assert [(f.path, f.code, f.message) for f in refused.value.faults] == [
        (
            ("returned", 0, "sku"),
            "not-returnable",
            "TK-Z for D-4 may not go back, since it is made to measure; keep it, or state terms of "
            "Larkmoor Trade Counter under which it may.",
        )
    ]
    # Three at 55.02 are 165.06; two have no discount, 2 × 61.13 = 122.26.
    terms = (ReturnTerms(supplier=TRADE_COUNTER, sku=KITS, returnable=True),)
    assert send_back(units(KITS, 1), terms=terms).total == Decimal("42.80")


def test_a_discount_counts_the_kits_of_every_size() -> None:
    """Two kits for 36 × 80 in and two for 34 × 79 in, 10 % less from three on.

    6.00 + 312 in at 2.10 a foot (54.60) + 5 × 0.35 = 62.35, less 10 % 56.115, rounded 56.12.
    61.13 less 10 % is 55.017, rounded 55.02. All four: 2 × 56.12 + 2 × 55.02 = 222.28; without
    the two small ones 2 × 62.35 = 124.70.
    """
    kits = replace(ORDER.catalogues[1], freight=None, stock_lengths=())
    packs = replace(TEN_DOORS.catalogues[0], stock_lengths=(), kits=())
    order = replace(
        TEN_DOORS,
        openings=(
            replace(DOOR, quantity=2),
            replace(DOOR, mark="D-2", quantity=2, width_nm=34 * INCH, height_nm=79 * INCH),
        ),
        catalogues=(kits, packs),
        policy=Policy(allow_cutting=False),
    )
    plan = make_plan(order)
    purchase = open_purchase(plan)
    for mark in ("D-1", "D-2"):
        kits_for = Units(supplier=TRADE_COUNTER, sku=KITS, quantity=2, mark=mark)
        purchase = receive(purchase, (kits_for,))
    terms = (ReturnTerms(supplier=TRADE_COUNTER, returnable=True),)
    _, credit = return_goods(order, plan, purchase, (kits_for,), terms=terms)
    assert credit.lines[0].paid_before == Decimal("222.28")
    assert credit.total == Decimal("222.28") - Decimal("124.70")


def test_what_is_used_stays_and_what_has_gone_back_cannot_go_again() -> None:
    names = {(sheet.sku, sheet.bars): sheet.name for sheet in PLAN.patterns}
    cut = (CutBars(pattern=names[BARS, 4], bars=4), CutBars(pattern=names["TC-96-Z", 1], bars=1))
    used = opened_by_cutting(PLAN, cut)
    with pytest.raises(ReturnRejected) as refused:
        send_back(units(BARS, 2), units("TC-96-Z", 1), used=used)
    assert [(f.path, f.code, f.message) for f in refused.value.faults] == [
        (
            ("returned", 0, "quantity"),
            "more-than-is-left",
            "LS-84-Z: the quantity is 2, but 1 at most; return what has arrived and is not used.",
        ),
        (
            ("returned", 1, "quantity"),
            "more-than-is-left",
            "TC-96-Z: the quantity is 1, but 0 at most; return what has arrived and is not used.",
        ),
    ]
    purchase, credit = return_goods(ORDER, PLAN, received(), (units(BARS, 1),), used=used)
    assert credit.total == Decimal("9.50")
    assert "Returned" in render_open_purchase(purchase)
    with pytest.raises(ReturnRejected):
        return_goods(ORDER, PLAN, purchase, (units(BARS, 1),), used=used)


def test_a_second_return_is_credited_from_what_is_still_held() -> None:
    purchase, first = return_goods(ORDER, PLAN, received(), (units(BARS, 1),))
    _, second = return_goods(ORDER, PLAN, purchase, (units(BARS, 1),))
    # 47.50 → 38.00 → 30.00: together what two at once are credited.
    assert (first.total, second.total) == (Decimal("9.50"), Decimal("8.00"))


def test_nothing_goes_back_that_has_not_arrived() -> None:
    with pytest.raises(ReturnRejected) as refused:
        return_goods(ORDER, PLAN, open_purchase(PLAN), (units(PACKS, 1),))
    assert [fault.code for fault in refused.value.faults] == ["more-than-is-left"]


def test_faults_of_goods_and_terms_are_named_at_once() -> None:
    terms = (
        ReturnTerms(supplier="Larkmoor Mill Yard"),
        ReturnTerms(supplier=STRIP_AND_SEAL, sku="LX-1"),
        ReturnTerms(supplier=STRIP_AND_SEAL, percent=Decimal(101)),
        ReturnTerms(supplier=STRIP_AND_SEAL, amount=Decimal(-1), percent=Decimal("NaN")),
        ReturnTerms(supplier=STRIP_AND_SEAL, sku=PACKS, returnable=False),
    )
    with pytest.raises(ReturnRejected) as refused:
        send_back(units(PACKS, 1), units("LX-1", 1), terms=terms)
    assert [(f.path, f.code) for f in refused.value.faults] == [
        (("terms", 0, "supplier"), "unknown-supplier"),
        (("terms", 1, "sku"), "unknown-line"),
        (("terms", 2, "percent"), "percent-out-of-range"),
        (("terms", 3), "repeated-terms"),
        (("terms", 3, "percent"), "percent-out-of-range"),
        (("terms", 3, "amount"), "negative-price"),
        (("returned", 1, "sku"), "unknown-line"),
        (("returned", 0, "sku"), "not-returnable"),
    ]
    assert "the terms say so" in refused.value.faults[-1].message


def test_a_return_is_told_with_its_arithmetic() -> None:
    terms = (ReturnTerms(supplier=STRIP_AND_SEAL, percent=Decimal(15), amount=Decimal("2.00")),)
    text = render_return(send_back(units(PACKS, 2), units(BARS, 1), terms=terms))
    assert (
        text
        == """\
Qty  Paid for all  For the rest  Credit  Own charge  SKU
---  ------------  ------------  ------  ----------  -------
  1         47.50         38.00    9.50        0.00  LS-84-Z
  2         18.00         13.50    4.50        0.00  LN-1

- Larkmoor Strip & Seal: USD 14.00 credited, less USD 4.10 for restocking: USD 9.90.
Total credit USD 9.90
"""
    )
    assert render_return(send_back()) == "Nothing goes back.\n"
