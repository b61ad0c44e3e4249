"""What a purchase leaves open, and what deliveries take off it."""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.deliveries import CutBars, OpenPurchase, Receipt, Units
from optimiser.domain.faults import DeliveryRejected
from optimiser.fulfilment import open_purchase, opened_by_cutting, receive
from optimiser.render import render_open_purchase
from tests.every_term import every_term
from tests.ten_doors import small

STRIP_AND_SEAL = "Larkmoor Strip & Seal"
PURCHASE = open_purchase(small().plan)


def units(sku: str, quantity: int, mark: str | None = None) -> Units:
    return Units(supplier=STRIP_AND_SEAL, sku=sku, quantity=quantity, mark=mark)


def everything(purchase: OpenPurchase) -> tuple[Units, ...]:
    return tuple(
        Units(
            supplier=line.supplier,
            sku=line.sku,
            quantity=line.open,
            mark=line.made_for[0] if line.made_for else None,
        )
        for line in purchase.lines
        if line.open
    )


def in_two_sizes() -> OpenPurchase:
    lines = [
        replace(line, made_for=(mark,))
        for line in PURCHASE.lines
        if line.sku == "LK-Z"
        for mark in ("D-1", "D-9")
    ]
    return OpenPurchase(lines=tuple(lines))


def test_a_purchase_is_open_by_supplier_and_sku() -> None:
    assert [(line.sku, line.ordered, line.open) for line in PURCHASE.lines] == [
        ("LS-120-Z", 10, 10),
        ("LS-96-B", 4, 4),
        ("LS-96-Z", 3, 3),
        ("LK-Z", 1, 1),
        ("LK-Z-N", 1, 1),
        ("LN-1", 7, 7),
    ]
    assert PURCHASE.state is Receipt.NOTHING


def test_lines_that_differ_in_price_alone_are_one() -> None:
    plan = small().plan
    dear = replace(plan.purchases[0], quantity=2, unit_price=Decimal(30), amount=Decimal(60))
    split = open_purchase(replace(plan, purchases=(*plan.purchases, dear)))
    assert [line.ordered for line in split.lines if line.sku == "LS-120-Z"] == [12]


def test_a_delivery_is_taken_off_what_is_open() -> None:
    partly = receive(PURCHASE, (units("LS-120-Z", 4), units("LN-1", 7), units("LS-120-Z", 5)))
    # 10 − 4 − 5 = 1.
    assert [line.open for line in partly.lines] == [1, 4, 3, 1, 1, 0]
    assert partly.state is Receipt.PARTLY
    wholly = receive(partly, everything(partly))
    assert wholly.state is Receipt.WHOLLY
    assert [line.received for line in wholly.lines] == [10, 4, 3, 1, 1, 7]


def test_a_purchase_of_nothing_has_wholly_arrived() -> None:
    assert OpenPurchase(lines=()).state is Receipt.WHOLLY


def test_all_faults_of_a_delivery_are_named_at_once() -> None:
    delivery = (
        units("LS-120-Z", 6),
        units("LS-120-Z", 5),
        units("LX-1", 1),
        units("LN-1", 0),
        units("LS-96-B", -2),
        Units(supplier="Larkmoor Trade Counter", sku="LN-1", quantity=1),
        units("LK-Z", 1, mark="D-7"),
        units("LN-1", 1, mark="D-1"),
    )
    with pytest.raises(DeliveryRejected) as refused:
        receive(PURCHASE, delivery)
    assert [(f.path, f.code) for f in refused.value.faults] == [
        (("lines", 1, "quantity"), "over-delivery"),
        (("lines", 2, "sku"), "unknown-line"),
        (("lines", 3, "quantity"), "quantity-not-positive"),
        (("lines", 4, "quantity"), "quantity-not-positive"),
        (("lines", 5, "sku"), "unknown-line"),
        (("lines", 6, "mark"), "unknown-mark"),
        (("lines", 7, "mark"), "unknown-mark"),
    ]
    assert refused.value.faults[0].message == (
        "LS-120-Z: the quantity is 5 (11 with those above), but 10 at most; receive what is open, "
        "and settle the rest with the supplier."
    )
    assert refused.value.faults[1].message == (
        "Nothing with SKU “LX-1” is bought from “Larkmoor Strip & Seal”; correct the supplier or "
        "the SKU, or leave the line out."
    )


def test_a_kit_bought_in_two_sizes_is_told_by_a_mark_that_it_is_made_for() -> None:
    purchase = in_two_sizes()
    with pytest.raises(DeliveryRejected) as refused:
        receive(purchase, (units("LK-Z", 1),))
    assert refused.value.faults[0].message == (
        "LK-Z: kits of it are bought in 2 sizes; say which by a mark that it is made for: D-1, D-9."
    )
    received = receive(purchase, (units("LK-Z", 1, mark="D-9"),))
    assert [line.received for line in received.lines] == [0, 1]


def test_a_bundle_is_opened_by_its_first_bar() -> None:
    # TC-96-Z comes in bundles of three, and two bars of P3 are cut; LS-84-Z comes singly.
    plan = every_term().plan
    names = {(sheet.sku, sheet.bars): sheet.name for sheet in plan.patterns}
    cut = (
        CutBars(pattern=names["TC-96-Z", 2], bars=2),
        CutBars(pattern=names["LS-84-Z", 4], bars=3),
        CutBars(pattern=names["R-1", 2], bars=1),
    )
    assert opened_by_cutting(plan, cut) == (
        Units(supplier=STRIP_AND_SEAL, sku="LS-84-Z", quantity=3),
        Units(supplier="Larkmoor Trade Counter", sku="TC-96-Z", quantity=1),
    )


def test_a_purchase_is_written_line_by_line() -> None:
    partly = receive(PURCHASE, (units("LS-120-Z", 4), units("LN-1", 7)))
    text = render_open_purchase(partly).splitlines()
    assert text[0] == "Partly received."
    assert text[2:5] == [
        "Ordered  Received  Open  SKU                  Supplier",
        "-------  --------  ----  -------------------  ---------------------",
        "     10         4     6  LS-120-Z             Larkmoor Strip & Seal",
    ]
    assert "      1         0     1  LK-Z-N for D-1, D-2  Larkmoor Strip & Seal" in text
    assert render_open_purchase(OpenPurchase(lines=())) == "Nothing is bought.\n"
