"""What routes that change something have in common: who, at which revision, and only once."""

from collections.abc import Awaitable, Callable

from litestar import Response

from service.front import current_request_id
from service.gates.admission import caller_of
from service.gates.once import keep_answer
from service.media_types import JSON
from service.problems import Problem
from service.resource_problems import CHANGED_MEANWHILE, PRECONDITION_MISSING
from service.responses import AnyRequest
from service.running import running
from service.store import rows
from service.store.audit import Actor
from service.store.store import Transaction

Work = Callable[[Transaction, Actor], Awaitable[Response[bytes]]]


async def answer_change(request: AnyRequest, work: Work) -> Response[bytes]:
    """Answer with what the work gives back; its changes and the answer are kept together.

    Raises:
        Problem: the work raises it, or the resource changed meanwhile; nothing was changed.
    """
    service = running(request)
    caller = caller_of(request)
    actor = Actor(
        tenant=caller.tenant,
        who=caller.who,
        request_id=current_request_id(),
        now=service.clock(),
    )
    try:
        async with service.store.writing() as transaction:
            response = await work(transaction, actor)
            await keep_answer(transaction, request, response)
    except rows.ChangedMeanwhile:
        raise Problem(CHANGED_MEANWHILE, CHANGED_MEANWHILE.meaning) from None
    return response


def entity_tag(revision: int) -> str:
    """Return the entity tag of a resource at a revision (RFC 9110, section 8.8.3)."""
    return f'"{revision}"'


def require_match(request: AnyRequest, revision: int) -> None:
    """Let a change pass that names the revision which it changes.

    Raises:
        Problem: the header If-Match is missing, or names another revision.
    """
    stated = request.headers.get("if-match")
    if not stated:
        raise Problem(PRECONDITION_MISSING, PRECONDITION_MISSING.meaning)
    if not _names(stated, revision):
        raise Problem(
            CHANGED_MEANWHILE,
            f"If-Match is {stated[:80]}, but the resource is at {entity_tag(revision)} now; read "
            "it again.",
            headers={"etag": entity_tag(revision)},
        )


def is_known(request: AnyRequest, revision: int) -> bool:
    """Return whether the client has the resource at this revision already (If-None-Match)."""
    stated = request.headers.get("if-none-match")
    return stated is not None and _names(stated, revision)


def not_modified(revision: int) -> Response[bytes]:
    """Answer that the client has the resource at this revision already."""
    return Response(b"", status_code=304, headers={"etag": entity_tag(revision)}, media_type=JSON)


def _names(stated: str, revision: int) -> bool:
    tags = {tag.strip().removeprefix("W/") for tag in stated.split(",")}
    return "*" in tags or entity_tag(revision) in tags
