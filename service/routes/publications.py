"""Documents that people read, of an order or of a plan that is kept, in many forms."""

import asyncio
from dataclasses import replace

from litestar import Response, get, post
from litestar.params import FromPath

from optimiser.publishing.builders import DOCUMENTS_OF_PLANS, DOCUMENTS_OF_QUOTES
from optimiser.publishing.forms import FORMS, find_form
from service.access.caller import Scope
from service.bodies import read_aside
from service.gates.admission import caller_of
from service.jobs.publishing import KeptPlan
from service.mapping.queries import read_query
from service.media_types import HTML, PDF, SVG, TEXT
from service.operation import Contract
from service.problems import INVALID_ORDER, NOT_FOUND, Problem
from service.publications import choose_form, prepare_publication, publish_kept
from service.responses import AnyRequest, answer_document
from service.routes import plans
from service.running import running
from service.store import rows
from service.store.tables import PLANS
from service.wire.publications import EditionAsked
from service.wire.quote_terms import DocumentOrder

OF_PLANS = tuple(DOCUMENTS_OF_PLANS)
OF_ORDERS = (*DOCUMENTS_OF_PLANS, *DOCUMENTS_OF_QUOTES)

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
    async with running(request).store.reading() as transaction:
        row = await rows.find(transaction, PLANS, caller_of(request).tenant, id=plan_id)
    if row is None:
        raise Problem(NOT_FOUND, f"There is no plan {plan_id[:64]!r}.")
    written = await asyncio.to_thread(
        publish_kept,
        KeptPlan(
            request=row.request.encode(),
            solution=row.solution.encode(),
            document=row.document.encode(),
        ),
        document,
        media_type,
        asked,
    )
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


HANDLERS = [write_document, read_document]
