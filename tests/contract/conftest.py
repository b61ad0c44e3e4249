from collections.abc import Iterator

import pytest

from tests.serving import running_service


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    with running_service() as service:
        yield service.address
