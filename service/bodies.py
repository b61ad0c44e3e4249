"""Reading the body of a request, and noticing when its client goes away."""

import asyncio
from collections.abc import Coroutine
from typing import Any, TypeVar

from litestar.datastructures import UploadFile
from litestar.exceptions import InternalServerException

from service.media_types import require_json
from service.problems import BAD_REQUEST, Problem
from service.responses import AnyRequest

T = TypeVar("T")

GONE = "The client went away before the request was answered."


async def read_json_body(request: AnyRequest) -> bytes:
    """Return the bytes of a JSON body, never more than the limit of the application.

    Raises:
        Problem: unsupported media type, or the client went away.
        HTTPException: 413, as soon as the limit is passed.
    """
    require_json(request.headers.get("content-type"), request.headers.get("content-encoding"))
    return await read_body(request)


async def read_body(request: AnyRequest) -> bytes:
    """Return the bytes of a body of any kind, never more than the limit of the application.

    Raises:
        Problem: the client went away.
        HTTPException: 413, as soon as the limit is passed.
    """
    try:
        return await request.body()
    except InternalServerException:
        raise Problem(BAD_REQUEST, GONE) from None


async def read_form_file(request: AnyRequest) -> tuple[bytes, dict[str, str]]:
    """Return the part `file` of a form, and its other parts as texts.

    Raises:
        Problem: there is no such part, or the client went away.
        HTTPException: 413, as soon as the limit is passed.
    """
    try:
        form = await request.form()
    except InternalServerException:
        raise Problem(BAD_REQUEST, GONE) from None
    parts: dict[str, bytes] = {}
    for name, part in form.items():
        parts[name] = await part.read() if isinstance(part, UploadFile) else str(part).encode()
    if "file" not in parts:
        raise Problem(BAD_REQUEST, "The form has no part named file; send the file in it.")
    file = parts.pop("file")
    return file, {name: part.decode("utf-8", "replace") for name, part in parts.items()}


async def while_connected(request: AnyRequest, work: Coroutine[Any, Any, T]) -> T:
    """Return the result of the work; when the client goes away, the work is cancelled.

    Raises:
        Problem: the client went away.
    """
    working = asyncio.ensure_future(work)
    leaving = asyncio.ensure_future(_wait_until_gone(request))
    try:
        await asyncio.wait({working, leaving}, return_when=asyncio.FIRST_COMPLETED)
        if working.done():
            return working.result()
        raise Problem(BAD_REQUEST, GONE)
    finally:
        for task in (working, leaving):
            task.cancel()
        await asyncio.gather(working, leaving, return_exceptions=True)


async def _wait_until_gone(request: AnyRequest) -> None:
    """Return when the client closes the connection. The body has been read before."""
    while True:
        message = await request.receive()
        if message["type"] == "http.disconnect":
            return
