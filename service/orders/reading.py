"""Orders by value: what they refer to is put in, and what is wrong with them is told."""

import asyncio
from datetime import date
from typing import Any

from optimiser.domain.faults import Fault, PriorityRejected
from optimiser.fulfilment import put_in_order
from service.json_text import read_json
from service.mapping.orders_in import StatedOrder, invalid_content, under, with_rack
from service.mapping.reading import OrderRequest, read_request
from service.problems import Problem
from service.references import ByValue, put_in_stored
from service.settings import Settings
from service.store import rows
from service.store.rows import StoredRow
from service.store.store import Store
from service.store.tables import RACKS
from service.use_cases import take_off_settled
from service.wire.order import Order as WireOrder
from service.wire.orders import OrderContent


async def put_in_all(
    raw: dict[str, Any], rack: StoredRow | None, store: Store, tenant: str, day: date
) -> ByValue:
    """Return an order by value, with what is on hand on its rack."""
    body = with_rack(raw, None if rack is None else rack.body)
    return await put_in_stored(body, store, tenant, day)


async def find_rack_named(store: Store, tenant: str, name: str | None) -> StoredRow | None:
    """Return the rack that an order names.

    Raises:
        Problem: none is kept under the name.
    """
    if name is None:
        return None
    async with store.reading() as transaction:
        row = await rows.find(transaction, RACKS, tenant, name=name)
    if row is None:
        message = f"No rack is kept as {name!r}; keep it first, or leave it out."
        raise invalid_content([Fault(("rack",), "unknown-rack", message)])
    return row


async def check_stated(
    stated: StatedOrder, store: Store, settings: Settings, tenant: str, day: date
) -> StoredRow | None:
    """Check an order that is to be kept; return the rack that it names.

    Raises:
        Problem: the order cannot be planned as it stands; every fault is listed.
    """
    rack = await find_rack_named(store, tenant, stated.content.rack)
    order = await put_in_all(stated.raw, rack, store, tenant, day)
    await asyncio.to_thread(check_order, order, stated.content, settings)
    return rack


def check_order(order: ByValue, content: OrderContent, settings: Settings) -> OrderRequest:
    """Return the order of a content; everything that it refers to stands in it by value.

    Raises:
        Problem: the order cannot be planned as it stands; every fault is listed.
    """

    def read(body: bytes) -> OrderRequest:
        request = read_request(
            body, WireOrder, longest_time_limit_seconds=settings.longest_time_limit_seconds
        )
        take_off_settled(request, body, buys=True)
        return request

    try:
        request = order.read(read)
    except Problem as problem:
        raise invalid_content(under("order", problem.faults)) from None
    try:
        put_in_order([o.mark for o in request.order.openings], tuple(content.priority))
    except PriorityRejected as rejected:
        raise invalid_content(rejected.faults) from None
    return request


async def check_kept(
    order: StoredRow, rack: StoredRow | None, store: Store, settings: Settings, day: date
) -> tuple[bytes, int]:
    """Return a kept order by value, as JSON, and the number of its openings.

    Raises:
        Problem: it can no longer be planned as it stands; every fault is listed.
    """
    raw = read_json(order.body.encode())
    by_value = await put_in_all(raw, rack, store, order.tenant_id, day)
    beside = read_json(order.terms.encode())
    content = OrderContent.model_validate({"order": raw, **beside})
    request = await asyncio.to_thread(check_order, by_value, content, settings)
    return by_value.body, sum(opening.quantity for opening in request.order.openings)
