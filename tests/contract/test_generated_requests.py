"""Requests generated from the OpenAPI document, valid and invalid, with every check."""

import os

import pytest
import schemathesis
from hypothesis import HealthCheck, settings
from schemathesis import Case

from service.app import HANDLERS
from service.contract import build_document
from service.examples import examples_folder
from tests.contract.conftest import Served
from tests.contract.generated_requests import (
    CHECKS,
    OPERATIONS,
    PLANNED,
    is_sent_as_drawn,
    limit_the_time,
    refusals_go_beyond_the_schema,
)

EXAMPLES = int(os.environ.get("CONTRACT_EXAMPLES", "0"))
"""Requests drawn for an operation, beside those at the bounds of its schema; 0 draws a few, and
none at the bounds: beside the other tests there is no time for more."""
FEW = 8

CONFIG = schemathesis.Config.from_dict(
    {
        "phases": {"coverage": {"enabled": bool(EXAMPLES)}},
        "checks": CHECKS,
        "operations": OPERATIONS,
    }
)

schema = schemathesis.openapi.from_dict(build_document(HANDLERS, examples_folder()), config=CONFIG)


@schema.parametrize()
@settings(
    max_examples=EXAMPLES or FEW,
    deadline=None,
    derandomize=True,
    suppress_health_check=list(HealthCheck),
)
@pytest.mark.filterwarnings("ignore::hypothesis.errors.HypothesisWarning")
def test_generated_requests_pass_every_check(case: Case, served: Served) -> None:
    if not is_sent_as_drawn(case):
        return
    if case.path in PLANNED:
        limit_the_time(case.body)
    case.call_and_validate(
        base_url=served.address,
        headers={"Authorization": f"Bearer {served.key}"},
        additional_checks=[refusals_go_beyond_the_schema],
        timeout=60,
    )
