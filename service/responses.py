"""Answers of the routes, and the problems that exceptions become.

Litestar takes synchronous exception handlers only (2.25).
"""

import json
from typing import Any

import structlog
from litestar import Request, Response
from litestar.exceptions import HTTPException
from litestar.types import ExceptionHandlersMap

from service.front import PROBLEM_CODE, current_request_id
from service.media_types import HTML, JSON, TEXT
from service.problem_kinds import ProblemKind
from service.problems import (
    BAD_REQUEST,
    BODY_TOO_LARGE,
    INTERNAL_ERROR,
    MEDIA_TYPE,
    METHOD_NOT_ALLOWED,
    NOT_FOUND,
    Problem,
    problem_document,
)
from service.resource_problems import STORE_FAILED, TOO_MANY_REQUESTS
from service.store.store import StoreError
from service.wire.base import WireModel

AnyRequest = Request[Any, Any, Any]

PAGE_HEADERS = {
    # Pages load nothing but their own style sheet, and run nothing.
    "content-security-policy": "default-src 'none'; style-src 'self'; img-src data:; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'",
}

log = structlog.stdlib.get_logger("service.responses")


def answer_model(model: WireModel) -> Response[bytes]:
    """Return a model as JSON."""
    document = model.model_dump_json(exclude_unset=model.answered_as_sent)
    return Response(document.encode(), media_type=JSON)


def answer_document(
    document: bytes, media_type: str, headers: dict[str, str] | None = None
) -> Response[bytes]:
    """Return a document that is written out already. What it is depends on Accept."""
    return Response(document, media_type=media_type, headers={"vary": "Accept", **(headers or {})})


def answer_page(page: str) -> Response[bytes]:
    """Return an HTML page."""
    return Response(page.encode(), media_type=HTML, headers={"vary": "Accept", **PAGE_HEADERS})


def answer_problem(request: AnyRequest, problem: Problem) -> Response[bytes]:
    """Return a problem as problem details (RFC 9457), or as its text where it has one."""
    request.scope["state"][PROBLEM_CODE] = problem.kind.code
    if problem.text is not None:
        return Response(
            problem.text.encode("utf-8", "replace"),
            media_type=TEXT,
            status_code=int(problem.kind.status),
            headers={"vary": "Accept", **problem.headers},
        )
    document = problem_document(problem, current_request_id())
    return Response(
        json.dumps(document, ensure_ascii=False).encode("utf-8", "replace"),
        media_type=MEDIA_TYPE,
        status_code=int(problem.kind.status),
        headers=problem.headers,
    )


def answer_http_exception(request: AnyRequest, error: HTTPException) -> Response[bytes]:
    """Return an exception of the framework as a problem."""
    return answer_problem(request, _to_problem(request, error))


def answer_unexpected(request: AnyRequest, error: Exception) -> Response[bytes]:
    """Log an error that nobody expected and return a problem that tells nothing of it."""
    log.error("request failed", exc_info=error)
    return answer_problem(request, Problem(INTERNAL_ERROR, INTERNAL_ERROR.meaning))


def answer_store_failure(request: AnyRequest, error: StoreError) -> Response[bytes]:
    """Log what is wrong with the store and return a problem that tells nothing of it."""
    log.error("store failed", reason=str(error))
    problem = Problem(STORE_FAILED, STORE_FAILED.meaning, headers={"retry-after": "5"})
    return answer_problem(request, problem)


EXCEPTION_HANDLERS: ExceptionHandlersMap = {
    Problem: answer_problem,
    StoreError: answer_store_failure,
    HTTPException: answer_http_exception,
    Exception: answer_unexpected,
}

_KINDS: dict[int, ProblemKind] = {
    int(kind.status): kind
    for kind in (NOT_FOUND, METHOD_NOT_ALLOWED, BODY_TOO_LARGE, TOO_MANY_REQUESTS)
}


def _to_problem(request: AnyRequest, error: HTTPException) -> Problem:
    kind = _KINDS.get(error.status_code)
    headers = {name.lower(): value for name, value in (error.headers or {}).items()}
    if kind is NOT_FOUND:
        detail = f"There is nothing at {request.scope['path'][:200]!r}; /docs lists what there is."
    elif kind is METHOD_NOT_ALLOWED:
        detail = f"{request.scope['method'][:16]} is not taken here; Allow lists what is."
    elif kind is BODY_TOO_LARGE:
        limit = request.app.request_max_body_size
        detail = f"The body is larger than {limit:,} bytes; split the order."
    elif kind is TOO_MANY_REQUESTS:
        headers["retry-after"] = headers.get("ratelimit-reset", "60")
        detail = f"{TOO_MANY_REQUESTS.title}; try again in {headers['retry-after']} s."
    elif error.status_code < 500:
        kind, detail = BAD_REQUEST, str(error.detail)
    else:
        log.error("request failed", exc_info=error)
        kind, detail = INTERNAL_ERROR, INTERNAL_ERROR.meaning
    return Problem(kind, detail, headers=headers)
