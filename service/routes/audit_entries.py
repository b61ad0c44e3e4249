"""The audit log: who changed what, and when."""

import json

from litestar import Response, get

from service.access.caller import Scope
from service.gates.admission import caller_of
from service.gates.pages import link_to_next, read_page_query
from service.mapping.stored import write_moment
from service.media_types import JSON, choose_media_type
from service.operation import Contract, Filter
from service.responses import AnyRequest, answer_model
from service.running import running
from service.store import rows
from service.store.tables import AUDIT_ENTRIES
from service.wire.audit import AuditEntries, AuditEntry

SORTABLE = ("at",)
FILTERS = {
    "resource_kind": Filter("Entries of this kind of resource alone."),
    "resource_id": Filter("Entries of the resource with this name or identifier alone."),
    "action": Filter("Entries of this action alone."),
}


@get(
    "/v1/audit-entries",
    operation_id="listAuditEntries",
    summary="Read the audit log",
    description="Lists every change of what the tenant keeps, with what it was before and after.",
    tags=["audit"],
    contract=Contract(
        scope=Scope.ADMINISTER,
        sortable=SORTABLE,
        filters=FILTERS,
        answers={JSON: AuditEntries},
        answer_description="A page of the log.",
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_audit_entries(request: AnyRequest) -> Response[bytes]:
    """Answer with a page of the tenant's audit log."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE, FILTERS)
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            AUDIT_ENTRIES,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
            **query.wanted,
        )
    entries = [
        AuditEntry(
            id=row.id,
            at=write_moment(row.at),
            who=row.who,
            request_id=row.request_id,
            action=row.action,
            resource_kind=row.resource_kind,
            resource_id=row.resource_id,
            before=None if row.before is None else json.loads(row.before),
            after=None if row.after is None else json.loads(row.after),
        )
        for row in page
    ]
    response = answer_model(AuditEntries(entries=entries))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response
