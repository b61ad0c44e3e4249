import logging
from collections.abc import Iterator

import httpx
import pytest
import structlog

from service import command_line
from service.log import set_up_logging
from service.settings import LogFormat
from tests.serving import running_service


@pytest.fixture(scope="session")
def client() -> Iterator[httpx.Client]:
    with running_service() as service:
        yield service.client


@pytest.fixture(autouse=True)
def logging_as_it_was(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Undo what the command sets up for a process that it takes for its own."""

    def set_up_for_a_while(log_format: LogFormat) -> None:
        set_up_logging(log_format)
        # A logger that is kept as it was set up could not be undone.
        structlog.configure(cache_logger_on_first_use=False)

    monkeypatch.setattr(command_line, "set_up_logging", set_up_for_a_while)
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
