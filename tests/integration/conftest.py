import logging
from collections.abc import Iterator

import httpx
import pytest
import structlog

from tests.serving import running_service


@pytest.fixture(scope="session")
def client() -> Iterator[httpx.Client]:
    with running_service() as service:
        yield service.client


@pytest.fixture(autouse=True)
def logging_as_it_was() -> Iterator[None]:
    """Undo what the command sets up for a process that it takes for its own."""
    root, loggers = logging.getLogger(), ("uvicorn", "uvicorn.error", "uvicorn.access")
    level, configured = root.level, structlog.get_config()
    disabled = {name: logging.getLogger(name).disabled for name in loggers}
    handlers = root.handlers[:]
    yield
    # Handlers of pytest come and go by themselves: only those of the command are taken off.
    for handler in root.handlers[:]:
        if type(handler) is logging.StreamHandler:
            root.removeHandler(handler)
    for handler in handlers:
        if handler not in root.handlers:
            root.addHandler(handler)
    root.setLevel(level)
    structlog.configure(**configured)
    for name, was in disabled.items():
        logging.getLogger(name).disabled = was
