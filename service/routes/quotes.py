"""Quotes: an order with terms in; what the customer sees, and what stays inside, out."""

import asyncio
from dataclasses import replace

from litestar import Response, post
from litestar.params import FromPath

from service.access.caller import Scope
from service.bodies import read_json_body
from service.jobs.outcomes import PlanJob
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    MALFORMED_JSON,
    NOT_FOUND,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.quotes import prepare_quote, quote_kept_plan
from service.resource_problems import INVALID_CONTENT
from service.responses import AnyRequest, answer_document
from service.routes import plans
from service.routes.kept_plans import find_kept_plan
from service.settings import Settings
from service.wire.quote import Quote
from service.wire.quote_terms import QuoteOrder, QuoteTerms

CONTRACT: Contract = replace(
    plans.CONTRACT,
    later=None,
    request=QuoteOrder,
    answers={JSON: Quote, TEXT: None},
    answer_description="The quote: as JSON both parts, as text the customer's alone.",
    request_examples=("harbour-row-quote",),
    answer_examples={JSON: ("harbour-row-quote.quote",), TEXT: ("harbour-row-quote.quote",)},
)

OF_PLAN = Contract(
    scope=Scope.READ,
    once=True,
    request=QuoteTerms,
    answers={JSON: Quote, TEXT: None},
    answer_description="The quote: as JSON both parts, as text the customer's alone.",
    problems=(MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_CONTENT, NOT_FOUND),
    request_examples=("harbour-row-quote-terms",),
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


@post(
    "/v1/plans/{plan_id:str}/quotes",
    operation_id="makeQuoteOfPlan",
    summary="Quote a plan that is kept to a customer",
    description="Takes the terms of a quote, and answers with the price of the plan for the "
    "customer, in the two parts of `/v1/quotes`. Nothing is solved, and nothing is kept: the same "
    "terms give the same quote.",
    tags=["quotes"],
    status_code=200,
    contract=OF_PLAN,
)
async def make_quote_of_plan(request: AnyRequest, plan_id: FromPath[str]) -> Response[bytes]:
    """Answer with the quote of one plan."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    body = await read_json_body(request)
    kept = await find_kept_plan(request, plan_id)
    document = await asyncio.to_thread(quote_kept_plan, kept, body, media_type == TEXT)
    return answer_document(document, media_type)
