"""Quote differences: an order as it was quoted and what changes in it; what that does out."""

from dataclasses import replace

from litestar import Response, post

from optimiser.domain.quote import Quote
from service.aside import read_aside
from service.bodies import while_connected
from service.gates.admission import caller_of
from service.jobs.outcomes import Quoted
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract
from service.quote_differences import (
    ChangedOrder,
    placed,
    prepare_changed_order,
    write_difference,
)
from service.responses import AnyRequest, answer_document
from service.routes import plans
from service.running import Running, running
from service.use_cases import solve_order
from service.wire.quote_difference import QuoteDifference
from service.wire.quote_terms import QuoteDifferenceOrder

CONTRACT: Contract = replace(
    plans.CONTRACT,
    later=None,
    request=QuoteDifferenceOrder,
    answers={JSON: QuoteDifference, TEXT: None},
    answer_description="Both quotes side by side: as JSON both parts, as text the customer's.",
    request_examples=("harbour-row-requote",),
    answer_examples={
        JSON: ("harbour-row-requote.difference",),
        TEXT: ("harbour-row-requote.difference",),
    },
)


@post(
    "/v1/quote-differences",
    operation_id="compareQuotes",
    summary="Price a changed order anew",
    description="Takes an order as it was quoted, with its `terms`, and a `change` of it; plans "
    "both, prices both on the same terms, and answers with what differs: `customer` by opening, "
    "discount, tax and total, `inside` by kind of line, with cost and what is earned. All "
    "differences add up exactly. The quote of the changed order stands beside them. A plan is the "
    "same for the same order, so the quote before is the one that was given.",
    tags=["quotes"],
    status_code=200,
    contract=CONTRACT,
)
async def compare_quotes(request: AnyRequest) -> Response[bytes]:
    """Answer with what a change does to the quote of the order in the body."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    order, settings = await plans.read_order_body(request), running(request).settings
    changed = await read_aside(
        order.body,
        lambda: order.read(
            lambda body: prepare_changed_order(
                body, longest_time_limit_seconds=settings.longest_time_limit_seconds
            )
        ),
    )
    return await _answer(request, changed, media_type)


async def _answer(request: AnyRequest, changed: ChangedOrder, media_type: str) -> Response[bytes]:
    both = _quote_both(running(request), caller_of(request).tenant, changed)
    (before, after), waited_seconds, solved_seconds = await while_connected(request, both)
    document = await read_aside(
        changed.body_after, lambda: write_difference(before, after, as_text=media_type == TEXT)
    )
    timing = f"queue;dur={1_000 * waited_seconds:.1f}, solve;dur={1_000 * solved_seconds:.1f}"
    return answer_document(document, media_type, {"server-timing": timing})


async def _quote_both(
    service: Running, tenant: str, changed: ChangedOrder
) -> tuple[list[Quote], float, float]:
    """Return the quotes, one after the other, and the seconds waited and solved.

    Raises:
        Problem: an order cannot be served, in time, or now; all faults are listed.
    """
    waited_seconds = solved_seconds = 0.0
    quotes = []
    for body, job, members in (
        (changed.body_before, changed.before, frozenset[str]()),
        (changed.body_after, changed.after, changed.changed),
    ):
        with placed(members):
            planned, waited = await solve_order(body, service.pool, job, service.shares, tenant)
        assert isinstance(planned, Quoted)
        quotes.append(planned.quote)
        waited_seconds += waited
        solved_seconds += planned.seconds
    return quotes, waited_seconds, solved_seconds
