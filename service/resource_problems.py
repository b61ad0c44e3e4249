"""Problems of requests for what the service keeps: keys, states, changes, limits."""

from http import HTTPStatus

from service.problem_kinds import ProblemKind

NO_KEY = ProblemKind(
    "no-key",
    HTTPStatus.UNAUTHORIZED,
    "The request has no API key that is good",
    "Send a key of yours in the header Authorization: Bearer KEY. Whoever runs the service makes "
    "keys by a command.",
)
SCOPE_MISSING = ProblemKind(
    "scope-missing",
    HTTPStatus.FORBIDDEN,
    "The API key may not be used for this",
    "The detail names the scope that is needed; ask for a key that has it.",
)
KEY_REUSED = ProblemKind(
    "key-reused",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "The idempotency key was used for another request",
    "Within 24 hours, one key stands for one request: the same method, address and body. Send a "
    "new key with a new request.",
)
UNREADABLE_KEY = ProblemKind(
    "unreadable-key",
    HTTPStatus.BAD_REQUEST,
    "The idempotency key cannot be read",
    "Send 1 to 255 printable ASCII characters without blanks in the header Idempotency-Key, such "
    "as a UUID.",
)
STILL_AT_WORK = ProblemKind(
    "still-at-work",
    HTTPStatus.CONFLICT,
    "A request with this idempotency key is still at work",
    "Send it again after the seconds that the header Retry-After states: the answer of the first "
    "request is kept.",
)
PRECONDITION_MISSING = ProblemKind(
    "precondition-missing",
    HTTPStatus.PRECONDITION_REQUIRED,
    "A change has to say what it changes",
    "Read the resource and send its ETag in the header If-Match; If-Match: * changes whatever "
    "is there.",
)
CHANGED_MEANWHILE = ProblemKind(
    "changed-meanwhile",
    HTTPStatus.PRECONDITION_FAILED,
    "The resource has changed since it was read",
    "Read it again, and make the change to what it is now.",
)
INVALID_QUERY = ProblemKind(
    "invalid-query",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "The query cannot be taken",
    "A parameter of the query is missing, unknown, stated twice or out of its range, or the cursor "
    "is not one that this list gave out. Every fault is listed with the name of its parameter.",
)
INVALID_CONTENT = ProblemKind(
    "invalid-content",
    HTTPStatus.UNPROCESSABLE_ENTITY,
    "What is to be kept holds wrong values",
    "The body is JSON, but cannot be kept: a member is missing or unknown, a value is of the wrong "
    "type, out of its range or cannot be read, or values do not go together. Every fault is listed "
    "with the JSON Pointer of its value.",
)
NAME_TAKEN = ProblemKind(
    "name-taken",
    HTTPStatus.CONFLICT,
    "The name is taken",
    "Something is kept under this name already: add a version to it, or choose another name.",
)
NOT_ALLOWED_NOW = ProblemKind(
    "not-allowed-now",
    HTTPStatus.CONFLICT,
    "The resource cannot be changed like this as it stands",
    "The detail names the state, and what it allows.",
)
RACK_CHANGED = ProblemKind(
    "rack-changed",
    HTTPStatus.CONFLICT,
    "The rack does not hold what the order takes from it or gives back to it",
    "Every fault is listed. Plan the order anew with the rack as it is, or correct the rack.",
)
TOO_MANY_REQUESTS = ProblemKind(
    "too-many-requests",
    HTTPStatus.TOO_MANY_REQUESTS,
    "More requests than the limit allows",
    "Send it again after the seconds that the header Retry-After states.",
)
STORE_FAILED = ProblemKind(
    "store-failed",
    HTTPStatus.SERVICE_UNAVAILABLE,
    "What the service keeps cannot be reached",
    "Nothing was changed. Try again shortly; the log of the service says what is wrong.",
)

RESOURCE_PROBLEMS = (
    NO_KEY,
    SCOPE_MISSING,
    KEY_REUSED,
    UNREADABLE_KEY,
    STILL_AT_WORK,
    PRECONDITION_MISSING,
    CHANGED_MEANWHILE,
    INVALID_QUERY,
    INVALID_CONTENT,
    NAME_TAKEN,
    NOT_ALLOWED_NOW,
    RACK_CHANGED,
    TOO_MANY_REQUESTS,
    STORE_FAILED,
)
