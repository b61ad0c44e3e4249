"""Plans that the service keeps."""

from litestar import Response, get
from litestar.params import FromPath

from service.access.caller import Scope
from service.gates.admission import caller_of
from service.gates.pages import link_to_next, read_page_query
from service.jobs.publishing import KeptPlan
from service.mapping.jobs import write_plan_summary
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract, Filter
from service.problems import NOT_FOUND, Problem
from service.responses import AnyRequest, answer_document, answer_model
from service.running import running
from service.store import rows
from service.store.tables import PLANS
from service.wire.jobs import PlanSummaries
from service.wire.plan import Plan

SORTABLE = ("created_at",)
FILTERS = {"order_id": Filter("Plans of this order alone.")}


@get(
    "/v1/plans",
    operation_id="listPlans",
    summary="List the plans that are kept",
    description="Lists the plans that came of jobs.",
    tags=["plans"],
    contract=Contract(
        scope=Scope.READ,
        sortable=SORTABLE,
        filters=FILTERS,
        answers={JSON: PlanSummaries},
        answer_description="A page of the list.",
        headers={"Link": "Leads to the next page (RFC 8288)."},
    ),
)
async def list_plans(request: AnyRequest) -> Response[bytes]:
    """Answer with a page of the tenant's plans."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    query = read_page_query(request, SORTABLE, FILTERS)
    async with running(request).store.reading() as transaction:
        page, more = await rows.read_page(
            transaction,
            PLANS,
            caller_of(request).tenant,
            order=query.order,
            after=query.after,
            limit=query.limit,
            **query.wanted,
        )
    response = answer_model(PlanSummaries(entries=[write_plan_summary(row) for row in page]))
    response.headers.update(link_to_next(request, query, page, more=more))
    return response


@get(
    "/v1/plans/{plan_id:str}",
    operation_id="readPlan",
    summary="Read a plan that is kept",
    description="Answers with the plan as `POST /v1/plans` does. A plan never changes.",
    tags=["plans"],
    contract=Contract(
        scope=Scope.READ,
        answers={JSON: Plan, TEXT: None},
        answer_description="The plan.",
        problems=(NOT_FOUND,),
    ),
)
async def read_plan(request: AnyRequest, plan_id: FromPath[str]) -> Response[bytes]:
    """Answer with one plan."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    async with running(request).store.reading() as transaction:
        row = await rows.find(transaction, PLANS, caller_of(request).tenant, id=plan_id)
    if row is None:
        raise Problem(NOT_FOUND, f"There is no plan {plan_id[:64]!r}.")
    document = row.text if media_type == TEXT else row.document
    return answer_document(document.encode(), media_type)


async def find_kept_plan(request: AnyRequest, plan_id: str) -> KeptPlan:
    """Return what is kept of a plan of the tenant.

    Raises:
        Problem: not found.
    """
    async with running(request).store.reading() as transaction:
        row = await rows.find(transaction, PLANS, caller_of(request).tenant, id=plan_id)
    if row is None:
        raise Problem(NOT_FOUND, f"There is no plan {plan_id[:64]!r}.")
    return KeptPlan(
        request=row.request.encode(),
        solution=row.solution.encode(),
        document=row.document.encode(),
    )
