"""Purchase orders of generated plans: the published schema takes them, and they add up."""

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given, settings

from optimiser.domain.purchase_order import Ordering, Party
from optimiser.publishing.ubl import write_purchase_orders
from tests.oracle.buying_orders import BuyingOrder
from tests.property.buying_strategies import few, orders_with, plan_of
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
