"""What a person or a tool finds first: a pointer, the documentation, the OpenAPI document."""

import json
from importlib.resources import files

from litestar import Response, get
from litestar.params import FromPath

from service.media_types import CSV, HTML, JSON, choose_media_type
from service.problems import NOT_FOUND, Problem
from service.responses import AnyRequest, answer_document, answer_page
from service.running import running

POINTERS = {
    "documentation": "/docs",
    "openapi": "/openapi.json",
    "plans": "/v1/plans",
    "takeoffs": "/v1/takeoffs",
    "bench_sheets": "/v1/bench-sheets",
    "install_sheets": "/v1/install-sheets",
    "measurement_sheets": "/v1/measurement-sheets",
    "reading_checks": "/v1/reading-checks",
    "fits": "/v1/fits",
    "pack_calibrations": "/v1/pack-calibrations",
    "rule_sets": "/v1/rule-sets",
    "jobs": "/v1/jobs",
    "own_rule_sets": "/v1/own-rule-sets",
    "catalogues": "/v1/catalogues",
    "profiles": "/v1/profiles",
    "webhooks": "/v1/webhooks",
    "webhook_messages": "/v1/webhook-messages",
    "racks": "/v1/racks",
    "audit_entries": "/v1/audit-entries",
    "liveness": "/health/live",
    "readiness": "/health/ready",
    "metrics": "/metrics",
}

PARTS = {
    "page.css": "text/css",
    "example.csv": CSV,
    **dict.fromkeys(
        (
            "api.js",
            "catalogue.js",
            "changes.js",
            "documents.js",
            "figures.js",
            "outcome.js",
            "page.js",
            "planning.js",
            "schedule.js",
        ),
        "text/javascript",
    ),
}
"""The parts of the page to try the service, with their media types."""

HEADERS_OF_THE_PAGE = {
    # It loads its own parts and speaks to this service; nothing else, and nobody frames it.
    "content-security-policy": "default-src 'none'; style-src 'self'; script-src 'self'; "
    "connect-src 'self'; img-src 'self' data:; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'",
}


@get("/", include_in_schema=False)
async def read_pointers(request: AnyRequest) -> Response[bytes]:
    """Answer with where everything is."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, HTML))
    if media_type == HTML:
        page = files("service.page").joinpath("page.html").read_bytes()
        return answer_document(page, HTML, HEADERS_OF_THE_PAGE)
    return answer_document(json.dumps(POINTERS).encode(), JSON)


@get("/page/{name:str}", include_in_schema=False)
async def read_part(request: AnyRequest, name: FromPath[str]) -> Response[bytes]:
    """Answer with a part of the page to try the service: a style sheet, a script, an example."""
    media_type = PARTS.get(name)
    if media_type is None:
        raise Problem(NOT_FOUND, f"The page has no part {name[:64]!r}.")
    choose_media_type(request.headers.get("accept"), (media_type,))
    part = files("service.page").joinpath(name).read_bytes()
    return Response(part, media_type=media_type, headers={"cache-control": "no-cache"})


@get("/openapi.json", include_in_schema=False)
async def read_openapi(request: AnyRequest) -> Response[bytes]:
    """Answer with the OpenAPI document."""
    media_type = choose_media_type(
        request.headers.get("accept"), (JSON, "application/vnd.oai.openapi+json")
    )
    return answer_document(running(request).document_json, media_type)


@get("/docs", include_in_schema=False)
async def read_documentation(request: AnyRequest) -> Response[bytes]:
    """Answer with the documentation page."""
    choose_media_type(request.headers.get("accept"), (HTML,))
    return answer_page(running(request).page)


@get("/docs/style.css", include_in_schema=False)
async def read_style(request: AnyRequest) -> Response[bytes]:
    """Answer with the style sheet of the pages."""
    choose_media_type(request.headers.get("accept"), ("text/css",))
    style = files("service.documentation").joinpath("style.css").read_bytes()
    return Response(style, media_type="text/css", headers={"cache-control": "max-age=3600"})
