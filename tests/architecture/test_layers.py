"""Who may import whom: the contracts of pyproject.toml and those inside the service."""

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
INSIDE_THE_SERVICE = Path(__file__).parent / "service_layers.toml"


@pytest.mark.parametrize("config", [ROOT / "pyproject.toml", INSIDE_THE_SERVICE])
def test_imports_run_downward_only(config: Path) -> None:
    checked = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys; from importlinter.cli import lint_imports;"
            f"sys.exit(lint_imports(config_filename={str(config)!r}, no_cache=True))",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr
    assert ", 0 broken" in checked.stdout
