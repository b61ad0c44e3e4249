"""Changes of accepted orders: worked out, read, accepted or dropped."""

import asyncio
from http import HTTPStatus

from litestar import Response, delete, get, post, put
from litestar.params import FromPath

from optimiser.render.difference_text import render_difference
from service.access.caller import Scope
from service.bodies import read_json_body
from service.gates.admission import caller_of
from service.jobs.rebuilding import Planned
from service.json_text import read_json
from service.mapping.order_effects_out import write_change_account
from service.mapping.orders_in import read_stated
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract
from service.orders import changes
from service.orders.change import ChangeInWaiting
from service.orders.effects import Done
from service.orders.recalling import recall, recall_all
from service.problems import NOT_FOUND
from service.resource_problems import NOT_ALLOWED_NOW, RACK_CHANGED
from service.responses import AnyRequest, answer_document
from service.routes.order_answers import (
    OF_A_BODY,
    PATH,
    TAG,
    change,
    do,
    find,
    order_contract,
    step_contract,
)
from service.running import running
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.wire.order_effects import ChangeAccount
from service.wire.orders import ChangedOpenings, KeptOrder

AT = f"{PATH}/{{order_id:str}}/change"


@put(
    AT,
    operation_id="changeOrder",
    summary="Change the openings of an accepted order",
    description="Takes all openings that the order is to have, and works out what of it is served "
    "by what is bought and cut already. Where something has to be bought beside, a job plans it; "
    "`pending_change` of the order says which, and when the change can be accepted. Until then the "
    "order stands as it was. A change that was asked for before is replaced.",
    tags=[TAG],
    status_code=202,
    contract=Contract(
        scope=Scope.WRITE,
        matches=True,
        request=ChangedOpenings,
        status=HTTPStatus.ACCEPTED,
        answers={JSON: KeptOrder},
        answer_description="The order, with the change that waits.",
        problems=(*OF_A_BODY, NOT_FOUND, NOT_ALLOWED_NOW),
        request_examples=("order-change",),
        headers={"ETag": "The new revision."},
    ),
)
async def change_order(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Work out a change of an accepted order."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    service = running(request)
    body = await read_json_body(request)
    read_stated(body, ChangedOpenings)
    seen, rack = await find(request, order_id)
    changes.may_change(seen)
    plans = await _plans_of(request, seen)
    worked_out = await asyncio.to_thread(
        changes.work_out_change,
        seen,
        read_json(body)["openings"],
        plans,
        rack=rack,
        settings=service.settings,
    )

    async def keep(transaction: Transaction, actor: Actor, order: StoredRow) -> StoredRow:
        return await changes.keep_change(transaction, actor, service.jobs, order, worked_out)

    response = await change(request, seen, keep, status=HTTPStatus.ACCEPTED)
    service.jobs.call()
    return response


@get(
    AT,
    operation_id="readChange",
    summary="Read what a change comes to",
    description="Answers with what the change that waits keeps, buys beside and leaves over, and "
    "what suppliers are paid in all.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.READ,
        answers={JSON: ChangeAccount, TEXT: None},
        answer_description="What the change comes to.",
        problems=(NOT_FOUND, NOT_ALLOWED_NOW),
    ),
)
async def read_change(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Answer with what a change comes to."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    seen, _ = await find(request, order_id)
    waiting = changes.change_of(seen)
    changes.require_ready(waiting)
    plans = await _plans_of(request, seen)
    additional = await _additional(request, waiting)

    def write() -> bytes:
        account = changes.settle_change(seen, waiting, plans, additional)
        if media_type == TEXT:
            return render_difference(account).encode()
        return write_change_account(account).model_dump_json().encode()

    return answer_document(await asyncio.to_thread(write), media_type)


@delete(
    AT,
    operation_id="dropChange",
    summary="Drop a change",
    description="Drops the change that waits. The order stands as it was.",
    tags=[TAG],
    status_code=200,
    contract=order_contract("The order, without the change."),
)
async def drop_change(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Drop the change that waits."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    seen, _ = await find(request, order_id)
    changes.change_of(seen)
    return await change(request, seen, changes.drop_change)


@post(
    f"{AT}/acceptance",
    operation_id="acceptChange",
    summary="Accept a change",
    description="Accepts the change that waits: what it buys beside is on order from now on, and "
    "the order has the changed openings. Where something was cut or went back since the change was "
    "worked out, it is refused.",
    tags=[TAG],
    status_code=200,
    contract=step_contract(None, "The change is accepted.", RACK_CHANGED),
)
async def accept_change(request: AnyRequest, order_id: FromPath[str]) -> Response[bytes]:
    """Accept the change that waits."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    seen, _ = await find(request, order_id)
    waiting = changes.change_of(seen)
    changes.require_ready(waiting)
    plans = await _plans_of(request, seen)
    additional = await _additional(request, waiting)

    async def accept(transaction: Transaction, actor: Actor, order: StoredRow) -> Done:
        return await changes.accept_change(transaction, actor, order, plans, additional)

    return await do(request, seen, accept)


async def _plans_of(request: AnyRequest, order: StoredRow) -> tuple[Planned, ...]:
    account = changes.account_of(order)
    return await recall_all(running(request).store, caller_of(request).tenant, account)


async def _additional(request: AnyRequest, waiting: ChangeInWaiting) -> Planned | None:
    if waiting.plan_id is None:
        return None
    (planned,) = await recall(running(request).store, caller_of(request).tenant, [waiting.plan_id])
    return planned


HANDLERS = [change_order, read_change, drop_change, accept_change]
