"""Documents that people read, of an order or of a plan that is kept, in many forms."""

import asyncio
from dataclasses import replace

from litestar import Response, get, post
from litestar.params import FromPath

from optimiser.publishing.builders import DOCUMENTS_OF_PLANS, DOCUMENTS_OF_QUOTES
from optimiser.publishing.forms import FORMS, find_form
from service.access.caller import Scope
from service.aside import read_aside
from service.bodies import read_json_body
from service.mapping.queries import read_query
from service.media_types import HTML, PDF, SVG, TEXT
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    INVALID_ORDER,
    MALFORMED_JSON,
    NOT_FOUND,
    UNSUPPORTED_MEDIA_TYPE,
    Problem,
)
from service.publications import (
    choose_form,
    prepare_publication,
    publish_kept,
    publish_kept_quote,
)
from service.resource_problems import INVALID_CONTENT
from service.responses import AnyRequest, answer_document
from service.routes import plans
from service.routes.kept_plans import find_kept_plan
from service.running import running
from service.wire.publications import EditionAsked
from service.wire.quote_terms import DocumentOrder, QuoteTerms

OF_PLANS = tuple(DOCUMENTS_OF_PLANS)
OF_QUOTES = tuple(DOCUMENTS_OF_QUOTES)
OF_ORDERS = (*OF_PLANS, *OF_QUOTES)

_SHOWN = frozenset({HTML, PDF, SVG, TEXT})
"""What a browser shows in its own window; other forms are files to save."""

_HEADERS_OF_A_PAGE = {
    # A document loads nothing and runs nothing; its style and its drawings are inside.
    "content-security-policy": "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'self'",
}

NAMED = {
    "Content-Disposition": "A name for the file.",
    "Content-Language": "The language of the document.",
}

OF_AN_ORDER: Contract = replace(
    plans.CONTRACT,
    later=None,
    request=DocumentOrder,
    query=EditionAsked,
    further_models=(EditionAsked,),
    path_values={"document": OF_ORDERS},
    answers={form.media_type: None for form in FORMS},
    answer_description="The document.",
    request_examples=("ten-doors", "harbour-row-quote"),
    answer_examples={},
    problems=(*plans.CONTRACT.problems, NOT_FOUND),
    headers={**plans.CONTRACT.headers, **NAMED},
)

OF_A_PLAN = Contract(
    scope=Scope.READ,
    query=EditionAsked,
    further_models=(EditionAsked,),
    path_values={"document": OF_PLANS},
    answers={form.media_type: None for form in FORMS},
    answer_description="The document.",
    problems=(NOT_FOUND, INVALID_ORDER),
    headers=NAMED,
)

OF_A_QUOTE: Contract = replace(
    OF_A_PLAN,
    once=True,
    request=QuoteTerms,
    path_values={"document": OF_QUOTES},
    problems=(MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_CONTENT, NOT_FOUND),
    request_examples=("harbour-row-quote-terms",),
)

_WHICH = (
    "The document is a `purchase-list`; `why-this-plan`, with the proof in plain words and what "
    "other ways would cost; `cutting-diagrams` to scale; the `bench-cut-list`; `labels`; or "
    "`install-sheets`. `Accept` chooses the form, the query the language, the units of length and "
    "the paper."
)


@post(
    "/v1/documents/{document:str}",
    operation_id="writeDocument",
    summary="Write a document of an order's plan",
    description="Takes the order that a plan takes, makes the same plan, and answers with a "
    f"document for people to read. {_WHICH} With `terms` in the order there are a `quote`, for the "
    "customer, and `quote-inside`, which stays in the shop; with `fits`, install sheets have the "
    "cuts in the leaf.",
    tags=["documents"],
    status_code=200,
    contract=OF_AN_ORDER,
)
async def write_document(request: AnyRequest, document: FromPath[str]) -> Response[bytes]:
    """Answer with a document of the plan of the order in the body."""
    media_type, asked = _read_wishes(request, document, OF_ORDERS)
    order = await plans.read_order_body(request)
    longest = running(request).settings.longest_time_limit_seconds
    job = await read_aside(
        order.body,
        lambda: order.read(
            lambda body: prepare_publication(
                body, document, media_type, asked, longest_time_limit_seconds=longest
            )
        ),
    )
    answer = await plans.answer_job(request, order.body, job, media_type)
    answer.headers.update(headers_of(document, media_type, asked))
    return answer


@get(
    "/v1/plans/{plan_id:str}/documents/{document:str}",
    operation_id="readDocument",
    summary="Read a document of a plan that is kept",
    description=f"Answers with a document of the plan for people to read. {_WHICH}",
    tags=["documents"],
    contract=OF_A_PLAN,
)
async def read_document(
    request: AnyRequest, plan_id: FromPath[str], document: FromPath[str]
) -> Response[bytes]:
    """Answer with a document of a kept plan; it is written without planning anew."""
    media_type, asked = _read_wishes(request, document, OF_PLANS)
    kept = await find_kept_plan(request, plan_id)
    written = await asyncio.to_thread(
        publish_kept,
        kept,
        document,
        media_type,
        asked,
    )
    return answer_document(written, media_type, headers_of(document, media_type, asked))


@post(
    "/v1/plans/{plan_id:str}/documents/{document:str}",
    operation_id="writeQuoteDocument",
    summary="Write a document of the quote of a plan that is kept",
    description="Takes the terms of a quote, and answers with the `quote` for the customer, or "
    "with `quote-inside`, which stays in the shop. Nothing is solved.",
    tags=["documents"],
    status_code=200,
    contract=OF_A_QUOTE,
)
async def write_quote_document(
    request: AnyRequest, plan_id: FromPath[str], document: FromPath[str]
) -> Response[bytes]:
    """Answer with a document of the quote of a kept plan, on the terms in the body."""
    media_type, asked = _read_wishes(request, document, OF_QUOTES)
    body = await read_json_body(request)
    kept = await find_kept_plan(request, plan_id)
    written = await asyncio.to_thread(publish_kept_quote, kept, body, document, media_type, asked)
    return answer_document(written, media_type, headers_of(document, media_type, asked))


def _read_wishes(
    request: AnyRequest, document: str, documents: tuple[str, ...]
) -> tuple[str, EditionAsked]:
    """Return the form and the edition that a request asks for.

    Raises:
        Problem: there is no such document, it has no form that is accepted, or the query cannot
            be taken.
    """
    if document not in documents:
        there_are = ", ".join(documents)
        raise Problem(NOT_FOUND, f"There is no document {document[:64]!r}, but {there_are}.")
    media_type = choose_form(document, request.headers.get("accept"))
    return media_type, read_query(EditionAsked, request.scope["query_string"])


def headers_of(document: str, media_type: str, asked: EditionAsked) -> dict[str, str]:
    """Return the headers of a document: its name as a file, its language, what a page may do."""
    shown = "inline" if media_type in _SHOWN else "attachment"
    name = f'{shown}; filename="{document}{find_form(media_type).suffix}"'
    of_page = _HEADERS_OF_A_PAGE if media_type in {HTML, SVG} else {}
    return {"content-disposition": name, "content-language": asked.locale, **of_page}


HANDLERS = [write_document, read_document, write_quote_document]
