"""Rule sets as texts, for the tests of their reader."""

import pytest

from optimiser.domain.faults import Fault
from optimiser.rule_sets import (
    RuleSetError,
    read_toml,
)

SOUND = """
id = "test-strip"
title = "Test strip"
statement = "A strip for this test."
source = "invented"
product = "test-strip"
fastener = "test-nail"

[spacing]
length = "2 in"
statement = "Every 2 in."
source = "invented"

[[rules]]
id = "test.head"
kinds = ["fixed-window"]
edge = "head"
member = "member"
lies_on = "frame"
length = "opening-width"
statement = "The head takes one."
source = "invented"
"""


def faults_of(toml: str) -> tuple[Fault, ...]:
    with pytest.raises(RuleSetError) as caught:
        read_toml(toml)
    return caught.value.faults
