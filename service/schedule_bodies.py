"""Reading a schedule from the body of a request: raw, or as a part of a form."""

from litestar.datastructures import UploadFile
from litestar.exceptions import InternalServerException

from optimiser.schedules import ScheduleFormat
from service.bodies import GONE
from service.media_types import CSV, FORM, XLSX, require_body
from service.problems import BAD_REQUEST, Problem
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
    try:
        if media_type != FORM:
            return await request.body(), FORMATS[media_type], options
        form = await request.form()
    except InternalServerException:
        raise Problem(BAD_REQUEST, GONE) from None
    file, stated = form.get("file"), form.get("options")
    if isinstance(stated, UploadFile):
        stated = (await stated.read()).decode("utf-8", "replace")
    if isinstance(file, str):
        return file.encode(), None, stated or options
    if not isinstance(file, UploadFile):
        raise Problem(BAD_REQUEST, "The form has no part named file; send the schedule in it.")
    return await file.read(), None, stated or options
