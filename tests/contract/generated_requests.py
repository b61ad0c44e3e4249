"""What is asked of every answer to a generated request, and what this API's answers are like."""

import json

import schemathesis
from schemathesis import Case, GenerationMode, Response

from service.mapping.validation import FORM_CODES
from service.media_types import XLSX, ZIP

CHECKS = {
    # It leaves the key of the call where it is; `tests/store/test_isolation.py` asks every
    # operation without one.
    "ignored_auth": {"enabled": False},
    # What a schema cannot say is answered with 422: values that do not go together, or
    # an order that nothing can serve. `refusals_go_beyond_the_schema` looks at those.
    "positive_data_acceptance": {"expected-statuses": ["2xx", "404", "409", "412", "422"]},
    # A change without If-Match is answered with 428 (RFC 6585, section 3).
    "missing_required_header": {"expected-statuses": ["4xx"]},
}
"""The configuration of the checks; all that are not named are as they come."""

OPERATIONS = [
    # The schema is that of the stream as a whole, a text; the check asks it of every event.
    {
        "include-operation-id": "followJob",
        "checks": {"response_schema_conformance": {"enabled": False}},
    },
    # A merge patch may be any JSON. That no text or name in it holds NUL (400) takes a schema
    # that refers to itself, which generators of clients do not understand.
    *(
        {
            "include-operation-id": operation,
            "checks": {
                "positive_data_acceptance": {
                    "expected-statuses": ["2xx", "400", "404", "409", "412", "422"]
                }
            },
        }
        for operation in ("compareQuotes", "makeStudy", "writeStudyDocument")
    ),
]
"""What of it is otherwise for single operations."""

PLANNED = frozenset(
    {
        "/v1/plans",
        "/v1/bench-sheets",
        "/v1/planned-install-sheets",
        "/v1/purchase-orders",
        "/v1/quotes",
        "/v1/quote-differences",
        "/v1/documents/{document}",
    }
)
"""Where a body is an order that is planned while the request waits."""


@schemathesis.serializer(XLSX, ZIP)
def write_body_of_bytes(ctx: object, value: object) -> bytes:
    """A body of bytes is sent as it is; whatever else was drawn, as its text."""
    return value if isinstance(value, bytes) else str(value).encode("utf-8", "replace")


def refusals_go_beyond_the_schema(ctx: object, response: Response, case: Case) -> None:
    """A request that the schema allows is not refused for its form."""
    if case.meta is None or case.meta.generation.mode is not GenerationMode.POSITIVE:
        return
    if response.status_code == 422:
        faults = json.loads(response.content).get("faults", ())
        # What a merge patch makes of an order is in no schema of the request.
        codes = {f["code"] for f in faults if not f["pointer"].startswith("/change")}
        assert not codes & FORM_CODES, codes & FORM_CODES


def is_sent_as_drawn(case: Case) -> bool:
    """Whether HTTP carries the headers as they were drawn: blanks at their ends are not theirs."""
    values = (case.headers or {}).values()
    return all(not isinstance(value, str) or value == value.strip() for value in values)


def limit_the_time(body: object) -> None:
    """A drawn order that is sound may ask for minutes; a second shows what the answer holds."""
    policy = body.setdefault("policy", {}) if isinstance(body, dict) else None
    if isinstance(policy, dict):
        asked = policy.setdefault("time_limit_seconds", 1)
        if isinstance(asked, int | float) and not isinstance(asked, bool) and 1 < asked <= 300:
            policy["time_limit_seconds"] = 1
