"""Schedules: a CSV or XLSX file in, openings out; nothing is kept."""

from typing import Annotated

from litestar import Response, post
from litestar.params import QueryParameter

from service.access.caller import Scope
from service.media_types import CSV, FORM, JSON, TEXT, XLSX, choose_media_type
from service.operation import Contract
from service.problems import BODY_TOO_LARGE, INVALID_SCHEDULE, UNSUPPORTED_MEDIA_TYPE
from service.responses import AnyRequest, answer_document
from service.schedule_bodies import read_schedule_body
from service.use_cases import read_schedule_document
from service.wire.schedules import Schedule, ScheduleOptions

CONTRACT = Contract(
    scope=Scope.PLAN,
    once=True,
    answers={JSON: Schedule, TEXT: None},
    answer_description="The openings of the schedule, what was skipped, and what to look at.",
    problems=(BODY_TOO_LARGE, UNSUPPORTED_MEDIA_TYPE, INVALID_SCHEDULE),
    bodies={
        CSV: {
            "type": "string",
            "format": "binary",
            "description": "A CSV file (RFC 4180) in any common encoding.",
        },
        XLSX: {"type": "string", "format": "binary", "description": "An XLSX workbook."},
        FORM: {
            "type": "object",
            "required": ["file"],
            "properties": {
                "file": {
                    "type": "string",
                    "format": "binary",
                    "description": "The CSV or XLSX file.",
                },
                "options": {
                    "type": "string",
                    "contentMediaType": "application/json",
                    "description": "A JSON text of ScheduleOptions.",
                },
            },
        },
    },
    further_models=(ScheduleOptions,),
    told_in_text=(INVALID_SCHEDULE,),
)

Options = Annotated[
    str | None,
    QueryParameter(description="A JSON text of ScheduleOptions, for a body that is the file."),
]


@post(
    "/v1/schedules",
    operation_id="readSchedule",
    summary="Read a door and window schedule",
    description="Takes a schedule as people have it, a CSV or XLSX file with somebody's column "
    "names, and answers with openings ready for an order. Either every row is read, or nothing is "
    "taken and every fault is listed: its pointer leads to the row and the column, as in "
    "/rows/14/C, and its message says what was read, what is wrong and what would mend it. Who "
    "asks for text gets a report, row by row. The query parameter or the form's part `options` is "
    "a JSON text of ScheduleOptions.",
    tags=["schedules"],
    status_code=200,
    contract=CONTRACT,
)
async def read_schedule(request: AnyRequest, options: Options = None) -> Response[bytes]:
    """Answer with the openings of the schedule in the body."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    content, form, stated = await read_schedule_body(request, options)
    document = await read_schedule_document(content, form, stated, as_text=media_type == TEXT)
    return answer_document(document, media_type)
