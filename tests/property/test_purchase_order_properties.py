"""Purchase orders of generated plans: the published schema takes them, and they add up."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.purchase_order import (
    Contact,
    Ordering,
    Party,
    PartyId,
    PostalAddress,
    RequestedDelivery,
)
from optimiser.publishing.ubl import write_purchase_orders
from tests.oracle.buying_orders import BuyingOrder
from tests.property.buying_strategies import few, orders_with, plan_of
from tests.ten_doors import ten_doors
from tests.ubl import hold_it_adds_up, read_ubl

ORDERING = Ordering(
    order_id="HR-7", issue_date=date(2027, 3, 1), buyer=Party(name="Harbour Row Hotel")
)


@pytest.mark.parametrize("feature", ("suppliers", "freight", "free", "bundles", "standard"))
def test_every_order_is_valid_and_adds_up_to_what_its_supplier_is_paid(feature: str) -> None:
    @settings(few, max_examples=4)
    @given(order=orders_with(feature, most=3))
    def hold(order: BuyingOrder) -> None:
        plan = plan_of(order)
        if plan is None:
            return
        orders = write_purchase_orders(plan, ORDERING)
        assert sum((o.payable for o in orders), Decimal(0)) == plan.payable
        for written, shipment in zip(orders, plan.shipments, strict=True):
            hold_it_adds_up(read_ubl(written.xml), shipment.total)
        assert write_purchase_orders(plan, ORDERING) == orders

    hold()


TEXTS = st.text(max_size=30)
NAMES = TEXTS.filter(str.strip)


@settings(few, max_examples=60)
@given(
    name=NAMES,
    scheme=TEXTS,
    lines=st.lists(TEXTS, max_size=4),
    note=TEXTS,
    order_id=NAMES,
    day=st.dates(min_value=date(1900, 1, 1)),
)
def test_whatever_a_buyer_writes_the_order_stays_valid(
    name: str, scheme: str, lines: list[str], note: str, order_id: str, day: date
) -> None:
    ordering = Ordering(
        order_id=order_id,
        issue_date=day,
        buyer=Party(
            name=name,
            ids=(PartyId(id=note, scheme=scheme),),
            address=PostalAddress(lines=tuple(lines), city=name, country="US"),
            contact=Contact(name=name, telephone=scheme, email=note),
        ),
        delivery=RequestedDelivery(earliest=day, address=PostalAddress(lines=tuple(lines))),
        notes=(note,),
    )
    (order,) = write_purchase_orders(ten_doors().plan, ordering)
    assert "/" not in order.file_name and order.file_name.isascii()
    hold_it_adds_up(read_ubl(order.xml), order.payable)
