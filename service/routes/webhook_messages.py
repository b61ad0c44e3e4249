"""Messages to webhooks: what waits, what was delivered, what is dead; and sending it again."""

from http import HTTPStatus

from litestar import Response, get, post
from litestar.params import FromPath

from service.access.caller import Scope
from service.gates.admission import caller_of
from service.gates.changes import answer_change
from service.gates.pages import link_to_next, read_page_query
from service.mapping.webhooks import write_message
from service.media_types import JSON, choose_media_type
from service.operation import Contract, Filter
from service.problems import NOT_FOUND, Problem
from service.responses import AnyRequest, answer_model
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import WEBHOOK_MESSAGES
from service.store.webhook_messages import put_back
from service.wire.webhooks import MessageState, WebhookEvent, WebhookMessage, WebhookMessages

PATH = "/v1/webhook-messages"
TAG = "webhooks"
SORTABLE = ("created_at",)
FILTERS = {
    "state": Filter("Messages in this state alone.", tuple(MessageState)),
    "event": Filter("Messages of this event alone.", tuple(WebhookEvent)),
    "webhook_id": Filter("Messages to the webhook with this identifier alone."),
}


@get(
    PATH,
    operation_id="listWebhookMessages",
    summary="List the messages to webhooks",
    description="Lists the messages to the tenant's webhooks and what came of them; with "
    "state=dead those that were given up. Messages that are delivered or dead are kept for 30 "
    "days.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.ADMINISTER,
        sortable=SORTABLE,
        filters=FILTERS,
        answers={JSON: WebhookMessages},
        answer_description="A page of the list.",
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_webhook_messages(request: AnyRequest) -> Response[bytes]:
    """Answer with a page of the messages."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE, FILTERS)
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            WEBHOOK_MESSAGES,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
            **query.wanted,
        )
    response = answer_model(WebhookMessages(entries=[write_message(row) for row in page]))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response


@get(
    f"{PATH}/{{message_id:str}}",
    operation_id="readWebhookMessage",
    summary="Read a message to a webhook",
    description="Answers with a message and what came of it.",
    tags=[TAG],
    contract=Contract(
        scope=Scope.ADMINISTER,
        answers={JSON: WebhookMessage},
        answer_description="The message.",
        problems=(NOT_FOUND,),
    ),
)
async def read_webhook_message(request: AnyRequest, message_id: FromPath[str]) -> Response[bytes]:
    """Answer with a message."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    async with running(request).store.reading() as transaction:
        row = await _find(transaction, caller_of(request).tenant, message_id)
    return answer_model(write_message(row))


@post(
    f"{PATH}/{{message_id:str}}/redelivery",
    operation_id="redeliverWebhookMessage",
    summary="Send a message again",
    description="Puts a message that is dead or delivered back in the queue, with all its "
    "attempts anew; one that waits is tried at once. It keeps its identifier. While its webhook "
    "is not active, it waits.",
    tags=[TAG],
    status_code=202,
    contract=Contract(
        scope=Scope.ADMINISTER,
        once=True,
        status=HTTPStatus.ACCEPTED,
        answers={JSON: WebhookMessage},
        answer_description="The message is in the queue.",
        problems=(NOT_FOUND,),
    ),
)
async def redeliver_webhook_message(
    request: AnyRequest, message_id: FromPath[str]
) -> Response[bytes]:
    """Put a message back in the queue."""
    choose_media_type(request.headers.get("accept"), (JSON,))

    async def redeliver(transaction: Transaction, actor: Actor) -> Response[bytes]:
        message = await _find(transaction, actor.tenant, message_id, lock=True)
        response = answer_model(write_message(await put_back(transaction, actor, message)))
        response.status_code = int(HTTPStatus.ACCEPTED)
        return response

    return await answer_change(request, redeliver)


async def _find(
    transaction: Transaction, tenant: str, message_id: str, *, lock: bool = False
) -> StoredRow:
    row = await rows.find(transaction, WEBHOOK_MESSAGES, tenant, lock=lock, id=message_id)
    if row is None:
        raise Problem(NOT_FOUND, f"There is no message {message_id[:80]!r}.")
    return row


HANDLERS = [list_webhook_messages, read_webhook_message, redeliver_webhook_message]
