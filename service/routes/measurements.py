"""Measurements on site: sheets to fill in, and the check of two readings."""

from litestar import Response, post

from service.access.caller import Scope
from service.media_types import JSON, TEXT
from service.operation import Contract
from service.problems import (
    BODY_TOO_LARGE,
    INVALID_ORDER,
    MALFORMED_JSON,
    UNSUPPORTED_MEDIA_TYPE,
)
from service.responses import AnyRequest
from service.routes.inputs import answer_from_body
from service.site_documents import (
    write_measurement_sheets_document,
    write_reading_checks_document,
)
from service.wire.measuring import (
    MeasurementSheets,
    MeasuringOrder,
    ReadingChecks,
    ReadingOrder,
)

PROBLEMS = (MALFORMED_JSON, BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_ORDER)

SHEETS = Contract(
    scope=Scope.PLAN,
    once=True,
    request=MeasuringOrder,
    answers={JSON: MeasurementSheets, TEXT: None},
    answer_description="The measurement sheets, one for each mark.",
    problems=PROBLEMS,
    request_examples=("rooms-to-measure",),
    answer_examples={JSON: ("rooms-to-measure.measure",), TEXT: ("rooms-to-measure.measure",)},
)
CHECKS = Contract(
    scope=Scope.PLAN,
    once=True,
    request=ReadingOrder,
    answers={JSON: ReadingChecks, TEXT: None},
    answer_description="What the readings say, opening by opening.",
    problems=PROBLEMS,
    request_examples=("window-readings",),
    answer_examples={JSON: ("window-readings.check",), TEXT: ("window-readings.check",)},
)


@post(
    "/v1/measurement-sheets",
    operation_id="writeMeasurementSheets",
    summary="Write measurement sheets",
    description="Takes the order that a takeoff takes and answers for every mark with the lengths "
    "to take on site before anything is cut: widths, heights and diagonals of the frame, leaf or "
    "sashes, gaps and what else the kind needs, each with where and how it is taken and, where "
    "the order gives it, the net size to expect with its working. Up to 2,000 marks at once.",
    tags=["bench and site"],
    status_code=200,
    contract=SHEETS,
)
async def write_measurement_sheets(request: AnyRequest) -> Response[bytes]:
    """Answer with the measurement sheets of the order in the body."""
    return await answer_from_body(request, write_measurement_sheets_document)


@post(
    "/v1/reading-checks",
    operation_id="checkReadings",
    summary="Check a second reading against the first",
    description="Takes two readings of openings and the order that they belong to, and answers "
    "opening by opening with every difference, and with what must be settled before anything is "
    "cut: lengths that are missing or differ, diagonals that say out of square, sides that are "
    "not parallel, and what is not as ordered, each beyond a limit that you set.",
    tags=["bench and site"],
    status_code=200,
    contract=CHECKS,
)
async def check_readings(request: AnyRequest) -> Response[bytes]:
    """Answer with what the readings in the body say."""
    return await answer_from_body(request, write_reading_checks_document)
