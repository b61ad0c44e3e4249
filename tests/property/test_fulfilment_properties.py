"""What holds for deliveries, back orders, returns and the rack, whatever arrives or goes back."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.deliveries import OpenLine, OpenPurchase, Receipt, Units
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.rack import Rack
from optimiser.domain.returns import ReturnTerms
from optimiser.fulfilment import allot_goods, give_back, open_purchase, receive, return_goods, take
from optimiser.planning import make_plan
from tests.every_term import every_term
from tests.harbour_row import mixed_order
from tests.harbour_row_terms import with_terms
from tests.ten_doors import small, ten_doors

HAND = tuple((e.order, e.plan) for e in (every_term(), small(), ten_doors()))


@lru_cache(maxsize=1)
def cases() -> tuple[tuple[Order, Plan], ...]:
    drawn = []
    for seed, keen in ((1, False), (2, True)):
        order = with_terms(mixed_order(6, seed=seed, keen_kits=keen), "rack", "bundles")
        order = replace(order, policy=replace(order.policy, alternatives=False))
        drawn.append((order, make_plan(order)))
    return (*HAND, *drawn)


def units_of(line: OpenLine, quantity: int) -> Units:
    mark = line.made_for[0] if line.made_for else None
    return Units(supplier=line.supplier, sku=line.sku, quantity=quantity, mark=mark)


def draw_received(data: st.DataObject, purchase: OpenPurchase) -> OpenPurchase:
    units = [units_of(line, data.draw(st.integers(0, line.open))) for line in purchase.lines]
    return receive(purchase, tuple(stated for stated in units if stated.quantity))


def ready_by_mark(order: Order, plan: Plan, purchase: OpenPurchase) -> Counter[str]:
    orders = allot_goods(order, plan, purchase)
    return Counter({opening.mark: opening.ready for opening in orders.openings})


@settings(max_examples=40, deadline=None)
@given(st.data(), st.integers(0, 4))
def test_what_is_ready_can_be_counted_out_of_what_has_arrived(
    data: st.DataObject, number: int
) -> None:
    order, plan = cases()[number]
    purchase = draw_received(data, open_purchase(plan))
    marks = [opening.mark for opening in order.openings]
    priority = tuple(data.draw(st.permutations(marks)))
    orders = allot_goods(order, plan, purchase, priority)
    assert [opening.mark for opening in orders.openings] == list(priority)
    assert orders == allot_goods(order, plan, purchase, priority)
    takeoffs = {item.takeoff.opening.mark: item.takeoff for item in plan.openings}
    # Length and count alone: what is ready is no more than what is there.
    ready_nm = sum(takeoffs[o.mark].running_length_nm * o.ready for o in orders.openings)
    stock = {item.sku: item for item in order.catalogue.stock_lengths}
    there_nm = sum(used.length_nm * used.used for used in plan.offcuts_used)
    for line in purchase.lines:
        if line.sku in stock:
            bars = line.received * stock[line.sku].bars_per_unit
            there_nm += bars * stock[line.sku].length_nm
        there_nm += line.received * sum(nm * count for nm, count in line.lengths)
    assert ready_nm <= there_nm
    # Whoever waits is told for what, and every line that it waits for is open.
    late = {(line.supplier, line.sku, line.made_for) for line in orders.late_lines}
    for opening in orders.openings:
        assert bool(opening.waiting) == bool(opening.goods or opening.fasteners)
        assert {(s.supplier, s.sku, s.made_for) for s in opening.goods} <= late
        if opening.waiting:
            assert any(opening.mark in dict(line.holds_up) for line in orders.late_lines)


@settings(max_examples=40, deadline=None)
@given(st.data(), st.integers(0, 4))
def test_the_first_in_the_priority_never_lose_by_a_delivery(
    data: st.DataObject, number: int
) -> None:
    order, plan = cases()[number]
    before = draw_received(data, open_purchase(plan))
    after = draw_received(data, before)
    first = order.openings[0].mark
    earlier, later = (ready_by_mark(order, plan, purchase) for purchase in (before, after))
    assert earlier[first] <= later[first]


def test_everything_can_be_finished_when_everything_is_there() -> None:
    for order, plan in cases():
        purchase = open_purchase(plan)
        whole = receive(purchase, tuple(units_of(line, line.open) for line in purchase.lines))
        assert whole.state is Receipt.WHOLLY
        quantities = {opening.mark: opening.quantity for opening in order.openings}
        assert ready_by_mark(order, plan, whole) == quantities
        assert allot_goods(order, plan, whole).late_lines == ()


@settings(max_examples=60, deadline=None)
@given(st.data(), st.integers(0, 4), st.integers(0, 100))
def test_returns_are_credited_within_what_was_paid_and_add_up(
    data: st.DataObject, number: int, percent: int
) -> None:
    order, plan = cases()[number]
    purchase = open_purchase(plan)
    whole = receive(purchase, tuple(units_of(line, line.open) for line in purchase.lines))
    units = [units_of(line, data.draw(st.integers(0, line.received))) for line in whole.lines]
    terms = tuple(
        ReturnTerms(supplier=supplier, percent=Decimal(percent), returnable=True)
        for supplier in sorted({line.supplier for line in whole.lines})
    )
    back = tuple(stated for stated in units if stated.quantity)
    after, credit = return_goods(order, plan, whole, back, terms=terms)
    assert sum(line.held for line in after.lines) == sum(line.held for line in whole.lines) - sum(
        stated.quantity for stated in back
    )
    assert credit.total == sum((s.credit - s.charge for s in credit.suppliers), Decimal(0))
    goods = {shipment.supplier: shipment.goods for shipment in plan.shipments}
    for supplier in credit.suppliers:
        assert 0 <= supplier.charge <= supplier.credit <= goods[supplier.supplier]
    everything = tuple(units_of(line, line.received) for line in whole.lines)
    _, all_of_it = return_goods(order, plan, whole, everything, terms=terms)
    assert sum((s.credit for s in all_of_it.suppliers), Decimal(0)) == sum(goods.values())


@given(st.integers(0, 4), st.integers(0, 3), st.integers(0, 50))
def test_what_is_taken_and_given_back_leaves_the_rack_as_it_was(
    number: int, more_offcuts: int, more_nails: int
) -> None:
    order, plan = cases()[number]
    rack = Rack(
        offcuts=tuple(
            replace(offcut, quantity=offcut.quantity + more_offcuts)
            for offcut in order.rack.offcuts
        ),
        fasteners=tuple(
            replace(held, count=held.count + more_nails) for held in order.rack.fasteners
        ),
    )
    taken = take(rack, plan)
    assert give_back(taken, plan) == rack
    used = sum(offcut.used for offcut in plan.offcuts_used)
    before = sum(offcut.quantity for offcut in rack.offcuts)
    assert sum(offcut.quantity for offcut in taken.offcuts) == before - used
