"""Racks: what is on hand, kept between one order and the next."""

from http import HTTPStatus

from litestar import Response, get, post, put
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
from service.mapping.kept_racks import read_rack_content, write_rack, write_rack_summary
from service.media_types import JSON, choose_media_type
from service.operation import Contract
from service.orders.racks import add_rack, change_rack, find_rack
from service.problems import (
    BODY_TOO_LARGE,
    MALFORMED_JSON,
    NOT_FOUND,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.resource_problems import INVALID_CONTENT, NAME_TAKEN
from service.responses import AnyRequest, answer_model
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import RACKS
from service.wire.racks import KeptRack, NewRack, RackContent, RackList

SORTABLE = ("name", "created_at", "changed_at")
OF_A_BODY = (MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_CONTENT)


@get(
    "/v1/racks",
    operation_id="listRacks",
    summary="List the racks",
    description="Lists the racks that are kept, with how much lies on each.",
    tags=["racks"],
    contract=Contract(
        scope=Scope.READ,
        sortable=SORTABLE,
        answers={JSON: RackList},
        answer_description="A page of the list.",
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_racks(request: AnyRequest) -> Response[bytes]:
    """Answer with a page of the tenant's racks."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE)
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            RACKS,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
        )
    response = answer_model(RackList(entries=[write_rack_summary(row) for row in page]))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response


@post(
    "/v1/racks",
    operation_id="addRack",
    summary="Keep a rack",
    description="Keeps what is on hand under a new name. Orders that name the rack take from it.",
    tags=["racks"],
    status_code=201,
    contract=Contract(
        scope=Scope.WRITE,
        once=True,
        request=NewRack,
        status=HTTPStatus.CREATED,
        answers={JSON: KeptRack},
        answer_description="The rack is kept.",
        problems=(*OF_A_BODY, NAME_TAKEN),
        request_examples=("workshop-rack",),
        headers={"ETag": "The revision.", "Location": "Where it is."},
    ),
)
async def add_kept_rack(request: AnyRequest) -> Response[bytes]:
    """Keep a rack."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    new, content = read_rack_content(await read_json_body(request), NewRack)

    async def add(transaction: Transaction, actor: Actor) -> Response[bytes]:
        row = await add_rack(transaction, actor, new.name, content)
        response = _answer(row)
        response.status_code = int(HTTPStatus.CREATED)
        response.headers["location"] = f"/v1/racks/{row.name}"
        return response

    return await answer_change(request, add)


@get(
    "/v1/racks/{name:str}",
    operation_id="readRack",
    summary="Read a rack",
    description="Answers with what lies on a rack now.",
    tags=["racks"],
    contract=Contract(
        scope=Scope.READ,
        answers={JSON: KeptRack},
        answer_description="The rack.",
        problems=(NOT_FOUND,),
        headers={"ETag": "The revision."},
    ),
)
async def read_kept_rack(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
    """Answer with a rack."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    async with running(request).store.reading() as transaction:
        row = await find_rack(transaction, caller_of(request).tenant, name)
    return not_modified(row.revision) if is_known(request, row.revision) else _answer(row)


@put(
    "/v1/racks/{name:str}",
    operation_id="replaceRack",
    summary="Replace what is on a rack",
    description="Replaces all that is on hand by what is sent: after a count, for instance. What "
    "accepted orders have taken is off the rack already.",
    tags=["racks"],
    contract=Contract(
        scope=Scope.WRITE,
        matches=True,
        request=RackContent,
        answers={JSON: KeptRack},
        answer_description="The rack as it is now.",
        problems=(*OF_A_BODY, NOT_FOUND),
        headers={"ETag": "The new revision."},
    ),
)
async def replace_kept_rack(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
    """Replace what is on a rack."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    _, content = read_rack_content(await read_json_body(request), RackContent)

    async def replace(transaction: Transaction, actor: Actor) -> Response[bytes]:
        before = await find_rack(transaction, actor.tenant, name, lock=True)
        require_match(request, before.revision)
        return _answer(await change_rack(transaction, actor, before, content, "rack-replaced"))

    return await answer_change(request, replace)


def _answer(row: StoredRow) -> Response[bytes]:
    response = answer_model(write_rack(row))
    response.headers["etag"] = entity_tag(row.revision)
    return response


HANDLERS = [list_racks, add_kept_rack, read_kept_rack, replace_kept_rack]
