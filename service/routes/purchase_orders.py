"""Purchase orders, of an order by value or of a kept plan: OASIS UBL, one for each supplier."""

import asyncio
from dataclasses import replace
from functools import partial

from litestar import Response, post
from litestar.params import FromPath

from service.access.caller import Scope
from service.bodies import read_json_body
from service.gates.admission import caller_of
from service.media_types import JSON, XML, ZIP, choose_media_type
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    MALFORMED_JSON,
    NOT_FOUND,
    UNSUPPORTED_MEDIA_TYPE,
    Problem,
)
from service.purchase_orders import (
    FORMS,
    form_purchase_orders,
    prepare_purchase_orders,
    write_kept_purchase_orders,
)
from service.resource_problems import INVALID_CONTENT
from service.responses import AnyRequest, answer_document
from service.routes import plans
from service.running import running
from service.store import rows
from service.store.tables import PLANS
from service.wire.ordering import Ordering, OrderToBuy, PurchaseOrders

CONTRACT: Contract = replace(
    plans.CONTRACT,
    later=None,
    request=OrderToBuy,
    answers={JSON: PurchaseOrders, ZIP: None, XML: None},
    answer_description="The purchase orders of the order's plan, one for each supplier.",
    request_examples=("ten-doors-to-order",),
    answer_examples={JSON: ("ten-doors-to-order.orders",)},
)
OF_PLAN = Contract(
    scope=Scope.READ,
    once=True,
    request=Ordering,
    answers={JSON: PurchaseOrders, ZIP: None, XML: None},
    answer_description="The purchase orders of the plan, one for each supplier.",
    problems=(MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_CONTENT, NOT_FOUND),
    request_examples=("harbour-row-ordering",),
)
_FORMS = (
    "An order is OASIS UBL 2.1 Order, with units by UN/ECE Recommendation 20; it adds up exactly "
    "to what the supplier is paid, before tax. They come as JSON that holds each order's XML, as a "
    "ZIP archive with one XML file each, or, where there is one supplier, as the XML itself."
)


@post(
    "/v1/purchase-orders",
    operation_id="writePurchaseOrders",
    summary="Write the purchase orders of an order",
    description="Takes the order that a plan takes with `ordering`, which states who buys, when "
    "and where to; makes the same plan without its alternatives, and answers with a purchase order "
    f"for each supplier that it buys from. {_FORMS}",
    tags=["purchase orders"],
    status_code=200,
    contract=CONTRACT,
)
async def write_purchase_orders(request: AnyRequest) -> Response[bytes]:
    """Answer with the purchase orders of the plan of the order in the body."""
    media_type = choose_media_type(request.headers.get("accept"), FORMS)
    order, settings = await plans.read_order_body(request), running(request).settings
    prepare = partial(
        prepare_purchase_orders, longest_time_limit_seconds=settings.longest_time_limit_seconds
    )
    job = await asyncio.to_thread(order.read, prepare)
    return await plans.answer_job(request, order.body, job, media_type, form_purchase_orders)


@post(
    "/v1/plans/{plan_id:str}/purchase-orders",
    operation_id="writePurchaseOrdersOfPlan",
    summary="Write the purchase orders of a plan that is kept",
    description="Takes who buys, when and where to, and answers with a purchase order for each "
    "supplier that the plan buys from; what is already bought is not ordered again. Nothing is "
    f"solved, and nothing is sent to a supplier. {_FORMS}",
    tags=["purchase orders"],
    status_code=200,
    contract=OF_PLAN,
)
async def write_purchase_orders_of_plan(
    request: AnyRequest, plan_id: FromPath[str]
) -> Response[bytes]:
    """Answer with the purchase orders of one plan."""
    media_type = choose_media_type(request.headers.get("accept"), FORMS)
    body = await read_json_body(request)
    async with running(request).store.reading() as transaction:
        row = await rows.find(transaction, PLANS, caller_of(request).tenant, id=plan_id)
    if row is None:
        raise Problem(NOT_FOUND, f"There is no plan {plan_id[:64]!r}.")
    kept = row.request.encode(), row.solution.encode()

    def write() -> bytes:
        return form_purchase_orders(write_kept_purchase_orders(*kept, body), media_type)

    return answer_document(await asyncio.to_thread(write), media_type)
