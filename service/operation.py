"""What a route declares of its contract; the OpenAPI document is made of it."""

from dataclasses import dataclass, field
from typing import Any

from service.problems import BAD_REQUEST, INTERNAL_ERROR, NOT_ACCEPTABLE, ProblemKind
from service.wire.base import WireModel


@dataclass(frozen=True, slots=True, kw_only=True)
class Contract:
    """The bodies and problems of one operation.

    `answers` holds, for each media type of the answer, the model; `None` is plain text.
    `request_examples` and `answer_examples` name files of the examples' folder; the latter by
    media type. `bodies` holds the schemas of bodies that are not JSON, by media type;
    `further_models` are described in the document beside those of the bodies. `told_in_text` are
    the problems that come as plain text where text is asked for. `headers` describes headers of
    the answer beyond those that every answer has.
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

    @property
    def every_problem(self) -> tuple[ProblemKind, ...]:
        """Return the problems of the operation with those that every operation has."""
        return (BAD_REQUEST, NOT_ACCEPTABLE, *self.problems, INTERNAL_ERROR)
