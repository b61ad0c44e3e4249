"""Studies: an order under many changes, at once or as a job, and those that are kept."""

from http import HTTPStatus

from litestar import Response, get, post
from litestar.params import FromPath

from service.access.caller import Scope
from service.bodies import read_json_body, while_connected
from service.gates.admission import caller_of
from service.gates.changes import answer_change
from service.gates.pages import link_to_next, read_page_query
from service.jobs.outcomes import StudyJob
from service.mapping.jobs import write_study_summary
from service.media_types import CSV, JSON, TEXT, choose_media_type
from service.operation import Contract
from service.prefer import read_preference
from service.problems import (
    BODY_TOO_LARGE,
    BUSY,
    INVALID_INPUTS,
    INVALID_ORDER,
    MALFORMED_JSON,
    NO_PLAN,
    NO_PLAN_IN_TIME,
    NOT_FOUND,
    NOT_READY,
    PLAN_CHECK_FAILED,
    UNSUPPORTED_MEDIA_TYPE,
    Problem,
)
from service.responses import AnyRequest, answer_document, answer_model
from service.routes.jobs import answer_accepted
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.job_kinds import JobKind
from service.store.store import Transaction
from service.store.tables import JOBS, STUDIES
from service.studies.request import StudyRequest
from service.study_requests import read_sent_study
from service.use_cases import make_study as make
from service.wire.jobs import Job
from service.wire.studies import StudyToMake
from service.wire.study_answers import Study, StudySummaries

FORMS = (JSON, TEXT, CSV)
SORTABLE = ("created_at",)
AT_ONCE_POINTS = 200
"""A study of more points is made as a job, unless its request prefers to wait."""

CONTRACT = Contract(
    scope=Scope.PLAN,
    once=True,
    later=Job,
    request=StudyToMake,
    answers={JSON: Study, TEXT: None, CSV: None},
    answer_description="The order itself and a row for each point.",
    problems=(
        MALFORMED_JSON,
        BODY_TOO_LARGE,
        UNSUPPORTED_MEDIA_TYPE,
        INVALID_INPUTS,
        INVALID_ORDER,
        NO_PLAN,
        NO_PLAN_IN_TIME,
        PLAN_CHECK_FAILED,
        BUSY,
        NOT_READY,
    ),
    request_examples=("ten-doors-study", "ten-doors-questions"),
    answer_examples={
        JSON: ("ten-doors-study.study", "ten-doors-questions.study"),
        TEXT: ("ten-doors-study.study", "ten-doors-questions.study"),
    },
)


@post(
    "/v1/studies",
    operation_id="makeStudy",
    summary="Ask what if",
    description="Takes an order, or a plan that is kept, and changes of it: scenarios, each a JSON "
    "Merge Patch (RFC 7396) and values at JSON Pointers (RFC 6901), and axes, each a pointer with "
    "values, whose product is a grid. Answers with a row for each point: cost, difference, what is "
    "bought otherwise, and the same proof as a plan's. A point without a plan says why and spoils "
    "nothing. `questions` asks what is often asked, in one entry each; `break_evens` finds where "
    "the decision flips along a number, `ranking` which inputs matter most. As text/csv the rows "
    "come as a flat table. A study of more than 200 plans, or of more than 2,000 lines over all, "
    "is made as a job, unless it prefers to wait; so is any that prefers `respond-async`. One "
    "solver plans all points: each profits from those before it.",
    tags=["studies"],
    status_code=200,
    contract=CONTRACT,
)
async def make_study(request: AnyRequest) -> Response[bytes]:
    """Answer with the study in the body, or with the job that will make it."""
    media_type = choose_media_type(request.headers.get("accept"), FORMS)
    service, tenant = running(request), caller_of(request).tenant
    body, study = await read_sent_study(
        await read_json_body(request),
        service.store,
        tenant,
        service.clock().date(),
        service.settings,
    )
    job = StudyJob(study=study)
    preference = read_preference(request.headers.get("prefer"))
    too_large = study.work > AT_ONCE_POINTS or job.lines > service.settings.at_once_openings
    if preference.respond_async or (too_large and preference.wait_seconds is None):
        return await _queue(request, body, study)
    studied = await while_connected(request, make(service.pool, job, service.shares, tenant))
    forms = {JSON: studied.document, TEXT: studied.text.encode(), CSV: studied.table.encode()}
    timing = {"server-timing": f"solve;dur={1_000 * studied.seconds:.1f}"}
    return answer_document(forms[media_type], media_type, timing)


@get(
    "/v1/studies",
    operation_id="listStudies",
    summary="List the studies that are kept",
    description="Lists the studies that came of jobs.",
    tags=["studies"],
    contract=Contract(
        scope=Scope.READ,
        sortable=SORTABLE,
        answers={JSON: StudySummaries},
        answer_description="A page of the list.",
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_studies(request: AnyRequest) -> Response[bytes]:
    """Answer with a page of the tenant's studies."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE, {})
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            STUDIES,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
            **query.wanted,
        )
    response = answer_model(StudySummaries(entries=[write_study_summary(row) for row in page]))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response


@get(
    "/v1/studies/{study_id:str}",
    operation_id="readStudy",
    summary="Read a study that is kept",
    description="Answers with the study as `POST /v1/studies` does. A study never changes.",
    tags=["studies"],
    contract=Contract(
        scope=Scope.READ,
        answers={JSON: Study, TEXT: None, CSV: None},
        answer_description="The study.",
        problems=(NOT_FOUND,),
    ),
)
async def read_study(request: AnyRequest, study_id: FromPath[str]) -> Response[bytes]:
    """Answer with one study."""
    media_type = choose_media_type(request.headers.get("accept"), FORMS)
    async with running(request).store.reading() as transaction:
        row = await rows.find(transaction, STUDIES, caller_of(request).tenant, id=study_id)
    if row is None:
        raise Problem(NOT_FOUND, f"There is no study {study_id[:64]!r}.")
    forms = {JSON: row.document, TEXT: row.text, CSV: row.table_csv}
    return answer_document(forms[media_type].encode(), media_type)


HANDLERS = (make_study, list_studies, read_study)


async def _queue(request: AnyRequest, body: bytes, study: StudyRequest) -> Response[bytes]:
    service = running(request)
    openings = sum(opening.quantity for opening in study.base.order.openings)

    async def queue(transaction: Transaction, actor: Actor) -> Response[bytes]:
        job_id = await service.jobs.add(
            transaction,
            actor,
            order_id=None,
            openings=openings,
            request=body.decode(),
            kind=JobKind.STUDY,
            points=study.work,
        )
        row = await rows.find(transaction, JOBS, actor.tenant, id=job_id)
        assert row is not None
        return answer_accepted(row)

    response = await answer_change(request, queue)
    assert response.status_code == HTTPStatus.ACCEPTED
    service.jobs.call()
    return response
