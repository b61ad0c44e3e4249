"""Jobs: how far they are, what came of them, and stopping them."""

import asyncio
import json
from collections.abc import AsyncIterator
from http import HTTPStatus

from litestar import Response, get, post
from litestar.params import FromPath
from litestar.response import ServerSentEvent, ServerSentEventMessage

from service.access.caller import Scope
from service.gates.admission import caller_of
from service.gates.changes import answer_change, entity_tag, is_known, not_modified
from service.gates.pages import link_to_next, read_page_query
from service.mapping.jobs import job_address, write_job
from service.media_types import EVENTS, JSON, choose_media_type
from service.operation import Contract, Filter
from service.problems import NOT_FOUND, Problem
from service.resource_problems import NOT_ALLOWED_NOW
from service.responses import AnyRequest, answer_model
from service.running import Running, running
from service.store import rows
from service.store.audit import Actor, record
from service.store.jobs import AT_AN_END, JobStatus, ask_to_cancel
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import JOBS
from service.wire.jobs import Job, Jobs

SORTABLE = ("created_at",)
FILTERS = {
    "status": Filter("Jobs with this status alone.", tuple(JobStatus)),
    "order_id": Filter("Jobs for this order alone."),
}
LOOKS_EVERY = 0.5
"""Seconds between two looks at a job whose events are followed."""

POLL_SECONDS = 1


@get(
    "/v1/jobs",
    operation_id="listJobs",
    summary="List the jobs",
    description="Lists the jobs of the tenant.",
    tags=["jobs"],
    contract=Contract(
        scope=Scope.READ,
        sortable=SORTABLE,
        filters=FILTERS,
        answers={JSON: Jobs},
        answer_description="A page of the list.",
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_jobs(request: AnyRequest) -> Response[bytes]:
    """Answer with a page of the tenant's jobs."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE, FILTERS)
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            JOBS,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
            **query.wanted,
        )
    response = answer_model(Jobs(entries=[write_job(row) for row in page]))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response


@get(
    "/v1/jobs/{job_id:str}",
    operation_id="readJob",
    summary="Read how far a job is",
    description="Answers with where the job stands, how far it is, and where its plan is. While it "
    "has not come to an end, the header Retry-After says when to look again.",
    tags=["jobs"],
    contract=Contract(
        scope=Scope.READ,
        answers={JSON: Job},
        answer_description="The job.",
        problems=(NOT_FOUND,),
        headers={"ETag": "The revision.", "Retry-After": "Seconds after which to look again."},
    ),
)
async def read_job(request: AnyRequest, job_id: FromPath[str]) -> Response[bytes]:
    """Answer with one job."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    row = await _find(running(request), caller_of(request).tenant, job_id)
    if is_known(request, row.revision):
        return not_modified(row.revision)
    return _answer(row)


@get(
    "/v1/jobs/{job_id:str}/events",
    operation_id="followJob",
    summary="Follow a job",
    description="Sends the job as an event, as `GET /v1/jobs/{job_id}` has it, each time that it "
    "changes, and ends when the job has come to its end.",
    tags=["jobs"],
    contract=Contract(
        scope=Scope.READ,
        answers={EVENTS: None},
        answer_description="Events of the kind `job`, each with a Job as its data.",
        problems=(NOT_FOUND,),
    ),
)
async def follow_job(request: AnyRequest, job_id: FromPath[str]) -> ServerSentEvent:
    """Answer with the events of one job."""
    choose_media_type(request.headers.get("accept"), (EVENTS,))
    service, tenant = running(request), caller_of(request).tenant
    first = await _find(service, tenant, job_id)
    return ServerSentEvent(_events(service, tenant, first))


@post(
    "/v1/jobs/{job_id:str}/cancellation",
    operation_id="cancelJob",
    summary="Cancel a job",
    description="Stops a job: one that waits at once, one that runs within a few seconds.",
    tags=["jobs"],
    status_code=202,
    contract=Contract(
        scope=Scope.PLAN,
        once=True,
        status=HTTPStatus.ACCEPTED,
        answers={JSON: Job},
        answer_description="The job is being stopped.",
        problems=(NOT_FOUND, NOT_ALLOWED_NOW),
        headers={"ETag": "The new revision.", "Retry-After": "Seconds after which to look again."},
    ),
)
async def cancel_job(request: AnyRequest, job_id: FromPath[str]) -> Response[bytes]:
    """Stop one job."""
    choose_media_type(request.headers.get("accept"), (JSON,))

    async def cancel(transaction: Transaction, actor: Actor) -> Response[bytes]:
        row = await rows.find(transaction, JOBS, actor.tenant, lock=True, id=job_id)
        if row is None:
            raise _not_there(job_id)
        if row.status in AT_AN_END:
            raise Problem(
                NOT_ALLOWED_NOW,
                f"The job is {row.status}; only one that is queued or running can be cancelled.",
            )
        await ask_to_cancel(transaction, actor.tenant, row, actor.now)
        after = await rows.find(transaction, JOBS, actor.tenant, id=job_id)
        assert after is not None
        await record(
            transaction,
            actor,
            action="cancelled",
            kind="job",
            resource_id=job_id,
            before={"status": row.status},
            after={"status": after.status},
        )
        response = _answer(after)
        response.status_code = int(HTTPStatus.ACCEPTED)
        return response

    return await answer_change(request, cancel)


def answer_accepted(row: StoredRow) -> Response[bytes]:
    """Answer that an order will be planned, and where to look."""
    response = _answer(row)
    response.status_code = int(HTTPStatus.ACCEPTED)
    response.headers["location"] = job_address(row.id)
    return response


def _answer(row: StoredRow) -> Response[bytes]:
    response = answer_model(write_job(row))
    response.headers["etag"] = entity_tag(row.revision)
    if row.status not in AT_AN_END:
        response.headers["retry-after"] = str(POLL_SECONDS)
    return response


async def _events(
    service: Running, tenant: str, first: StoredRow
) -> AsyncIterator[ServerSentEventMessage]:
    row, seen = first, None
    while True:
        if row.revision != seen:
            seen = row.revision
            told = json.loads(write_job(row).model_dump_json())
            yield ServerSentEventMessage(
                data=json.dumps(told, ensure_ascii=False), event="job", id=str(seen)
            )
        if row.status in AT_AN_END:
            return
        await asyncio.sleep(LOOKS_EVERY)
        row = await _find(service, tenant, first.id)


async def _find(service: Running, tenant: str, job_id: str) -> StoredRow:
    async with service.store.reading() as transaction:
        row = await rows.find(transaction, JOBS, tenant, id=job_id)
    if row is None:
        raise _not_there(job_id)
    return row


def _not_there(job_id: str) -> Problem:
    return Problem(NOT_FOUND, f"There is no job {job_id[:64]!r}.")
