"""Pack calibrations: weighed samples in, count per pack and its spread out."""

from litestar import Response, post

from service.access.caller import Scope
from service.fitting import write_calibration_document
from service.media_types import JSON, TEXT
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    INVALID_INPUTS,
    MALFORMED_JSON,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.responses import AnyRequest
from service.routes.inputs import answer_from_body
from service.wire.weighing import CalibratedPack, WeighedSamples

CONTRACT = Contract(
    scope=Scope.PLAN,
    once=True,
    request=WeighedSamples,
    answers={JSON: CalibratedPack, TEXT: None},
    answer_description="What a pack holds, and by how much the samples differ.",
    problems=(MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_INPUTS),
    request_examples=("nail-samples",),
    answer_examples={JSON: ("nail-samples.calibration",), TEXT: ("nail-samples.calibration",)},
)


@post(
    "/v1/pack-calibrations",
    operation_id="calibratePack",
    summary="Count a pack by weighing",
    description="Takes samples of fasteners that were weighed and counted, and answers with the "
    "count per pack and per ounce, the spread over the samples and the steps of the scale, and a "
    "tolerance that covers it. Its `contents` go into a catalogue of an order as they are.",
    tags=["bench and site"],
    status_code=200,
    contract=CONTRACT,
)
async def calibrate_pack(request: AnyRequest) -> Response[bytes]:
    """Answer with the calibration by the samples in the body."""
    return await answer_from_body(request, write_calibration_document)
