"""The audit log, as it is read."""

from pydantic import JsonValue

from service.wire.base import WireModel
from service.wire.stored import Moment


class AuditEntry(WireModel):
    """One change: who made it, when, and what it changed."""

    id: str
    at: Moment
    who: str
    """The identifier of the key that asked for it; `local` where none was needed, or the part of
    the service that did it by itself."""
    request_id: str
    """The identifier of the request, as in its header X-Request-ID; empty without one."""
    action: str
    resource_kind: str
    resource_id: str
    """The name or the identifier of what was changed."""
    before: dict[str, JsonValue] | None
    """What the change concerned, before; null where it was not there."""
    after: dict[str, JsonValue] | None


class AuditEntries(WireModel):
    """A page of the audit log; the header Link leads to the next one."""

    entries: list[AuditEntry]
