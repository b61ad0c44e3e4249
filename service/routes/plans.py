"""Plans: an order in, a purchase plan out."""

from functools import partial

from litestar import Response, post

from service.access.caller import Scope
from service.bodies import read_json_body, while_connected
from service.jobs.outcomes import PlanDocument
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract
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
from service.responses import AnyRequest, answer_document
from service.running import running
from service.use_cases import Prepare, plan_order, prepare_plan
from service.wire.order import Order
from service.wire.plan import Plan

CONTRACT = Contract(
    scope=Scope.PLAN,
    once=True,
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


@post(
    "/v1/plans",
    operation_id="makePlan",
    summary="Make a purchase plan",
    description="Takes a batch of openings, suppliers' catalogues and a policy, and answers with "
    "what to buy, how to cut it, what supplies each opening, what it costs, how far that is "
    "proved to be the least, what the alternatives cost, and why. The answer is the same for the "
    "same order, in whatever order its openings and its catalogues are written.",
    tags=["plans"],
    status_code=200,
    contract=CONTRACT,
)
async def make_plan(request: AnyRequest) -> Response[bytes]:
    """Answer with the plan of the order in the body."""
    return await answer_planned(request, partial(prepare_plan, document=PlanDocument.PLAN))


async def answer_planned(request: AnyRequest, prepare: Prepare) -> Response[bytes]:
    """Answer with the document that the job made of the body asks for."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    service = running(request)
    body = await read_json_body(request)
    answer = await while_connected(
        request,
        plan_order(body, service.pool, service.settings, prepare, as_text=media_type == TEXT),
    )
    timing = (
        f"queue;dur={1_000 * answer.waited_seconds:.1f}, "
        f"solve;dur={1_000 * answer.solved_seconds:.1f}"
    )
    return answer_document(answer.document, media_type, {"server-timing": timing})
