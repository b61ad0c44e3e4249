"""What is kept under a name: the same routes for catalogues, rule sets and profiles."""

from http import HTTPStatus

from litestar import Response, get, post
from litestar.params import FromPath
from litestar.types import ControllerRouterHandler

from service.access.caller import Scope
from service.gates.admission import caller_of
from service.gates.changes import answer_change, entity_tag, is_known, not_modified
from service.gates.pages import link_to_next, read_page_query
from service.mapping.stored import write_summary
from service.media_types import JSON, choose_media_type
from service.operation import Contract
from service.problems import NOT_FOUND, Problem
from service.resource_problems import NAME_TAKEN
from service.responses import AnyRequest, answer_model
from service.routes.kept_bodies import (
    IN_TABLES,
    bodies_of,
    problems_of_body,
    query_of,
    read_new,
)
from service.routes.kept_kinds import KEPT, Kept
from service.routes.kept_versions import (
    add_version_handler,
    answer_summary,
    find_kept,
    list_versions_handler,
    read_version_handler,
)
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.documents import (
    add_document,
    list_versions,
)
from service.store.store import Transaction
from service.store.tables import DOCUMENTS
from service.wire import stored as wire

SORTABLE = ("name", "created_at", "changed_at")


def handlers_of(kept: Kept) -> list[ControllerRouterHandler]:
    """Return the routes of one kind."""
    return [
        _list_handler(kept),
        _add_handler(kept),
        _read_handler(kept),
        list_versions_handler(kept),
        add_version_handler(kept),
        read_version_handler(kept),
    ]


def _list_handler(kept: Kept) -> ControllerRouterHandler:
    @get(
        kept.path,
        operation_id=f"list{kept.operations}",
        summary=f"List the {kept.things}",
        description=f"Lists the {kept.things} that are kept.",
        tags=[kept.tag],
        contract=Contract(
            scope=Scope.READ,
            sortable=SORTABLE,
            answers={JSON: wire.StoredList},
            answer_description="A page of the list.",
            headers={"Link": "Leads to the next page (RFC 8288)."},
        ),
    )
    async def list_kept(request: AnyRequest) -> Response[bytes]:
        choose_media_type(request.headers.get("accept"), (JSON,))
        query = read_page_query(request, SORTABLE)
        service, tenant = running(request), caller_of(request).tenant
        today = service.clock().date()
        async with service.store.reading() as transaction:
            page, more = await rows.read_page(
                transaction,
                DOCUMENTS,
                tenant,
                order=query.order,
                after=query.after,
                limit=query.limit,
                kind=kept.kind.value,
            )
            entries = [
                write_summary(row, await list_versions(transaction, tenant, row.id), today)
                for row in page
            ]
        response = answer_model(wire.StoredList(entries=entries))
        response.headers.update(link_to_next(request, query, page, more=more))
        return response

    return list_kept


def _add_handler(kept: Kept) -> ControllerRouterHandler:
    @post(
        kept.path,
        operation_id=f"add{kept.operation}",
        summary=f"Keep a {kept.thing}",
        description=f"Keeps a {kept.thing} under a new name, with its first version."
        + (IN_TABLES if kept.in_tables else ""),
        tags=[kept.tag],
        status_code=201,
        contract=Contract(
            scope=Scope.WRITE,
            once=True,
            request=kept.new,
            bodies=bodies_of(kept),
            query=query_of(kept, first=True),
            status=HTTPStatus.CREATED,
            answers={JSON: wire.StoredSummary},
            answer_description=f"The {kept.thing} is kept.",
            problems=(*problems_of_body(kept), NAME_TAKEN),
            request_examples=(kept.example,),
            headers={"ETag": "The revision.", "Location": "Where it is."},
        ),
    )
    async def add_kept(request: AnyRequest) -> Response[bytes]:
        choose_media_type(request.headers.get("accept"), (JSON,))
        new = await read_new(request, kept, first=True)

        async def add(transaction: Transaction, actor: Actor) -> Response[bytes]:
            try:
                row = await add_document(transaction, actor, kept.kind, new.name, new.content)
            except rows.Taken:
                raise Problem(
                    NAME_TAKEN,
                    f"A {kept.thing} is kept as {new.name!r} already; add a version to it at "
                    f"{kept.path}/{new.name}/versions, or choose another name.",
                ) from None
            return await answer_summary(
                transaction,
                actor,
                kept,
                row,
                status=HTTPStatus.CREATED,
                location=f"{kept.path}/{row.name}",
            )

        return await answer_change(request, add)

    return add_kept


def _read_handler(kept: Kept) -> ControllerRouterHandler:
    @get(
        f"{kept.path}/{{name:str}}",
        operation_id=f"read{kept.operation}",
        summary=f"Read what is kept of a {kept.thing}",
        description=f"Answers with the {kept.thing} in short: its latest version, and the one that "
        "an order takes today.",
        tags=[kept.tag],
        contract=Contract(
            scope=Scope.READ,
            answers={JSON: wire.StoredSummary},
            answer_description=f"The {kept.thing} in short.",
            problems=(NOT_FOUND,),
            headers={"ETag": "The revision."},
        ),
    )
    async def read_kept(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
        choose_media_type(request.headers.get("accept"), (JSON,))
        service, tenant = running(request), caller_of(request).tenant
        async with service.store.reading() as transaction:
            row = await find_kept(transaction, tenant, kept, name)
            versions = await list_versions(transaction, tenant, row.id)
        if is_known(request, row.revision):
            return not_modified(row.revision)
        response = answer_model(write_summary(row, versions, service.clock().date()))
        response.headers["etag"] = entity_tag(row.revision)
        return response

    return read_kept


HANDLERS = [handler for kept in KEPT for handler in handlers_of(kept)]
