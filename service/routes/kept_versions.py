"""The versions of what is kept: listed, added, read."""

from collections.abc import Sequence
from http import HTTPStatus

from litestar import Response, get, post
from litestar.params import FromPath
from litestar.types import ControllerRouterHandler

from service.access.caller import Scope
from service.bodies import read_json_body
from service.gates.admission import caller_of
from service.gates.changes import answer_change, entity_tag, require_match
from service.mapping.stored import (
    read_new_content,
    write_summary,
    write_version,
    write_whole_version,
)
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
from service.routes.kept_kinds import Kept
from service.running import running
from service.store.audit import Actor
from service.store.documents import (
    NotKept,
    add_version,
    find_document,
    find_version,
    list_versions,
)
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.wire import stored as wire

SORTABLE = ("name", "created_at", "changed_at")
OF_A_BODY = (MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_CONTENT)


def list_versions_handler(kept: Kept) -> ControllerRouterHandler:
    """Return the route that lists versions."""

    @get(
        f"{kept.path}/{{name:str}}/versions",
        operation_id=f"list{kept.operation}Versions",
        summary=f"List the versions of a {kept.thing}",
        description="Lists every version, the first one first, without the contents.",
        tags=[kept.tag],
        contract=Contract(
            scope=Scope.READ,
            answers={JSON: wire.Versions},
            answer_description="The versions.",
            problems=(NOT_FOUND,),
        ),
    )
    async def list_kept_versions(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
        choose_media_type(request.headers.get("accept"), (JSON,))
        service, tenant = running(request), caller_of(request).tenant
        async with service.store.reading() as transaction:
            row = await find_kept(transaction, tenant, kept, name)
            versions = await list_versions(transaction, tenant, row.id)
        return answer_model(wire.Versions(versions=[write_version(row) for row in versions]))

    return list_kept_versions


def add_version_handler(kept: Kept) -> ControllerRouterHandler:
    """Return the route that adds a version."""

    @post(
        f"{kept.path}/{{name:str}}/versions",
        operation_id=f"add{kept.operation}Version",
        summary=f"Add a version to a {kept.thing}",
        description="Keeps a further version. Those before it stay as they are, and so do the "
        "plans that were made with them.",
        tags=[kept.tag],
        status_code=201,
        contract=Contract(
            scope=Scope.WRITE,
            once=True,
            matches=True,
            request=kept.new_version,
            status=HTTPStatus.CREATED,
            answers={JSON: wire.StoredSummary},
            answer_description="The version is kept.",
            problems=(*OF_A_BODY, NOT_FOUND),
            headers={"ETag": "The new revision.", "Location": "Where the version is."},
        ),
    )
    async def add_kept_version(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
        choose_media_type(request.headers.get("accept"), (JSON,))
        body = await read_json_body(request)
        new = read_new_content(body, kept.new_version, kept.find_faults)

        async def add(transaction: Transaction, actor: Actor) -> Response[bytes]:
            before = await find_kept(transaction, actor.tenant, kept, name)
            require_match(request, before.revision)
            row = await add_version(transaction, actor, kept.kind, before, new.content)
            return await answer_summary(
                transaction,
                actor,
                kept,
                row,
                status=HTTPStatus.CREATED,
                location=f"{kept.path}/{row.name}/versions/{row.latest}",
            )

        return await answer_change(request, add)

    return add_kept_version


def read_version_handler(kept: Kept) -> ControllerRouterHandler:
    """Return the route that reads a version."""

    @get(
        f"{kept.path}/{{name:str}}/versions/{{number:int}}",
        operation_id=f"read{kept.operation}Version",
        summary=f"Read a version of a {kept.thing}",
        description="Answers with a version and its content. A version never changes.",
        tags=[kept.tag],
        contract=Contract(
            scope=Scope.READ,
            answers={JSON: kept.version},
            answer_description="The version.",
            problems=(NOT_FOUND,),
        ),
    )
    async def read_kept_version(
        request: AnyRequest,
        name: FromPath[str],
        number: FromPath[int],
    ) -> Response[bytes]:
        choose_media_type(request.headers.get("accept"), (JSON,))
        service, tenant = running(request), caller_of(request).tenant
        async with service.store.reading() as transaction:
            row = await find_kept(transaction, tenant, kept, name)
            try:
                version = await find_version(transaction, tenant, row.id, number)
            except NotKept:
                raise Problem(
                    NOT_FOUND, f"{name!r} has no version {number}; its latest is {row.latest}."
                ) from None
        return answer_model(write_whole_version(version, kept.version))

    return read_kept_version


async def find_kept(transaction: Transaction, tenant: str, kept: Kept, name: str) -> StoredRow:
    """Return what is kept under a name.

    Raises:
        Problem: nothing is.
    """
    try:
        return await find_document(transaction, tenant, kept.kind, name)
    except NotKept:
        raise Problem(NOT_FOUND, f"No {kept.thing} is kept as {name[:80]!r}.") from None


async def answer_summary(
    transaction: Transaction,
    actor: Actor,
    kept: Kept,
    row: StoredRow,
    *,
    status: HTTPStatus,
    location: str,
) -> Response[bytes]:
    """Answer with what is kept, in short, and where it is."""
    versions: Sequence[StoredRow] = await list_versions(transaction, actor.tenant, row.id)
    response = answer_model(write_summary(row, versions, actor.now.date()))
    response.status_code = int(status)
    response.headers.update({"etag": entity_tag(row.revision), "location": location})
    return response
