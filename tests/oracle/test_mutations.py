"""Each constraint of the program, broken, is noticed by the re-proof or by an oracle."""

import pytest

from tests.oracle.mutations import MUTATIONS, notice


@pytest.mark.parametrize("name", sorted(MUTATIONS))
def test_a_broken_constraint_is_noticed(name: str) -> None:
    assert notice(name)
