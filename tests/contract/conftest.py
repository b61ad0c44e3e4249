from collections.abc import Iterator
from dataclasses import dataclass

import pytest

from tests.serving import running_service
from tests.store.serving import make_keys, settings_for


@dataclass(frozen=True)
class Served:
    """The address of a service, and a key that is good for everything."""

    address: str
    key: str


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A service that keys are needed for, as the document says."""
    url = f"sqlite:///{tmp_path_factory.mktemp('contract')}/kept.sqlite"
    (made,) = make_keys(url, {"tenant": "harbour-row"})
    with running_service(settings_for(url)) as service:
        yield Served(service.address, made.key)


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    """The address of a service on this machine that nobody has made a key for."""
    with running_service() as service:
        yield service.address
