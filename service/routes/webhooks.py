"""Webhooks: set, listed, read, changed, given a new secret, removed."""

from http import HTTPStatus

from litestar import Response, delete, get, post, put
from litestar.params import FromPath

from service.access.caller import Scope
from service.bodies import read_json_body
from service.gates.admission import caller_of
from service.gates.changes import (
    answer_change,
    entity_tag,
    is_known,
    not_modified,
    require_match,
)
from service.gates.pages import link_to_next, read_page_query
from service.mapping.webhooks import write_webhook, write_with_secret
from service.media_types import JSON, choose_media_type
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    MALFORMED_JSON,
    NOT_FOUND,
    UNSUPPORTED_MEDIA_TYPE,
    Problem,
)
from service.resource_problems import INVALID_CONTENT
from service.responses import AnyRequest, answer_model
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import WEBHOOKS
from service.store.webhooks import add_webhook, change_webhook, remove_webhook, rotate_secret
from service.webhooks.reading import read_webhook
from service.wire import webhooks as wire

PATH = "/v1/webhooks"
TAG = "webhooks"
SORTABLE = ("created_at", "changed_at")
OF_A_BODY = (MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_CONTENT)


@get(
    PATH,
    operation_id="listWebhooks",
    summary="List the webhooks",
    description="Lists the webhooks of the tenant, without their secrets.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.ADMINISTER,
        sortable=SORTABLE,
        answers={JSON: wire.Webhooks},
        answer_description="A page of the list.",
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_webhooks(request: AnyRequest) -> Response[bytes]:
    """Answer with a page of the tenant's webhooks."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE)
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            WEBHOOKS,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
        )
    response = answer_model(wire.Webhooks(entries=[write_webhook(row) for row in page]))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response


@post(
    PATH,
    operation_id="addWebhook",
    summary="Set a webhook",
    description="Sets a webhook: from now on messages are sent to its URL, each signed by "
    "Standard Webhooks with the secret of the answer. An answer from 200 to 299 within 15 s says "
    "that a message has arrived; else it is sent again after 5 s, 30 s, 2 min, 15 min, 1 h, 6 h "
    "and 24 h. An answer of 410 makes the webhook inactive. The same message may come twice, and "
    "messages may come in another order than that of what they tell of.",
    tags=[TAG],
    status_code=201,
    contract=Contract(
        scope=Scope.ADMINISTER,
        once=True,
        request=wire.NewWebhook,
        status=HTTPStatus.CREATED,
        answers={JSON: wire.WebhookWithSecret},
        answer_description="The webhook is set.",
        problems=OF_A_BODY,
        headers={"ETag": "The revision.", "Location": "Where it is."},
    ),
)
async def add_a_webhook(request: AnyRequest) -> Response[bytes]:
    """Set a webhook."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    destinations = running(request).destinations
    new = await read_webhook(await read_json_body(request), wire.NewWebhook, destinations)

    async def add(transaction: Transaction, actor: Actor) -> Response[bytes]:
        row = await add_webhook(transaction, actor, new.url, new.events)
        response = _with_secret(row)
        response.status_code = int(HTTPStatus.CREATED)
        response.headers["location"] = f"{PATH}/{row.id}"
        return response

    return await answer_change(request, add)


@get(
    f"{PATH}/{{webhook_id:str}}",
    operation_id="readWebhook",
    summary="Read a webhook",
    description="Answers with a webhook, without its secret.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.ADMINISTER,
        answers={JSON: wire.Webhook},
        answer_description="The webhook.",
        problems=(NOT_FOUND,),
        headers={"ETag": "The revision."},
    ),
)
async def read_a_webhook(request: AnyRequest, webhook_id: FromPath[str]) -> Response[bytes]:
    """Answer with a webhook."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    async with running(request).store.reading() as transaction:
        row = await _find(transaction, caller_of(request).tenant, webhook_id)
    if is_known(request, row.revision):
        return not_modified(row.revision)
    return _without_secret(row)


@put(
    f"{PATH}/{{webhook_id:str}}",
    operation_id="changeWebhook",
    summary="Change a webhook",
    description="Changes where a webhook leads, what it is told of, and whether it is active. Its "
    "secret stays.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.ADMINISTER,
        matches=True,
        request=wire.ChangedWebhook,
        answers={JSON: wire.Webhook},
        answer_description="The webhook as it is now.",
        problems=(*OF_A_BODY, NOT_FOUND),
        headers={"ETag": "The new revision."},
    ),
)
async def change_a_webhook(request: AnyRequest, webhook_id: FromPath[str]) -> Response[bytes]:
    """Change a webhook."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    service, tenant = running(request), caller_of(request).tenant
    body = await read_json_body(request)
    async with service.store.reading() as transaction:
        known = await _find(transaction, tenant, webhook_id)
    wanted = await read_webhook(
        body, wire.ChangedWebhook, service.destinations, known_url=known.url
    )

    async def change(transaction: Transaction, actor: Actor) -> Response[bytes]:
        before = await _find(transaction, actor.tenant, webhook_id)
        require_match(request, before.revision)
        row = await change_webhook(
            transaction,
            actor,
            before,
            url=wanted.url,
            events=wanted.events,
            active=wanted.active,
        )
        return _without_secret(row)

    return await answer_change(request, change)


@post(
    f"{PATH}/{{webhook_id:str}}/secret-rotation",
    operation_id="rotateWebhookSecret",
    summary="Give a webhook a new secret",
    description="Answers with a new secret. For 24 hours messages are signed with the one before, "
    "too, so that the receiver can go over from one to the other.",
    tags=[TAG],
    status_code=200,
    contract=Contract(
        scope=Scope.ADMINISTER,
        once=True,
        matches=True,
        answers={JSON: wire.WebhookWithSecret},
        answer_description="The webhook with its new secret.",
        problems=(NOT_FOUND,),
        headers={"ETag": "The new revision."},
    ),
)
async def rotate_a_secret(request: AnyRequest, webhook_id: FromPath[str]) -> Response[bytes]:
    """Give a webhook a new secret."""
    choose_media_type(request.headers.get("accept"), (JSON,))

    async def rotate(transaction: Transaction, actor: Actor) -> Response[bytes]:
        before = await _find(transaction, actor.tenant, webhook_id)
        require_match(request, before.revision)
        return _with_secret(await rotate_secret(transaction, actor, before))

    return await answer_change(request, rotate)


@delete(
    f"{PATH}/{{webhook_id:str}}",
    operation_id="removeWebhook",
    summary="Remove a webhook",
    description="Removes a webhook, with its messages; what waits is not sent any more.",
    tags=[TAG],
    status_code=204,
    contract=Contract(
        scope=Scope.ADMINISTER,
        matches=True,
        status=HTTPStatus.NO_CONTENT,
        answers={},
        answer_description="The webhook is removed.",
        problems=(NOT_FOUND,),
    ),
)
async def remove_a_webhook(request: AnyRequest, webhook_id: FromPath[str]) -> Response[None]:
    """Remove a webhook."""
    choose_media_type(request.headers.get("accept"), (JSON,))

    async def remove(transaction: Transaction, actor: Actor) -> Response[bytes]:
        row = await _find(transaction, actor.tenant, webhook_id, lock=True)
        require_match(request, row.revision)
        await remove_webhook(transaction, actor, row)
        return Response(b"", status_code=int(HTTPStatus.NO_CONTENT))

    await answer_change(request, remove)
    return Response(None, status_code=int(HTTPStatus.NO_CONTENT))


async def _find(
    transaction: Transaction, tenant: str, webhook_id: str, *, lock: bool = False
) -> StoredRow:
    row = await rows.find(transaction, WEBHOOKS, tenant, lock=lock, id=webhook_id)
    if row is None:
        raise Problem(NOT_FOUND, f"There is no webhook {webhook_id[:80]!r}.")
    return row


def _without_secret(row: StoredRow) -> Response[bytes]:
    response = answer_model(write_webhook(row))
    response.headers["etag"] = entity_tag(row.revision)
    return response


def _with_secret(row: StoredRow) -> Response[bytes]:
    response = answer_model(write_with_secret(row))
    response.headers.update({"etag": entity_tag(row.revision), "cache-control": "no-store"})
    return response


HANDLERS = [
    list_webhooks,
    add_a_webhook,
    read_a_webhook,
    change_a_webhook,
    rotate_a_secret,
    remove_a_webhook,
]
