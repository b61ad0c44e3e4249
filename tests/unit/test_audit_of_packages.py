"""What `.ci/audit.py` makes of a report: a weakness fails, no answer is said to be none."""

import importlib.util
import json
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

SCRIPT = Path(__file__).parents[2] / ".ci" / "audit.py"
SOUND = {"name": "trim-lib", "version": "1.0", "vulns": []}
WEAK = {
    "name": "nail-lib",
    "version": "2.1",
    "vulns": [
        {"id": "PYSEC-0000-1", "fix_versions": ["2.2", "3.0"], "aliases": [], "description": ""},
        {"id": "PYSEC-0000-2", "fix_versions": [], "aliases": [], "description": ""},
    ],
}
UNKNOWN = {"name": "strip-lib", "skip_reason": "Dependency not found on PyPI"}


@pytest.fixture(scope="module")
def script() -> ModuleType:
    spec = importlib.util.spec_from_file_location("audit_of_packages", SCRIPT)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def report(*packages: dict[str, Any]) -> str:
    return json.dumps({"dependencies": packages, "fixes": []})


def test_a_known_weakness_fails_and_is_named(script: ModuleType) -> None:
    assert script.decide(report(SOUND, WEAK, UNKNOWN), "Found 2 known vulnerabilities") == (
        "Known weaknesses; lock other versions:\n"
        "nail-lib 2.1: PYSEC-0000-1, mended in 2.2, 3.0\n"
        "nail-lib 2.1: PYSEC-0000-2, mended in no version yet",
        1,
    )


def test_packages_without_a_known_weakness_pass(script: ModuleType) -> None:
    assert script.decide(report(SOUND, SOUND), "No known vulnerabilities found") == (
        "2 packages have no known weakness.",
        0,
    )
    assert script.decide(report(SOUND, UNKNOWN), "") == (
        "1 packages have no known weakness; not looked up: strip-lib.",
        0,
    )


@pytest.mark.parametrize(
    "last_line",
    [
        "requests.exceptions.ProxyError: HTTPSConnectionPool(host='pypi.org', port=443)",
        "ERROR:pip_audit._cli:Could not connect to PyPI's vulnerability feed",
        "pip_audit._service.interface.ServiceError",
    ],
)
def test_a_service_that_gives_no_answer_is_said_to_give_none(
    script: ModuleType, last_line: str
) -> None:
    said, status = script.decide("", f"Traceback (most recent call last):\n{last_line}\n\n")
    assert said == f"NOT LOOKED UP, whether packages have known weaknesses: {last_line}."
    assert status == 0


def test_a_service_that_knows_no_package_is_no_sign_that_all_is_well(script: ModuleType) -> None:
    assert script.decide(report(UNKNOWN, UNKNOWN), "No known vulnerabilities found") == (
        "NOT LOOKED UP, whether packages have known weaknesses: the service knows none of the 2 "
        "packages.",
        0,
    )


@pytest.mark.parametrize("said", ["ERROR:pip_audit._cli:invalid requirements input: a.txt", ""])
def test_an_audit_that_breaks_for_another_reason_fails(script: ModuleType, said: str) -> None:
    last = said or "it said nothing"
    assert script.decide("", said) == (f"pip-audit gave no report: {last}", 1)
    assert script.decide('{"fixes": []}', said).status == 1


def test_a_file_that_cannot_be_read_fails_by_the_real_command(
    script: ModuleType, tmp_path: Path
) -> None:
    bad = tmp_path / "requirements.txt"
    bad.write_text("trim-lib>=1\n", encoding="utf-8")
    said, status = script.audit(bad, 60)
    assert status == 1
    assert said.startswith("pip-audit gave no report: ")
    assert "trim-lib" in said
