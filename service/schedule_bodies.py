"""Reading a schedule from the body of a request: raw, or as a part of a form."""

from optimiser.schedules import ScheduleFormat
from service.bodies import read_body, read_form_file
from service.media_types import CSV, FORM, XLSX, require_body
from service.responses import AnyRequest

FORMATS = {CSV: ScheduleFormat.CSV, XLSX: ScheduleFormat.XLSX, FORM: None}
"""The media types of a schedule; in a form the file's content says what it is."""


async def read_schedule_body(
    request: AnyRequest, options: str | None
) -> tuple[bytes, ScheduleFormat | None, str | None]:
    """Return the file, its format where the media type tells, and the options as JSON text.

    Raises:
        Problem: unsupported media type, no file in the form, or the client went away.
        HTTPException: 413, as soon as the limit is passed.
    """
    media_type = require_body(
        request.headers.get("content-type"),
        request.headers.get("content-encoding"),
        tuple(FORMATS),
    )
    if media_type != FORM:
        return await read_body(request), FORMATS[media_type], options
    file, parts = await read_form_file(request)
    return file, None, parts.get("options") or options
