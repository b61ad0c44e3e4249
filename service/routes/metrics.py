"""Metrics: counts and durations, for a collector."""

from litestar import Response, get

from service.media_types import TEXT, choose_media_type
from service.operation import Contract
from service.problems import NOT_FOUND, Problem
from service.responses import AnyRequest
from service.running import running


@get(
    "/metrics",
    operation_id="readMetrics",
    summary="Read metrics",
    description="Counts and durations since the start, in the text format of Prometheus: requests "
    "by route, problems by code, orders at work and waiting, jobs by status, solve times, gaps. No "
    "tenant and no key is named. There is nothing here where the service is installed without its "
    "extra `observability`, or WEATHERSTRIP_METRICS is off.",
    tags=["health"],
    contract=Contract(
        answers={TEXT: None}, answer_description="The metrics.", problems=(NOT_FOUND,)
    ),
)
async def read_metrics(request: AnyRequest) -> Response[bytes]:
    """Answer with everything that was measured."""
    choose_media_type(request.headers.get("accept"), (TEXT,))
    service = running(request)
    page = service.measures.write(await service.standing.tell())
    if page is None:
        raise Problem(NOT_FOUND, service.measures.why_not)
    return Response(page.text, media_type=page.media_type, headers={"cache-control": "no-store"})
