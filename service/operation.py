"""What a route declares of its contract; the OpenAPI document is made of it."""

from dataclasses import dataclass, field
from http import HTTPStatus
from typing import Any

from service.access.caller import Scope
from service.problem_kinds import ProblemKind
from service.problems import BAD_REQUEST, INTERNAL_ERROR, NOT_ACCEPTABLE
from service.resource_problems import (
    CHANGED_MEANWHILE,
    INVALID_QUERY,
    KEY_REUSED,
    NO_KEY,
    PRECONDITION_MISSING,
    SCOPE_MISSING,
    STILL_AT_WORK,
    STORE_FAILED,
    TOO_MANY_REQUESTS,
    UNREADABLE_KEY,
)
from service.wire.base import WireModel

DEFAULT_LIMIT, MOST_LIMIT = 50, 200
"""Entries of a page of a list."""

MOST_FILTER_CHARACTERS = 200


@dataclass(frozen=True, slots=True)
class Filter:
    """A query parameter that a list is filtered by; without `values` any text is one."""

    description: str
    values: tuple[str, ...] = ()

    @property
    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of its values."""
        if self.values:
            return {"type": "string", "enum": list(self.values)}
        return {"type": "string", "maxLength": MOST_FILTER_CHARACTERS}


@dataclass(frozen=True, slots=True, kw_only=True)
class Contract:
    """The bodies and problems of one operation.

    `answers` holds, for each media type of the answer, the model; `None` is plain text.
    `request_examples` and `answer_examples` name files of the examples' folder; the latter by
    media type. `bodies` holds the schemas of bodies that are not JSON, by media type;
    `further_models` are described in the document beside those of the bodies. `told_in_text` are
    the problems that come as plain text where text is asked for. `headers` describes headers of
    the answer beyond those that every answer has. `scope` is what the key of a request needs;
    without one the operation is open to all. `once` is whether Idempotency-Key is taken,
    `matches` whether If-Match is required. A list in pages is sorted by one of `sortable`, the
    first of them where nothing is asked; `filters` describes its other query parameters. The
    query parameters of whatever is no list are the members of `query`. `path_values` holds the
    values of parameters of the path that have only some.
    `later` is what comes at once where the answer itself comes later (202).
    """

    answers: dict[str, type[WireModel] | None]
    answer_description: str
    request: type[WireModel] | None = None
    bodies: dict[str, dict[str, Any]] = field(default_factory=dict)
    further_models: tuple[type[WireModel], ...] = ()
    told_in_text: tuple[ProblemKind, ...] = ()
    problems: tuple[ProblemKind, ...] = ()
    request_examples: tuple[str, ...] = ()
    answer_examples: dict[str, tuple[str, ...]] = field(default_factory=dict)
    headers: dict[str, str] = field(default_factory=dict)
    status: HTTPStatus = HTTPStatus.OK
    scope: Scope | None = None
    once: bool = False
    matches: bool = False
    later: type[WireModel] | None = None
    sortable: tuple[str, ...] = ()
    filters: dict[str, Filter] = field(default_factory=dict)
    query: type[WireModel] | None = None
    path_values: dict[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def every_problem(self) -> tuple[ProblemKind, ...]:
        """Return the problems of the operation with those that every operation has."""
        of_key = (NO_KEY, SCOPE_MISSING, TOO_MANY_REQUESTS, STORE_FAILED) if self.scope else ()
        of_once = (UNREADABLE_KEY, KEY_REUSED, STILL_AT_WORK) if self.once else ()
        of_match = (PRECONDITION_MISSING, CHANGED_MEANWHILE) if self.matches else ()
        of_list = (INVALID_QUERY,) if self.sortable or self.query else ()
        return (
            BAD_REQUEST,
            NOT_ACCEPTABLE,
            *of_key,
            *of_list,
            *of_once,
            *of_match,
            *self.problems,
            INTERNAL_ERROR,
        )
