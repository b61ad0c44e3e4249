"""What stands where: the top level, sizes of modules, words that say nothing."""

import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
TOP_LEVEL = {
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "deploy",
    "openapi",
    "optimiser",
    "pyproject.toml",
    "service",
    "tests",
}
MODULES = sorted(
    path for package in ("optimiser", "service") for path in (ROOT / package).rglob("*.py")
)


def tracked_files() -> list[str]:
    """Return the files under version control; in a checkout without it, all that there are."""
    if not (ROOT / ".git").exists():
        return [str(path.relative_to(ROOT)) for path in ROOT.rglob("*") if path.is_file()]
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True
    )
    return listed.stdout.splitlines()


def test_the_top_level_holds_what_it_should_and_nothing_else() -> None:
    top = {name.partition("/")[0] for name in tracked_files()}
    assert {name for name in top if not name.startswith(".")} == TOP_LEVEL


WRITTEN_BY_HAND = [path for path in MODULES if "versions" not in path.parts]
"""All but the steps of the tables' history, which are written by a command and read through."""


@pytest.mark.parametrize(
    "path", WRITTEN_BY_HAND, ids=[str(path.relative_to(ROOT)) for path in WRITTEN_BY_HAND]
)
def test_a_module_stays_under_300_lines(path: Path) -> None:
    lines = len(path.read_text(encoding="utf-8").splitlines())
    assert lines < 300


def test_no_module_has_a_name_that_says_nothing() -> None:
    empty_words = {"utils", "util", "helpers", "helper", "manager", "data", "common", "misc"}
    assert {path.stem for path in MODULES} & empty_words == set()
