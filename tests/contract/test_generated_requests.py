"""Requests generated from the OpenAPI document, valid and invalid, with every check."""

import json
import os

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis import Case, GenerationMode, Response

from service.app import HANDLERS
from service.contract import build_document
from service.examples import examples_folder
from service.mapping.validation import FORM_CODES
from service.media_types import XLSX, ZIP
from tests.contract.conftest import Served

EXAMPLES = int(os.environ.get("CONTRACT_EXAMPLES", "0"))
"""Requests drawn for an operation, beside those at the bounds of its schema; 0 draws a few, and
none at the bounds: beside the other tests there is no time for more."""
FEW = 8

CONFIG = schemathesis.Config.from_dict(
    {
        "phases": {"coverage": {"enabled": bool(EXAMPLES)}},
        "checks": {
            # It leaves the key of the call where it is; `tests/store/test_isolation.py` asks every
            # operation without one.
            "ignored_auth": {"enabled": False},
            # What a schema cannot say is answered with 422: values that do not go together, or
            # an order that nothing can serve. `refusals_go_beyond_the_schema` looks at those.
            "positive_data_acceptance": {"expected-statuses": ["2xx", "404", "409", "412", "422"]},
            # A change without If-Match is answered with 428 (RFC 6585, section 3).
            "missing_required_header": {"expected-statuses": ["4xx"]},
        },
    }
)

schema = schemathesis.openapi.from_dict(build_document(HANDLERS, examples_folder()), config=CONFIG)


@schemathesis.serializer(XLSX, ZIP)
def write_body_of_bytes(ctx: object, value: object) -> bytes:
    """A body of bytes is sent as it is; whatever else was drawn, as its text."""
    return value if isinstance(value, bytes) else str(value).encode("utf-8", "replace")


def refusals_go_beyond_the_schema(ctx: object, response: Response, case: Case) -> None:
    """A request that the schema allows is not refused for its form."""
    if case.meta is None or case.meta.generation.mode is not GenerationMode.POSITIVE:
        return
    if response.status_code == 422:
        codes = {fault["code"] for fault in json.loads(response.content).get("faults", ())}
        assert not codes & FORM_CODES, codes & FORM_CODES


def limit_the_time(body: object) -> None:
    """A drawn order that is sound may ask for minutes; a second shows what the answer holds."""
    policy = body.setdefault("policy", {}) if isinstance(body, dict) else None
    if isinstance(policy, dict):
        asked = policy.setdefault("time_limit_seconds", 1)
        if isinstance(asked, int | float) and not isinstance(asked, bool) and 1 < asked <= 300:
            policy["time_limit_seconds"] = 1


@schema.parametrize()
@settings(
    max_examples=EXAMPLES or FEW,
    deadline=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)
@pytest.mark.filterwarnings("ignore::hypothesis.errors.HypothesisWarning")
def test_generated_requests_pass_every_check(case: Case, served: Served) -> None:
    if case.path in {"/v1/plans", "/v1/bench-sheets", "/v1/planned-install-sheets"}:
        limit_the_time(case.body)
    case.call_and_validate(
        base_url=served.address,
        headers={"Authorization": f"Bearer {served.key}"},
        additional_checks=[refusals_go_beyond_the_schema],
        timeout=60,
    )
