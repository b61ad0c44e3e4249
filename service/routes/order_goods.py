"""Goods of an order: delivered, cut, given back, and what waits for those that are late."""

import asyncio

from litestar import Response, get, post
from litestar.params import FromPath

from optimiser.domain.order_states import OrderAction
from optimiser.render.fulfilment_text import render_back_orders
from service.access.caller import Scope
from service.bodies import read_json_body
from service.gates.admission import caller_of
from service.gates.pages import link_to_next, read_page_query
from service.mapping.order_effects_out import write_back_orders
from service.mapping.orders_in import read_stated
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract, Filter
from service.orders import goods, returns
from service.orders.account import read_account
from service.orders.back_orders import allot
from service.orders.effects import Done
from service.orders.keeping import after_action
from service.orders.recalling import recall_all
from service.orders.writing import write_movement
from service.problems import NOT_FOUND, Problem
from service.resource_problems import NOT_ALLOWED_NOW
from service.responses import AnyRequest, answer_document, answer_model
from service.routes.order_answers import PATH, TAG, do, find, step_contract
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import ORDER_MOVEMENTS
from service.wire.order_effects import BackOrders, Movements
from service.wire.orders import Cutting, Delivery, Return

SORTABLE = ("created_at",)
FILTERS = {
    "kind": Filter("Movements of this kind alone.", ("delivery", "cutting", "return")),
}


@post(
    f"{PATH}/{{order_id:str}}/deliveries",
    operation_id="receiveDelivery",
    summary="Receive a delivery",
    description="Notes what has arrived. More than is open is not received, and then nothing is.",
    tags=[TAG],
    status_code=200,
    contract=step_contract(Delivery, "The delivery is received.", example="order-delivery"),
)
async def receive_delivery(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Receive a delivery."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    stated = read_stated(await read_json_body(request), Delivery)
    seen, _ = await find(request, order_id)

    async def receive(transaction: Transaction, actor: Actor, order: StoredRow) -> Done:
        return await goods.receive_delivery(transaction, actor, order, stated)

    return await do(request, seen, receive)


@post(
    f"{PATH}/{{order_id:str}}/cuttings",
    operation_id="noteCutting",
    summary="Note what is cut",
    description="Notes bars that are cut by patterns of the accepted plan. What is cut does not go "
    "back, and a change of the order keeps its pieces.",
    tags=[TAG],
    status_code=200,
    contract=step_contract(Cutting, "The cutting is noted.", example="order-cutting"),
)
async def note_cutting(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Note bars that are cut."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    stated = read_stated(await read_json_body(request), Cutting)
    seen, _ = await find(request, order_id)
    goods.may_cut(seen)
    assert seen.account is not None
    account = read_account(seen.account)
    plans = await recall_all(running(request).store, caller_of(request).tenant, account)

    async def cut(transaction: Transaction, actor: Actor, order: StoredRow) -> Done:
        return await goods.cut_bars(transaction, actor, order, stated, plans)

    return await do(request, seen, cut)


@post(
    f"{PATH}/{{order_id:str}}/returns",
    operation_id="returnGoods",
    summary="Return goods",
    description="Notes whole units that go back, and answers with what is credited for them under "
    "the order's terms of return. Cut goods do not go back, and kits that are made to measure only "
    "where the terms say so.",
    tags=[TAG],
    status_code=200,
    contract=step_contract(Return, "The goods are returned.", example="order-return"),
)
async def return_goods(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Give goods back."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    stated = read_stated(await read_json_body(request), Return)
    seen, _ = await find(request, order_id)
    after_action(seen, OrderAction.RETURN)
    account = read_account(seen.account)
    plans = await recall_all(running(request).store, caller_of(request).tenant, account)

    async def give_back(transaction: Transaction, actor: Actor, order: StoredRow) -> Done:
        return await returns.return_units(transaction, actor, order, stated, plans)

    return await do(request, seen, give_back)


@get(
    f"{PATH}/{{order_id:str}}/movements",
    operation_id="listMovements",
    summary="List the movements of an order",
    description="Lists its deliveries, cuttings and returns, as they were sent.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.READ,
        sortable=SORTABLE,
        filters=FILTERS,
        answers={JSON: Movements},
        answer_description="A page of the list.",
        problems=(NOT_FOUND,),
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_movements(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Answer with a page of the movements of one order."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE, FILTERS)
    seen, _ = await find(request, order_id)
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            ORDER_MOVEMENTS,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
            order_id=seen.id,
            **query.wanted,
        )
    response = answer_model(Movements(entries=[write_movement(row) for row in page]))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response


@get(
    f"{PATH}/{{order_id:str}}/back-orders",
    operation_id="readBackOrders",
    summary="Read what waits for late goods",
    description="Answers with how many openings of each mark can be finished with what is there, "
    "in the order's priority, and with what the others wait for. Offcuts from the rack are there.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.READ,
        answers={JSON: BackOrders, TEXT: None},
        answer_description="Openings that can be finished, and lines that are late.",
        problems=(NOT_FOUND, NOT_ALLOWED_NOW),
    ),
)
async def read_back_orders(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Answer with what waits for late goods."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    seen, _ = await find(request, order_id)
    if seen.account is None:
        raise Problem(
            NOT_ALLOWED_NOW,
            f"Nothing is bought for an order that is {seen.state}; accept its plan first.",
        )
    account = read_account(seen.account)
    plans = await recall_all(running(request).store, caller_of(request).tenant, account)

    def write() -> bytes:
        orders = allot(seen, account, plans)
        if media_type == TEXT:
            return render_back_orders(orders).encode()
        return write_back_orders(orders).model_dump_json().encode()

    return answer_document(await asyncio.to_thread(write), media_type)


HANDLERS = [receive_delivery, note_cutting, return_goods, list_movements, read_back_orders]
