"""What routes that only work something out have in common: a body in, a document out."""

import asyncio
from collections.abc import Callable

from litestar import Response

from service.bodies import read_json_body
from service.media_types import JSON, TEXT, choose_media_type
from service.responses import AnyRequest, answer_document

Writer = Callable[[bytes, bool], bytes]
"""Takes a body and whether text is wanted; returns the document."""


async def answer_from_body(request: AnyRequest, write: Writer) -> Response[bytes]:
    """Answer with what a writer makes of the body, in the form that the request accepts."""
    media_type = choose_media_type(request.headers.get("accept"), (JSON, TEXT))
    body = await read_json_body(request)
    document = await asyncio.to_thread(write, body, media_type == TEXT)
    return answer_document(document, media_type)
