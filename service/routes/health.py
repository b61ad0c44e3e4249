"""Health: whether the service runs, and whether it takes orders."""

from litestar import Response, get

from service.media_types import JSON, choose_media_type
from service.operation import Contract
from service.problems import NOT_READY
from service.responses import AnyRequest, answer_model
from service.running import running
from service.watching import require_readiness
from service.wire.answers import Alive, Ready


@get(
    "/health/live",
    operation_id="readLiveness",
    summary="Tell whether the service runs",
    description="Answers as long as the service runs. Restart it when this fails.",
    tags=["health"],
    contract=Contract(answers={JSON: Alive}, answer_description="The service runs."),
)
async def read_liveness(request: AnyRequest) -> Response[bytes]:
    """Answer that the service runs."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    return answer_model(Alive(status="alive"))


@get(
    "/health/ready",
    operation_id="readReadiness",
    summary="Tell whether the service takes orders",
    description="Looks at the store and its tables, and asks an idle solver process for a sign of "
    "life; one that is at work counts as ready. Where something is wrong, each part that fails is "
    "a fault of the problem: /store, /migrations, /solver. Send no orders while this fails.",
    tags=["health"],
    contract=Contract(
        answers={JSON: Ready},
        answer_description="The store is reached, its tables are current, and a solver answers.",
        problems=(NOT_READY,),
    ),
)
async def read_readiness(request: AnyRequest) -> Response[bytes]:
    """Answer that a solver answers."""
    choose_media_type(request.headers.get("accept"), (JSON,))
    service = running(request)
    pool = service.pool
    await require_readiness(service.store, pool)
    return answer_model(
        Ready(
            status="ready",
            store="ok",
            migrations="ok",
            solver="ok",
            solvers=pool.solvers,
            at_work=pool.at_work,
            waiting=pool.waiting,
        )
    )
