"""Quotes: an order with terms in; what the customer sees, and what stays inside, out."""

from dataclasses import replace

from litestar import Response, post

from service.jobs.outcomes import PlanJob
from service.media_types import JSON, TEXT
from service.operation import Contract
from service.quotes import prepare_quote
from service.responses import AnyRequest
from service.routes import plans
from service.settings import Settings
from service.wire.quote import Quote
from service.wire.quote_terms import QuoteOrder

CONTRACT: Contract = replace(
    plans.CONTRACT,
    later=None,
    request=QuoteOrder,
    answers={JSON: Quote, TEXT: None},
    answer_description="The quote: as JSON both parts, as text the customer's alone.",
    request_examples=("harbour-row-quote",),
    answer_examples={JSON: ("harbour-row-quote.quote",), TEXT: ("harbour-row-quote.quote",)},
)


@post(
    "/v1/quotes",
    operation_id="makeQuote",
    summary="Quote an order to a customer",
    description="Takes the order that a plan takes, and `terms`; makes the same plan without its "
    "alternatives, and answers with the price for the customer. `customer` is what the customer "
    "sees: openings, prices, discounts, tax, deposits, cautions; no cost, supplier or SKU stands "
    "in it. `inside` stays in the shop: cost, what was added, labour, by kind of line and by "
    "opening. Prices of openings and lines add up exactly, by largest remainder. As text comes "
    "the customer's part alone.",
    tags=["quotes"],
    status_code=200,
    contract=CONTRACT,
)
async def make_quote(request: AnyRequest) -> Response[bytes]:
    """Answer with the quote of the order in the body."""
    return await plans.answer_planned(request, _prepare)


def _prepare(body: bytes, settings: Settings, as_text: bool) -> PlanJob:
    return prepare_quote(
        body, as_text, longest_time_limit_seconds=settings.longest_time_limit_seconds
    )
