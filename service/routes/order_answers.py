"""What the routes of orders have in common: finding one, changing it, and answering with it."""

from collections.abc import Awaitable, Callable
from http import HTTPStatus

from litestar import Response

from service.access.caller import Scope
from service.gates.admission import caller_of
from service.gates.changes import answer_change, entity_tag, require_match
from service.media_types import JSON
from service.operation import Contract
from service.orders.effects import Done
from service.orders.keeping import find_order, rack_of
from service.orders.writing import write_order
from service.problem_kinds import ProblemKind
from service.problems import (
    BODY_TOO_LARGE,
    MALFORMED_JSON,
    NOT_FOUND,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.resource_problems import INVALID_CONTENT, NOT_ALLOWED_NOW
from service.responses import AnyRequest, answer_model
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.wire.base import WireModel
from service.wire.order_effects import OrderEffect
from service.wire.orders import KeptOrder

PATH = "/v1/orders"
TAG = "orders"
OF_A_BODY = (MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_CONTENT)

Do = Callable[[Transaction, Actor, StoredRow], Awaitable[Done]]
Change = Callable[[Transaction, Actor, StoredRow], Awaitable[StoredRow]]


def step_contract(
    request: type[WireModel] | None,
    description: str,
    *further: ProblemKind,
    example: str | None = None,
) -> Contract:
    """Return the contract of something that is done to an order."""
    return Contract(
        scope=Scope.WRITE,
        once=True,
        matches=True,
        request=request,
        answers={JSON: OrderEffect},
        answer_description=description,
        problems=(*OF_A_BODY, NOT_FOUND, NOT_ALLOWED_NOW, *further),
        request_examples=(example,) if example else (),
        headers={"ETag": "The order's new revision."},
    )


def order_contract(description: str, *further: ProblemKind) -> Contract:
    """Return the contract of a change of an order that is answered with the order."""
    return Contract(
        scope=Scope.WRITE,
        matches=True,
        answers={JSON: KeptOrder},
        answer_description=description,
        problems=(NOT_FOUND, NOT_ALLOWED_NOW, *further),
        headers={"ETag": "The new revision."},
    )


async def find(request: AnyRequest, order_id: str) -> tuple[StoredRow, StoredRow | None]:
    """Return an order of the tenant, and the rack that it takes from.

    Raises:
        Problem: there is none.
    """
    tenant = caller_of(request).tenant
    async with running(request).store.reading() as transaction:
        row = await find_order(transaction, tenant, order_id)
        rack = await rack_of(transaction, tenant, row)
    return row, rack


async def do(request: AnyRequest, seen: StoredRow, work: Do) -> Response[bytes]:
    """Answer with what was done to an order and what that did.

    `seen` is the order as it was read before: the work may rest on it.

    Raises:
        Problem: If-Match is missing or names another revision, the order has changed since it
            was read, or the work raises it; nothing was changed.
    """

    async def change(transaction: Transaction, actor: Actor) -> Response[bytes]:
        order = await lock_as_seen(request, transaction, actor, seen)
        done = await work(transaction, actor, order)
        response = answer_model(done.effect)
        response.headers["etag"] = entity_tag(done.row.revision)
        return response

    return await answer_change(request, change)


async def change(
    request: AnyRequest,
    seen: StoredRow,
    work: Change,
    *,
    status: HTTPStatus = HTTPStatus.OK,
) -> Response[bytes]:
    """Answer with an order that was changed; as `do` otherwise."""

    async def change_it(transaction: Transaction, actor: Actor) -> Response[bytes]:
        order = await lock_as_seen(request, transaction, actor, seen)
        after = await work(transaction, actor, order)
        rack = await rack_of(transaction, actor.tenant, after)
        response = answer_order(after, rack)
        response.status_code = int(status)
        return response

    return await answer_change(request, change_it)


async def lock_as_seen(
    request: AnyRequest, transaction: Transaction, actor: Actor, seen: StoredRow
) -> StoredRow:
    """Return an order, locked, at the revision at which it was read and that If-Match names.

    Raises:
        Problem: If-Match is missing or names another revision.
        ChangedMeanwhile: it was changed since it was read.
    """
    order = await find_order(transaction, actor.tenant, seen.id, lock=True)
    require_match(request, order.revision)
    if order.revision != seen.revision:
        raise rows.ChangedMeanwhile(seen.id)
    return order


def answer_order(row: StoredRow, rack: StoredRow | None) -> Response[bytes]:
    """Answer with an order."""
    response = answer_model(write_order(row, None if rack is None else rack.name))
    response.headers["etag"] = entity_tag(row.revision)
    return response
