"""Bench sheets: an order in; cut lists, labels and cutting diagrams of its plan out."""

from dataclasses import replace
from functools import partial

from litestar import Response, post

from service.jobs.outcomes import PlanDocument
from service.media_types import JSON, TEXT
from service.operation import Contract
from service.responses import AnyRequest
from service.routes import plans
from service.use_cases import prepare_plan
from service.wire.bench import BenchSheets

CONTRACT: Contract = replace(
    plans.CONTRACT,
    later=None,
    answers={JSON: BenchSheets, TEXT: None},
    answer_description="The bench sheets of the order's plan.",
    answer_examples={JSON: ("mixed-openings.bench",), TEXT: ("mixed-openings.bench",)},
)


@post(
    "/v1/bench-sheets",
    operation_id="writeBenchSheets",
    summary="Write the bench sheets of an order",
    description="Takes the order that a plan takes, makes the same plan without its alternatives, "
    "and answers with what the bench works from: the bars to pull, a cutting diagram for every "
    "pattern with its cuts measured from the left end, and for every mark its cut list, with the "
    "text of the label that each piece carries.",
    tags=["bench and site"],
    status_code=200,
    contract=CONTRACT,
)
async def write_bench_sheets(request: AnyRequest) -> Response[bytes]:
    """Answer with the bench sheets of the order in the body."""
    return await plans.answer_planned(
        request, partial(prepare_plan, document=PlanDocument.BENCH_SHEETS)
    )
