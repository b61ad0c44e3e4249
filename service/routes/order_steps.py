"""What is done to an order as a whole: accepted, withdrawn, closed."""

from litestar import Response, post
from litestar.params import FromPath

from optimiser.domain.order_states import OrderAction
from service.bodies import read_json_body
from service.gates.admission import caller_of
from service.jobs.rebuilding import Planned
from service.mapping.orders_in import read_stated
from service.media_types import JSON, choose_media_type
from service.orders import acceptance
from service.orders.account import read_account
from service.orders.effects import Done
from service.orders.keeping import after_action
from service.orders.recalling import recall, recall_all
from service.resource_problems import RACK_CHANGED
from service.responses import AnyRequest
from service.routes.order_answers import PATH, TAG, do, find, step_contract
from service.running import running
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.wire.orders import Acceptance, Closing, Withdrawal


@post(
    f"{PATH}/{{order_id:str}}/acceptance",
    operation_id="acceptOrder",
    summary="Accept the plan of an order",
    description="Accepts the plan that stands for the order: what it buys is on order from now "
    "on, and what it takes from the order's rack is taken. An order whose plan buys nothing is "
    "wholly received at once.",
    tags=[TAG],
    status_code=200,
    contract=step_contract(
        Acceptance, "The plan is accepted.", RACK_CHANGED, example="order-acceptance"
    ),
)
async def accept_order(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Accept the plan of an order."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    stated = read_stated(await read_json_body(request), Acceptance)
    seen, _ = await find(request, order_id)
    after_action(seen, OrderAction.ACCEPT)
    acceptance.require_plan(seen, stated.plan_id)
    tenant = caller_of(request).tenant
    (planned,) = await recall(running(request).store, tenant, [stated.plan_id])

    async def accept(transaction: Transaction, actor: Actor, order: StoredRow) -> Done:
        return await acceptance.accept(transaction, actor, order, stated.plan_id, planned)

    return await do(request, seen, accept)


@post(
    f"{PATH}/{{order_id:str}}/withdrawal",
    operation_id="withdrawOrder",
    summary="Withdraw an order",
    description="Withdraws an order of which nothing has arrived and nothing is cut. What its plan "
    "took from its rack is back on it.",
    tags=[TAG],
    status_code=200,
    contract=step_contract(
        Withdrawal, "The order is withdrawn.", RACK_CHANGED, example="order-withdrawal"
    ),
)
async def withdraw_order(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Withdraw an order."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    stated = read_stated(await read_json_body(request), Withdrawal)
    seen, _ = await find(request, order_id)
    plans = await _plans_of(request, seen)

    async def withdraw(transaction: Transaction, actor: Actor, order: StoredRow) -> Done:
        return await acceptance.withdraw(transaction, actor, order, stated.remark, plans)

    return await do(request, seen, withdraw)


@post(
    f"{PATH}/{{order_id:str}}/closing",
    operation_id="closeOrder",
    summary="Close an order",
    description="Closes an order of which goods have arrived. What has not arrived is given up. "
    "What the work leaves goes on the order's rack, unless that is not wanted.",
    tags=[TAG],
    status_code=200,
    contract=step_contract(Closing, "The order is closed.", RACK_CHANGED, example="order-closing"),
)
async def close_order(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Close an order."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    stated = read_stated(await read_json_body(request), Closing)
    seen, _ = await find(request, order_id)
    plans = await _plans_of(request, seen)

    async def close(transaction: Transaction, actor: Actor, order: StoredRow) -> Done:
        return await acceptance.close(
            transaction,
            actor,
            order,
            plans,
            leave_on_rack=stated.leave_on_rack,
            remark=stated.remark,
        )

    return await do(request, seen, close)


async def _plans_of(request: AnyRequest, order: StoredRow) -> tuple[Planned, ...]:
    """Return the plans that were accepted of an order, where its rack needs to know."""
    if order.account is None or order.rack_id is None:
        return ()
    account = read_account(order.account)
    return await recall_all(running(request).store, order.tenant_id, account)


HANDLERS = [accept_order, withdraw_order, close_order]
