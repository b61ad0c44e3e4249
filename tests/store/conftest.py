from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.stores import BACKENDS, new_store_url


@pytest.fixture(params=BACKENDS)
def store_url(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """The address of a new store, on each backend in turn."""
    with new_store_url(request.param, tmp_path) as url:
        yield url
