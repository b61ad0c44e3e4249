"""Plans: an order in, a purchase plan out."""

import asyncio
from collections.abc import Callable
from functools import partial

from litestar import Response, post

from service.access.caller import Scope
from service.aside import read_aside
from service.bodies import read_json_body, while_connected
from service.gates.admission import caller_of
from service.gates.changes import answer_change
from service.jobs.outcomes import PlanDocument, PlanJob
from service.mapping.reading import OrderRequest
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract
from service.prefer import read_preference
from service.problems import (
    BODY_TOO_LARGE,
    BUSY,
    INVALID_ORDER,
    MALFORMED_JSON,
    NO_PLAN,
    NO_PLAN_IN_TIME,
    NOT_READY,
    PLAN_CHECK_FAILED,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.references import ByValue, put_in_stored
from service.responses import AnyRequest, answer_document
from service.routes.jobs import answer_accepted
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.store import Transaction
from service.store.tables import JOBS
from service.use_cases import Prepare, plan_order, prepare_plan, take_off_settled
from service.wire.jobs import Job
from service.wire.order_to_plan import Order
from service.wire.plan import Plan

CONTRACT = Contract(
    scope=Scope.PLAN,
    once=True,
    later=Job,
    request=Order,
    answers={JSON: Plan, TEXT: None},
    answer_description="The cheapest purchase plan that was found, with its certificate.",
    problems=(
        MALFORMED_JSON,
        BODY_TOO_LARGE,
        UNSUPPORTED_MEDIA_TYPE,
        INVALID_ORDER,
        NO_PLAN,
        NO_PLAN_IN_TIME,
        PLAN_CHECK_FAILED,
        BUSY,
        NOT_READY,
    ),
    request_examples=(
        "ten-doors",
        "mixed-openings",
        "five-doors",
        "harbour-row-two-suppliers",
        "own-rule-set",
    ),
    answer_examples={
        JSON: ("ten-doors.plan", "five-doors.plan"),
        TEXT: ("ten-doors.plan", "five-doors.plan"),
    },
    headers={
        "Server-Timing": "Milliseconds that the order waited for a solver (queue) and was solved "
        "in (solve)."
    },
)

Form = Callable[[bytes, str], bytes]
"""Takes the document of a job and a media type; returns it in the form of that type."""


@post(
    "/v1/plans",
    operation_id="makePlan",
    summary="Make a purchase plan",
    description="Takes a batch of openings, suppliers' catalogues and a policy, and answers with "
    "what to buy, how to cut it, what supplies each opening, what it costs, how far that is "
    "proved to be the least, what the alternatives cost, and why. The answer is the same for the "
    "same order, in whatever order its openings and its catalogues are written. An order of more "
    "than 2,000 lines is planned as a job, unless it prefers to wait; so is any that prefers "
    "`respond-async`. Catalogues and rule sets may be those that the service keeps.",
    tags=["plans"],
    status_code=200,
    contract=CONTRACT,
)
async def make_plan(request: AnyRequest) -> Response[bytes]:
    """Answer with the plan of the order in the body, or with the job that will make it."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    service = running(request)
    order = await read_order_body(request)
    body = order.body
    preference = read_preference(request.headers.get("prefer"))
    prepare = partial(
        prepare_plan,
        settings=service.settings,
        as_text=media_type == TEXT,
        document=PlanDocument.PLAN,
    )
    job = await read_aside(body, lambda: order.read(prepare))
    too_large = len(job.order.openings) > service.settings.at_once_openings
    if preference.respond_async or (too_large and preference.wait_seconds is None):
        return await _queue(request, body, job)
    return await answer_job(request, body, job, media_type)


async def answer_planned(request: AnyRequest, prepare: Prepare) -> Response[bytes]:
    """Answer with the document that the job made of the body asks for."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    order, settings = await read_order_body(request), running(request).settings
    job = await read_aside(
        order.body, lambda: order.read(lambda body: prepare(body, settings, media_type == TEXT))
    )
    return await answer_job(request, order.body, job, media_type)


async def read_order_body(request: AnyRequest) -> ByValue:
    """Return the order in the body by value: what is kept is put in where it is referred to."""
    service = running(request)
    body = await read_json_body(request)
    return await put_in_stored(
        body, service.store, caller_of(request).tenant, service.clock().date()
    )


async def answer_job(
    request: AnyRequest, body: bytes, job: PlanJob, media_type: str, form: Form | None = None
) -> Response[bytes]:
    """Answer with the document of a job; `form` brings it into the form of the media type."""
    service = running(request)
    tenant = caller_of(request).tenant
    answer = await while_connected(
        request, plan_order(body, service.pool, job, service.shares, tenant)
    )
    timing = (
        f"queue;dur={1_000 * answer.waited_seconds:.1f}, "
        f"solve;dur={1_000 * answer.solved_seconds:.1f}"
    )
    document = answer.document
    if form is not None:
        document = await asyncio.to_thread(form, document, media_type)
    return answer_document(document, media_type, {"server-timing": timing})


async def _queue(request: AnyRequest, body: bytes, job: PlanJob) -> Response[bytes]:
    service = running(request)
    # What can be refused at once is: a job fails for what only its solver finds out.
    asked = OrderRequest(order=job.order, rule_sets=job.rule_sets)
    await asyncio.to_thread(take_off_settled, asked, body, buys=True)

    async def queue(transaction: Transaction, actor: Actor) -> Response[bytes]:
        job_id = await service.jobs.add(
            transaction,
            actor,
            order_id=None,
            openings=sum(opening.quantity for opening in job.order.openings),
            request=body.decode("utf-8-sig"),
        )
        row = await rows.find(transaction, JOBS, actor.tenant, id=job_id)
        assert row is not None
        return answer_accepted(row)

    response = await answer_change(request, queue)
    service.jobs.call()
    return response
