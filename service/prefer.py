"""The header Prefer (RFC 7240): whether an answer may come later, and how long to wait for it."""

import re
from dataclasses import dataclass

_WAIT = re.compile(r"[0-9]{1,9}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Preference:
    """What a request prefers. `wait_seconds` is `None` where it states none."""

    respond_async: bool = False
    wait_seconds: int | None = None


def read_preference(stated: str | None) -> Preference:
    """Return what a header states; what is unknown or cannot be read is passed over (RFC 7240)."""
    respond_async = False
    wait_seconds = None
    for part in (stated or "").split(","):
        name, _, value = part.partition(";")[0].partition("=")
        name, value = name.strip().lower(), value.strip().strip('"')
        if name == "respond-async":
            respond_async = True
        elif name == "wait" and wait_seconds is None and _WAIT.fullmatch(value):
            wait_seconds = int(value)
    return Preference(respond_async=respond_async, wait_seconds=wait_seconds)
