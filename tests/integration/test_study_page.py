"""The two what-ifs of the page on studies, run as they stand there."""

import re
from pathlib import Path
from textwrap import dedent
from typing import Any

import pytest

from service.settings import Settings
from tests.serving import running_service

PAGE = Path(__file__).parents[2] / "optimiser" / "study" / "README.md"


def snippet(heading: str) -> str:
    """Return the first indented block below a heading."""
    section = PAGE.read_text(encoding="utf-8").split(f"## {heading}\n", 1)[1]
    block = re.match(r"(?:(?:    .*)?\n)+", section)
    assert block is not None
    return dedent(block.group())


def run(source: str) -> list[dict[str, Any]]:
    """Return the table that a snippet makes."""
    names: dict[str, Any] = {}
    exec(compile(source, str(PAGE), "exec"), names)
    table: list[dict[str, Any]] = names["table"]
    return table


@pytest.mark.parametrize("heading", ["In 15 lines, by the library", "In 15 lines, over HTTP"])
def test_a_snippet_has_at_most_15_lines(heading: str) -> None:
    assert len([line for line in snippet(heading).splitlines() if line.strip()]) <= 15


def test_the_snippet_of_the_library_finds_where_nails_come_loose() -> None:
    table = run(snippet("In 15 lines, by the library"))

    # Ten bare kits are 421.30; 16 loose packs cost less than four kits' 9.60 below 2.40 each.
    assert [(row["cents"], str(row["cost"]), row["kits_with_fasteners"]) for row in table] == [
        (None, "459.70", 4),
        ("220", "456.50", 0),
        ("230", "458.10", 0),
        ("240", "459.70", table[3]["kits_with_fasteners"]),
        ("250", "459.70", 4),
        ("260", "459.70", 4),
    ]


def test_the_snippet_over_http_makes_the_same_kind_of_table(tmp_path: Path) -> None:
    settings = Settings(port=0, store=f"sqlite:///{tmp_path}/a.sqlite")
    with running_service(settings) as service:
        source = snippet("In 15 lines, over HTTP")
        assert "http://127.0.0.1:8000" in source
        table = run(source.replace("http://127.0.0.1:8000", service.address))

    assert [(row["scenario"], row["pack"], row["cost"]) for row in table] == [
        ("base", "", "459.70"),
        ("as ordered", "2.00", "453.30"),
        ("as ordered", "2.85", "459.70"),
        ("no kits", "2.00", "463.80"),
        ("no kits", "2.85", "477.40"),
    ]
