"""JSON Pointer (RFC 6901): read, evaluated, and a value put where one leads.

Source: RFC 6901, sections 3 (syntax), 4 (evaluation) and 5 (as a JSON string).
"""

import re
from typing import Any

from service.mapping.faults import show_value

Pointer = tuple[str, ...]
"""The reference tokens of a pointer, unescaped."""

_INDEX = re.compile(r"0|[1-9][0-9]*")
_BAD_ESCAPE = re.compile(r"~(?![01])")
_LONGEST_INDEX = 9


class PointerError(ValueError):
    """A text that is no pointer, or a pointer that leads nowhere. `code` is stable."""

    def __init__(self, code: str, message: str) -> None:
        self.code = code
        super().__init__(message)


def read_pointer(text: str) -> Pointer:
    """Return the reference tokens of a pointer; none is the whole document.

    Raises:
        PointerError: it neither is empty nor begins with a slash, or has a tilde that escapes
            nothing.
    """
    if not text:
        return ()
    if not text.startswith("/"):
        raise PointerError(
            "no-pointer",
            f"{show_value(text)} is no JSON Pointer: it must be empty or begin with /, as in "
            "/policy/fastener_spacing.",
        )
    if _BAD_ESCAPE.search(text):
        raise PointerError(
            "no-pointer",
            f"{show_value(text)} is no JSON Pointer: a tilde must be written ~0, a slash within "
            "a name ~1.",
        )
    return tuple(token.replace("~1", "/").replace("~0", "~") for token in text[1:].split("/"))


def evaluate(document: Any, pointer: Pointer) -> Any:
    """Return the value that a pointer leads to.

    Raises:
        PointerError: it leads nowhere.
    """
    for depth in range(len(pointer)):
        document = _step(document, pointer, depth)
    return document


def put(document: Any, pointer: Pointer, value: Any) -> Any:
    """Return the document with a value where the pointer leads; the document is not changed.

    The last token may name a member that the object does not have yet, as "add" of JSON Patch
    (RFC 6902, section 4.1) allows; an array keeps its length.

    Raises:
        PointerError: it leads nowhere.
    """
    return _put(document, pointer, 0, value)


def _put(document: Any, pointer: Pointer, depth: int, value: Any) -> Any:
    if depth == len(pointer):
        return value
    token = pointer[depth]
    if isinstance(document, dict):
        last = depth + 1 == len(pointer)
        inner = None if last else _step(document, pointer, depth)
        return {**document, token: _put(inner, pointer, depth + 1, value)}
    inner = _step(document, pointer, depth)
    position = int(token)
    return [
        *document[:position],
        _put(inner, pointer, depth + 1, value),
        *document[position + 1 :],
    ]


def _step(document: Any, pointer: Pointer, depth: int) -> Any:
    token = pointer[depth]
    if isinstance(document, dict):
        if token in document:
            return document[token]
        why = f"there is no member {show_value(token)}"
    elif isinstance(document, list):
        # "-" is the element after the last one, which does not exist.
        if _INDEX.fullmatch(token) is None:
            why = f"{show_value(token)} is no position in an array"
        elif len(token) <= _LONGEST_INDEX and int(token) < len(document):
            return document[int(token)]
        else:
            why = f"the array has {len(document):,} entries, counted from 0"
    else:
        why = f"{show_value(document)} has no members"
    place = write_tokens(pointer[:depth]) or "the whole order"
    raise PointerError(
        "leads-nowhere",
        f"{show_value(write_tokens(pointer))} leads nowhere: at {place} {why}; correct the "
        "pointer.",
    )


def write_tokens(pointer: Pointer) -> str:
    """Return the pointer as text."""
    return "".join(f"/{token.replace('~', '~0').replace('/', '~1')}" for token in pointer)
