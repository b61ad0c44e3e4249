"""Every problem that the service answers with, as RFC 9457 problem details.

A problem has a stable `code`; its `type` leads to its entry on the documentation page. Faults
of an order name the value by a JSON Pointer (RFC 6901).
"""

from collections.abc import Iterable, Mapping
from http import HTTPStatus

from optimiser.domain.faults import Fault
from service.problem_kinds import ProblemKind
from service.resource_problems import RESOURCE_PROBLEMS

MEDIA_TYPE = "application/problem+json"

FAULTS_SHOWN = 1_000
"""The most faults that one answer lists; `fault_count` always states how many there are."""


BAD_REQUEST = ProblemKind(
    "bad-request",
    HTTPStatus.BAD_REQUEST,
    "The request cannot be read",
    "The request breaks the rules of HTTP, or the client went away before it was complete.",
)
MALFORMED_JSON = ProblemKind(
    "malformed-json",
    HTTPStatus.BAD_REQUEST,
    "The body is not JSON that can be read",
    "The body is not UTF-8, not JSON, nested too deeply, repeats a member of an object, holds a "
    "NUL character or half of a surrogate pair, or a number that JSON does not have (NaN, "
    "Infinity) or that is out of all proportion (1e999999).",
)
NOT_FOUND = ProblemKind(
    "not-found",
    HTTPStatus.NOT_FOUND,
    "There is nothing at this address",
    "No resource has this address, or no rule set has this identifier.",
)
METHOD_NOT_ALLOWED = ProblemKind(
    "method-not-allowed",
    HTTPStatus.METHOD_NOT_ALLOWED,
    "This address does not take this method",
    "The header Allow lists the methods that it takes.",
)
NOT_ACCEPTABLE = ProblemKind(
    "not-acceptable",
    HTTPStatus.NOT_ACCEPTABLE,
    "No representation has a media type that the request accepts",
    "The detail lists the media types that there are; name one in the header Accept.",
)
BODY_TOO_LARGE = ProblemKind(
    "body-too-large",
    HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
    "The body is larger than the limit",
    "The detail states the limit; split the order, or leave out what is not needed.",
)
UNSUPPORTED_MEDIA_TYPE = ProblemKind(
    "unsupported-media-type",
    HTTPStatus.UNSUPPORTED_MEDIA_TYPE,
    "The body has a media type or an encoding that is not read",
    "Send JSON in UTF-8 with the header Content-Type: application/json, and no Content-Encoding.",
)
INVALID_ORDER = ProblemKind(
    "invalid-order",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "The order holds wrong values",
    "The body is JSON, but not an order that can be taken: a member is missing or unknown, a "
    "value is of the wrong type, out of its range or cannot be read, or values do not go "
    "together. Every fault is listed with the JSON Pointer of its value.",
)
INVALID_SCHEDULE = ProblemKind(
    "invalid-schedule",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "The schedule cannot be taken as it stands",
    "Cells cannot be read, columns are missing, or the file is no schedule. Nothing was taken. "
    "Every fault is listed; its pointer leads to the row and the column, as in /rows/14/C.",
)
INVALID_INPUTS = ProblemKind(
    "invalid-inputs",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "The inputs hold wrong values",
    "The body is JSON, but nothing can be worked out from it: a member is missing or unknown, a "
    "value is of the wrong type, out of its range or cannot be read, or values do not go "
    "together. Every fault is listed with the JSON Pointer of its value.",
)
INVALID_CATALOGUE_TABLE = ProblemKind(
    "invalid-catalogue-table",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "The tables are not a catalogue that can be taken",
    "Cells cannot be read, columns or lists are missing or unknown, values do not go together, or "
    "the file is no workbook or archive of tables. Nothing was taken. Every fault is listed; its "
    "pointer leads to the sheet or file, the row and the column, as in "
    "/sheets/Stock lengths/rows/14/E.",
)
NO_PLAN = ProblemKind(
    "no-plan",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "Nothing that is offered and allowed can serve the order",
    "The order is well formed, but the catalogue and the policy leave openings without supply. "
    "Every obstacle is listed with what would mend it.",
)
NO_PLAN_IN_TIME = ProblemKind(
    "no-plan-in-time",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "No plan was found within the time limit",
    "Raise policy.time_limit_seconds, or split the order.",
)
PLAN_CHECK_FAILED = ProblemKind(
    "plan-check-failed",
    HTTPStatus.INTERNAL_SERVER_ERROR,
    "The plan did not survive its own check",
    "A defect of the optimiser: the plan was withheld. Report it with the request's identifier.",
)
INTERNAL_ERROR = ProblemKind(
    "internal-error",
    HTTPStatus.INTERNAL_SERVER_ERROR,
    "The service failed",
    "A defect of the service. Report it with the request's identifier.",
)
BUSY = ProblemKind(
    "busy",
    HTTPStatus.SERVICE_UNAVAILABLE,
    "Every solver is at work and the queue is full",
    "Send the order again after the seconds that the header Retry-After states.",
)
NOT_READY = ProblemKind(
    "not-ready",
    HTTPStatus.SERVICE_UNAVAILABLE,
    "The service takes no orders now",
    "It is starting, stopping, replacing its solvers, or cannot reach what it keeps. Try again "
    "shortly.",
)

PROBLEM_KINDS = (
    BAD_REQUEST,
    MALFORMED_JSON,
    NOT_FOUND,
    METHOD_NOT_ALLOWED,
    NOT_ACCEPTABLE,
    BODY_TOO_LARGE,
    UNSUPPORTED_MEDIA_TYPE,
    INVALID_ORDER,
    INVALID_SCHEDULE,
    INVALID_INPUTS,
    INVALID_CATALOGUE_TABLE,
    NO_PLAN,
    NO_PLAN_IN_TIME,
    PLAN_CHECK_FAILED,
    INTERNAL_ERROR,
    BUSY,
    NOT_READY,
    *RESOURCE_PROBLEMS,
)


class Problem(Exception):
    """A request that is answered with a problem. `detail` says what is wrong with this one.

    `text` is what a reader gets who asked for text; without it the answer is problem details.
    """

    def __init__(
        self,
        kind: ProblemKind,
        detail: str,
        *,
        faults: Iterable[Fault] = (),
        headers: Mapping[str, str] | None = None,
        text: str | None = None,
    ) -> None:
        self.kind = kind
        self.detail = detail
        self.faults = tuple(faults)
        self.headers = dict(headers or {})
        self.text = text
        super().__init__(detail)


def write_pointer(path: tuple[str | int, ...]) -> str:
    """Return a path as a JSON Pointer (RFC 6901); the empty pointer is the whole document."""
    pointer = "".join(f"/{str(part).replace('~', '~0').replace('/', '~1')}" for part in path)
    return pointer.encode("utf-8", "replace").decode("utf-8")


def count_faults(faults: tuple[Fault, ...]) -> str:
    """Return a sentence that says how many faults there are and shows the first."""
    if len(faults) == 1:
        return faults[0].message
    return f"{len(faults):,} faults. The first: {faults[0].message}"


def problem_document(problem: Problem, request_id: str) -> dict[str, object]:
    """Return the members of the problem details object."""
    document: dict[str, object] = {
        "type": f"/docs#{problem.kind.code}",
        "title": problem.kind.title,
        "status": int(problem.kind.status),
        "detail": problem.detail,
        "code": problem.kind.code,
        "request_id": request_id,
    }
    if problem.faults:
        document["fault_count"] = len(problem.faults)
        document["faults"] = [
            {"pointer": write_pointer(fault.path), "code": fault.code, "message": fault.message}
            for fault in problem.faults[:FAULTS_SHOWN]
        ]
    return document
