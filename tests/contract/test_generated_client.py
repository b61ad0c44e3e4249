"""A Python client that a generator makes of the exported document, as DEVELOPERS.md says."""

import subprocess
import sys
from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest

from tests.contract.client_order_steps import ORDER_STEPS
from tests.contract.client_steps import STEPS, GeneratedClient
from tests.serving import running_service
from tests.store.serving import make_keys, settings_for

FOLDER = Path(__file__).parents[2] / "openapi"
GENERATOR = "openapi_python_client"
PACKAGE = "weatherstrip_client"

pytestmark = pytest.mark.skipif(
    find_spec(GENERATOR) is None,
    reason="openapi-python-client is not installed; it is in the group `dev` of pyproject.toml",
)


@pytest.fixture
def connection(tmp_path: Path) -> Iterator[Any]:
    """A client that was generated without a warning, of a service that is served."""
    command = [sys.executable, "-m", GENERATOR, "generate", "--fail-on-warning", "--meta", "none"]
    files = ["--path", FOLDER / "openapi.json", "--config", FOLDER / "python-client.yaml"]
    made = subprocess.run(
        [*command, *files, "--output-path", tmp_path / PACKAGE],
        capture_output=True,
        text=True,
        check=False,
    )
    assert made.returncode == 0, made.stdout + made.stderr
    assert "warning" not in (made.stdout + made.stderr).lower()
    url = f"sqlite:///{tmp_path}/kept.sqlite"
    (key,) = make_keys(url, {"tenant": "harbour-row"})
    settings = settings_for(url, webhooks_to_private_addresses=True)
    sys.path.insert(0, str(tmp_path))
    try:
        with running_service(settings) as service:
            generated = import_module(PACKAGE)
            with generated.AuthenticatedClient(service.address, token=key.key) as client:
                yield client
    finally:
        sys.path.remove(str(tmp_path))
        for name in [name for name in sys.modules if name.partition(".")[0] == PACKAGE]:
            del sys.modules[name]


def test_a_client_is_generated_without_a_warning_and_does_every_step(connection: Any) -> None:
    client = GeneratedClient(PACKAGE, connection)
    for step in (*STEPS, *ORDER_STEPS):
        step(client)
