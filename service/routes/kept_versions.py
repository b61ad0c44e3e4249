"""The versions of what is kept: listed, added, read."""

import asyncio
from collections.abc import Sequence
from http import HTTPStatus

from litestar import Response, get, post
from litestar.params import FromPath
from litestar.types import ControllerRouterHandler

from service.access.caller import Scope
from service.catalogues.keeping import write_kept_table
from service.gates.admission import caller_of
from service.gates.changes import answer_change, entity_tag, require_match
from service.mapping.stored import write_summary, write_version, write_whole_version
from service.media_types import JSON, XLSX, ZIP, choose_media_type
from service.operation import Contract
from service.problems import NOT_FOUND, Problem
from service.responses import AnyRequest, answer_document, answer_model
from service.routes.kept_bodies import (
    FORMS,
    IN_TABLES,
    bodies_of,
    problems_of_body,
    query_of,
    read_new,
)
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

AS_TABLES = (
    " With Accept it comes as a workbook (XLSX), or as a ZIP archive of CSV files; both can be "
    "changed and sent back as a further version."
)
FILES = {XLSX: "xlsx", ZIP: "zip"}
"""The endings of the files' names."""


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
        "plans that were made with them." + (IN_TABLES if kept.in_tables else ""),
        tags=[kept.tag],
        status_code=201,
        contract=Contract(
            scope=Scope.WRITE,
            once=True,
            matches=True,
            request=kept.new_version,
            bodies=bodies_of(kept),
            query=query_of(kept, first=False),
            status=HTTPStatus.CREATED,
            answers={JSON: wire.StoredSummary},
            answer_description="The version is kept.",
            problems=(*problems_of_body(kept), NOT_FOUND),
            headers={"ETag": "The new revision.", "Location": "Where the version is."},
        ),
    )
    async def add_kept_version(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
        choose_media_type(request.headers.get("accept"), (JSON,))
        new = await read_new(request, kept, first=False)

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
        description="Answers with a version and its content. A version never changes."
        + (AS_TABLES if kept.in_tables else ""),
        tags=[kept.tag],
        contract=Contract(
            scope=Scope.READ,
            answers={JSON: kept.version, **(dict.fromkeys(FORMS) if kept.in_tables else {})},
            answer_description="The version.",
            problems=(NOT_FOUND,),
            headers={"Content-Disposition": "The name of the file."} if kept.in_tables else {},
        ),
    )
    async def read_kept_version(
        request: AnyRequest,
        name: FromPath[str],
        number: FromPath[int],
    ) -> Response[bytes]:
        offered = (JSON, *(FORMS if kept.in_tables else ()))
        media_type = choose_media_type(request.headers.get("accept"), offered)
        async with running(request).store.reading() as transaction:
            (version,) = await find_versions(
                transaction, caller_of(request).tenant, kept, name, (number,)
            )
        if media_type in FORMS:
            table = await asyncio.to_thread(write_kept_table, version.body, FORMS[media_type])
            file = f"{name}-{number}.{FILES[media_type]}"
            headers = {"content-disposition": f'attachment; filename="{file}"'}
            return answer_document(table, media_type, headers)
        response = answer_model(write_whole_version(version, kept.version))
        response.headers.update({"vary": "Accept"} if kept.in_tables else {})
        return response

    return read_kept_version


async def find_versions(
    transaction: Transaction, tenant: str, kept: Kept, name: str, numbers: Sequence[int]
) -> list[StoredRow]:
    """Return versions of what is kept under a name.

    Raises:
        Problem: nothing is, or it has not all of the versions.
    """
    row = await find_kept(transaction, tenant, kept, name)
    found: list[StoredRow] = []
    missing: list[str] = []
    for number in numbers:
        try:
            found.append(await find_version(transaction, tenant, row.id, number))
        except NotKept:
            missing.append(str(number))
    if missing:
        raise Problem(
            NOT_FOUND,
            f"{name!r} has no version {' or '.join(missing)}; its latest is {row.latest}.",
        )
    return found


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
