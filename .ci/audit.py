"""Known weaknesses of the packages that are locked: found, none, or not looked up.

A weakness that is found fails. Where the advisory service cannot be reached, or knows none of the
packages, nothing was looked up: that is said, and nothing fails.
"""

import argparse
import json
import subprocess
import sys
from pathlib import Path
from typing import Any, NamedTuple

SECONDS = 9.0
"""How long to wait for the service; a choice, so that a run of all checks is not held up."""

UNREACHABLE = ("requests.exceptions.", "Could not connect", "ServiceError", "is not redirecting")
"""What the last line of pip-audit holds where the service gave no answer."""


class Outcome(NamedTuple):
    """What to say, and the status to end with."""

    said: str
    status: int


def audit(locked: Path, seconds: float = SECONDS) -> Outcome:
    """Return what is known of the packages of a requirements file with hashes."""
    command = [sys.executable, "-m", "pip_audit", "--require-hashes", "--disable-pip"]
    command += ["--requirement", str(locked), "--format", "json", "--progress-spinner", "off"]
    try:
        done = subprocess.run(
            [*command, "--timeout", "3"],
            capture_output=True,
            text=True,
            timeout=seconds,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return not_looked_up(f"no answer within {seconds:g} s")
    return decide(done.stdout, done.stderr)


def decide(report: str, errors: str) -> Outcome:
    """Return what a report of pip-audit in JSON, or what it says in place of one, comes to."""
    try:
        packages: list[dict[str, Any]] = json.loads(report)["dependencies"]
    except (ValueError, KeyError, TypeError):
        lines = [line for line in errors.splitlines() if line.strip()] or ["it said nothing"]
        if any(sign in lines[-1] for sign in UNREACHABLE):
            return not_looked_up(lines[-1])
        return Outcome(f"pip-audit gave no report: {lines[-1]}", 1)
    weak = [
        f"{package['name']} {package['version']}: {weakness['id']}, mended in "
        f"{', '.join(weakness['fix_versions']) or 'no version yet'}"
        for package in packages
        for weakness in package.get("vulns", ())
    ]
    unknown = [package["name"] for package in packages if "skip_reason" in package]
    if weak:
        return Outcome("\n".join(["Known weaknesses; lock other versions:", *weak]), 1)
    if len(unknown) == len(packages):
        return not_looked_up(f"the service knows none of the {len(packages)} packages")
    known = f"{len(packages) - len(unknown)} packages have no known weakness"
    beside = f"; not looked up: {', '.join(unknown)}" if unknown else ""
    return Outcome(f"{known}{beside}.", 0)


def not_looked_up(reason: str) -> Outcome:
    """Return that nothing is known, and why."""
    return Outcome(f"NOT LOOKED UP, whether packages have known weaknesses: {reason}.", 0)


def main() -> int:
    """Say what is known; return the status to end with."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("locked", type=Path, help="a requirements file with hashes")
    parser.add_argument("--seconds", type=float, default=SECONDS, help="how long to wait")
    options = parser.parse_args()
    outcome = audit(options.locked, options.seconds)
    sys.stdout.write(f"{outcome.said}\n")
    return outcome.status


if __name__ == "__main__":
    sys.exit(main())
