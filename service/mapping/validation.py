"""Validating against the models of the wire, with faults in the project's own words."""

from collections.abc import Callable
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from optimiser.domain.faults import Fault
from service.mapping.faults import Path, name_place, show_value

M = TypeVar("M", bound=BaseModel)

FORM_CODES = frozenset(
    (
        "missing",
        "unknown-member",
        "wrong-type",
        "not-one-of",
        "out-of-range",
        "text-length",
        "wrong-form",
        "number-of-entries",
        "money-as-number",
        "repeated-edge",
        "invalid-value",
    )
)
"""Codes of the faults that the schema rules out; every other fault is beyond the schema."""


def validate(model: type[M], raw: Any) -> M | list[Fault]:
    """Return the model of a decoded JSON value, or all of its faults of form."""
    try:
        return model.model_validate(raw)
    except ValidationError as error:
        details = error.errors(include_url=False)
        return [_to_fault(detail, raw) for detail in details]


def _to_fault(detail: ErrorDetails, raw: Any) -> Fault:
    kind = detail["type"]
    context = detail.get("ctx", {})
    path = _without_tags(detail["loc"], raw, missing=kind == "missing")
    if "discriminator" in context:
        if isinstance(detail["input"], dict):
            # Told of the whole object; it lies with the member that says which form it has.
            path = (*path, context["discriminator"].strip("'"))
        else:
            kind = "model_type"
    shown = show_value(detail["input"]) if kind != "missing" else ""
    if kind in _WORDED:
        code, word = _WORDED[kind]
        complaint = word(context, shown)
    elif kind in FORM_CODES:
        # Raised by a type of our own, with its message.
        code, complaint = kind, f"{shown} {detail['msg']}"
    else:
        code, complaint = "invalid-value", f"{shown} cannot be taken: {detail['msg']}"
    return Fault(path, code, f"{name_place(path, raw)}: {complaint}.")


def _without_tags(location: tuple[int | str, ...], raw: Any, *, missing: bool) -> Path:
    """Return a location without the names of alternatives, which stand for no member.

    A name may be that of an alternative and of a member as well: the reading that leads furthest
    into the value is the right one.
    """
    if not location:
        return ()
    part, further = location[0], location[1:]
    skipped = _without_tags(further, raw, missing=missing)
    if isinstance(raw, dict) and isinstance(part, str):
        if part in raw:
            taken = (part, *_without_tags(further, raw[part], missing=missing))
            return taken if len(taken) > len(skipped) else skipped
        if missing and not further:
            return (part,)
    elif isinstance(raw, list) and isinstance(part, int) and part < len(raw):
        return (part, *_without_tags(further, raw[part], missing=missing))
    return skipped


Wording = Callable[[dict[str, Any], str], str]

_WORDED: dict[str, tuple[str, Wording]] = {
    "missing": ("missing", lambda c, v: "is missing; send it"),
    "extra_forbidden": (
        "unknown-member",
        lambda c, v: "there is no such member; remove it, or correct its name",
    ),
    "model_type": ("wrong-type", lambda c, v: f"{v} is not an object; send one"),
    "model_attributes_type": ("wrong-type", lambda c, v: f"{v} is not an object; send one"),
    "list_type": ("wrong-type", lambda c, v: f"{v} is not an array; send one"),
    "string_type": ("wrong-type", lambda c, v: f"{v} is not a text; send one"),
    "bool_type": ("wrong-type", lambda c, v: f"{v} is neither true nor false; send one of them"),
    "int_type": ("wrong-type", lambda c, v: f"{v} is not a whole number; send one"),
    "int_from_float": ("wrong-type", lambda c, v: f"{v} is not a whole number; send one"),
    "union_tag_invalid": (
        "not-one-of",
        lambda c, v: (
            f"{show_value(c['tag'])} is not known; send {c['expected_tags'].replace(', ', ' or ')}"
        ),
    ),
    "union_tag_not_found": ("missing", lambda c, v: "is missing; send it"),
    "enum": ("not-one-of", lambda c, v: f"{v} is not known; send {c['expected']}"),
    "greater_than_equal": ("out-of-range", lambda c, v: f"{v} is too low; send {c['ge']} or more"),
    "less_than_equal": ("out-of-range", lambda c, v: f"{v} is too high; send {c['le']} or less"),
    "string_too_short": (
        "text-length",
        lambda c, v: f"{v} is too short; send {c['min_length']} or more characters",
    ),
    "string_too_long": (
        "text-length",
        lambda c, v: f"{v} is too long; send at most {c['max_length']:,} characters",
    ),
    "string_pattern_mismatch": (
        "wrong-form",
        lambda c, v: (
            f"{v} does not have the form that is asked for; send a text that matches {c['pattern']}"
        ),
    ),
    "too_short": (
        "number-of-entries",
        lambda c, v: f"has {c['actual_length']} entries; send {c['min_length']} or more",
    ),
    "too_long": (
        "number-of-entries",
        lambda c, v: f"has more than {c['max_length']:,} entries; split the order",
    ),
}
