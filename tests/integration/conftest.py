from collections.abc import Iterator

import httpx
import pytest

from tests.serving import running_service


@pytest.fixture(scope="session")
def client() -> Iterator[httpx.Client]:
    with running_service() as service:
        yield service.client
