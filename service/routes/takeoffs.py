"""Takeoffs: openings in, pieces and fasteners out, nothing bought."""

from litestar import Response, post

from service.access.caller import Scope
from service.media_types import JSON, TEXT, choose_media_type
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    INVALID_ORDER,
    MALFORMED_JSON,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.responses import AnyRequest, answer_document
from service.routes.plans import read_order_body
from service.running import running
from service.use_cases import take_off_order
from service.wire.order_to_plan import TakeoffOrder
from service.wire.takeoff import Takeoff

CONTRACT = Contract(
    scope=Scope.PLAN,
    once=True,
    request=TakeoffOrder,
    answers={JSON: Takeoff, TEXT: None},
    answer_description="The pieces and fasteners that the openings need.",
    problems=(MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_ORDER),
    request_examples=("ten-doors", "mixed-openings", "harbour-row-two-suppliers", "own-rule-set"),
    answer_examples={JSON: ("ten-doors.takeoff",), TEXT: ("ten-doors.takeoff",)},
)


@post(
    "/v1/takeoffs",
    operation_id="takeOff",
    summary="Take off pieces and fasteners",
    description="Takes a batch of openings and answers with the pieces and fasteners that they "
    "need, and the rules that say so with their arithmetic. Nothing is bought. It takes the same "
    "order as a plan; the catalogues may be left out.",
    tags=["takeoffs"],
    status_code=200,
    contract=CONTRACT,
)
async def take_off(request: AnyRequest) -> Response[bytes]:
    """Answer with the takeoff of the order in the body."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    order = await read_order_body(request)
    document = await take_off_order(order, running(request).settings, as_text=media_type == TEXT)
    return answer_document(document, media_type)
