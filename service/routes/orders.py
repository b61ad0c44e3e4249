"""Orders: kept as drafts, listed, read, edited and planned."""

from http import HTTPStatus

from litestar import Response, get, post, put
from litestar.params import FromPath

from optimiser.domain.order_states import OrderAction, OrderState
from service.access.caller import Scope
from service.bodies import read_json_body
from service.gates.admission import caller_of
from service.gates.changes import answer_change, is_known, not_modified
from service.gates.pages import link_to_next, read_page_query
from service.json_text import write_json
from service.mapping.orders_in import StatedOrder, read_content
from service.media_types import JSON, choose_media_type
from service.operation import Contract, Filter
from service.orders.keeping import Step, add_order, after_action, change_order
from service.orders.planning import queue_planning
from service.orders.reading import check_kept, check_stated
from service.orders.writing import order_address, write_order_summary
from service.problems import NOT_FOUND
from service.resource_problems import NOT_ALLOWED_NOW
from service.responses import AnyRequest, answer_model
from service.routes.jobs import answer_accepted
from service.routes.order_answers import (
    OF_A_BODY,
    PATH,
    TAG,
    answer_order,
    change,
    find,
    lock_as_seen,
)
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import JOBS, ORDERS
from service.wire.jobs import Job
from service.wire.orders import KeptOrder, OrderContent, OrderList

SORTABLE = ("created_at", "changed_at")
FILTERS = {
    "state": Filter("Orders in this state alone.", tuple(OrderState)),
    "reference": Filter("Orders with this reference alone."),
}


@get(
    PATH,
    operation_id="listOrders",
    summary="List the orders",
    description="Lists the orders that are kept.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.READ,
        sortable=SORTABLE,
        filters=FILTERS,
        answers={JSON: OrderList},
        answer_description="A page of the list.",
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_orders(request: AnyRequest) -> Response[bytes]:
    """Answer with a page of the tenant's orders."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE, FILTERS)
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            ORDERS,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
            **query.wanted,
        )
    response = answer_model(OrderList(entries=[write_order_summary(row) for row in page]))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response


@post(
    PATH,
    operation_id="addOrder",
    summary="Keep an order",
    description="Keeps an order as a draft. Wrong values are told now, all of them: catalogues and "
    "rule sets that it refers to must be kept, and so must its rack. That nothing which is offered "
    "can serve an opening is found out by planning: the job then fails and says so.",
    tags=[TAG],
    status_code=201,
    contract=Contract(
        scope=Scope.WRITE,
        once=True,
        request=OrderContent,
        status=HTTPStatus.CREATED,
        answers={JSON: KeptOrder},
        answer_description="The order is kept.",
        problems=OF_A_BODY,
        request_examples=("harbour-row-order",),
        headers={"ETag": "The revision.", "Location": "Where it is."},
    ),
)
async def add_kept_order(request: AnyRequest) -> Response[bytes]:
    """Keep an order."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    stated, rack = await _read_stated(request)

    async def add(transaction: Transaction, actor: Actor) -> Response[bytes]:
        row = await add_order(transaction, actor, _values_of(stated, rack))
        response = answer_order(row, rack)
        response.status_code = int(HTTPStatus.CREATED)
        response.headers["location"] = order_address(row.id)
        return response

    return await answer_change(request, add)


@get(
    f"{PATH}/{{order_id:str}}",
    operation_id="readOrder",
    summary="Read an order",
    description="Answers with an order as it was sent, how far it has come, and what of it has "
    "arrived.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.READ,
        answers={JSON: KeptOrder},
        answer_description="The order.",
        problems=(NOT_FOUND,),
        headers={"ETag": "The revision."},
    ),
)
async def read_order(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Answer with one order."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    row, rack = await find(request, order_id)
    return (
        not_modified(row.revision) if is_known(request, row.revision) else answer_order(row, rack)
    )


@put(
    f"{PATH}/{{order_id:str}}",
    operation_id="replaceOrder",
    summary="Edit an order",
    description="Replaces what is asked for. The order is a draft again, and has no plan. Once a "
    "plan is accepted, openings are changed at `/v1/orders/{order_id}/change`.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.WRITE,
        matches=True,
        request=OrderContent,
        answers={JSON: KeptOrder},
        answer_description="The order as it is now.",
        problems=(*OF_A_BODY, NOT_FOUND, NOT_ALLOWED_NOW),
        request_examples=("harbour-row-order",),
        headers={"ETag": "The new revision."},
    ),
)
async def replace_order(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Replace what an order asks for."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    seen, _ = await find(request, order_id)
    stated, rack = await _read_stated(request)

    async def replace(transaction: Transaction, actor: Actor, order: StoredRow) -> StoredRow:
        state = after_action(order, OrderAction.EDIT)
        cleared = {"state": state.value, "plan_id": None, "asked": None}
        step = Step(action="order-replaced", values={**_values_of(stated, rack), **cleared})
        return await change_order(transaction, actor, order, step)

    return await change(request, seen, replace)


@post(
    f"{PATH}/{{order_id:str}}/planning",
    operation_id="planOrder",
    summary="Have an order planned",
    description="Queues a job that plans the order, with what its catalogues and its rack hold "
    "now. When the job has finished, the order is planned and its plan can be accepted. An order "
    "that is planned may be planned anew.",
    tags=[TAG],
    status_code=202,
    contract=Contract(
        scope=Scope.PLAN,
        once=True,
        matches=True,
        status=HTTPStatus.ACCEPTED,
        answers={JSON: Job},
        answer_description="The job that will plan it.",
        problems=(*OF_A_BODY[-1:], NOT_FOUND, NOT_ALLOWED_NOW),
        headers={
            "ETag": "The revision of the job.",
            "Location": "Where the job is.",
            "Retry-After": "Seconds after which to look at the job.",
        },
    ),
)
async def plan_order(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Queue the planning of an order."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    service = running(request)
    seen, rack = await find(request, order_id)
    after_action(seen, OrderAction.PLAN)
    by_value, openings = await check_kept(
        seen, rack, service.store, service.settings, service.clock().date()
    )

    async def plan(transaction: Transaction, actor: Actor) -> Response[bytes]:
        order = await lock_as_seen(request, transaction, actor, seen)
        job_id = await queue_planning(
            transaction, actor, service.jobs, order, request=by_value, openings=openings
        )
        job = await rows.find(transaction, JOBS, actor.tenant, id=job_id)
        assert job is not None
        return answer_accepted(job)

    response = await answer_change(request, plan)
    service.jobs.call()
    return response


async def _read_stated(request: AnyRequest) -> tuple[StatedOrder, StoredRow | None]:
    service = running(request)
    stated = read_content(await read_json_body(request))
    rack = await check_stated(
        stated,
        service.store,
        service.settings,
        caller_of(request).tenant,
        service.clock().date(),
    )
    return stated, rack


def _values_of(stated: StatedOrder, rack: StoredRow | None) -> dict[str, str | None]:
    return {
        "reference": stated.content.reference,
        "body": stated.body,
        "terms": write_json(stated.terms),
        "rack_id": None if rack is None else rack.id,
    }


HANDLERS = [list_orders, add_kept_order, read_order, replace_order, plan_order]
