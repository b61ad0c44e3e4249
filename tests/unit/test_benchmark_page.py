"""The page of results: what is written to it reads as it should."""

from pathlib import Path
from xml.etree import ElementTree

import pytest

from tests.benchmark.order_charts import draw_curve
from tests.benchmark.order_tables import (
    Aim,
    Measured,
    list_aims,
    seconds_until,
    table_of_curve,
    table_of_rivals,
)
from tests.benchmark.results_page import table, write_section

PROVED = {
    "ended": True,
    "openings": 50,
    "lengths": 32,
    "pieces": 300,
    "cpu": 0.75,
    "cost": "100.00",
    "bound": "100.00",
    "proved": True,
    "log": [
        [0.25, None, "99.00"],
        [0.5, "100.01", "99.00"],
        [0.6, "100.01", "100.00"],
        [0.75, "100.00", "100.00"],
    ],
}
OPEN = PROVED | {"cpu": 8.0, "bound": "99.00", "proved": False, "log": PROVED["log"][:2]}


def test_a_gap_is_reached_when_cost_and_bound_of_that_moment_are_so_near() -> None:
    assert seconds_until(PROVED, 2.0) == 0.5
    assert seconds_until(PROVED, 0.01) == 0.6
    assert seconds_until(PROVED, 0.0) == 0.75
    assert seconds_until(OPEN, 0.0) is None


def test_an_aim_counts_the_draws_that_reach_it_in_time_and_shows_the_slowest() -> None:
    measured = Measured(openings=50, keen_kits=False, limit=8.0, plans=[PROVED, PROVED, OPEN])
    aim = Aim(openings=50, gap_percent=0.0, seconds=0.8)
    assert list_aims([aim], [measured]) == [
        "| aim                         | kits  | reached |        CPU s |",
        "| --------------------------- | ----- | ------: | -----------: |",
        "| 50 openings proved in 0.8 s | usual |  2 of 3 | 0.75 (never) |",
    ]


def test_a_rival_that_found_nothing_is_told_from_one_that_was_not_built() -> None:
    measured = Measured(openings=50, keen_kits=True, limit=8.0, plans=[PROVED])
    measured.rivals = {
        "cp-sat": {"ended": True, "variables": 9, "cents": 11_000, "proved": False, "cpu": 1.5},
        "cbc": {"ended": True, "variables": 5_000_000, "too_large": True},
        "first-fit": {"ended": True, "cents": 12_500, "proved": False, "cpu": 0.075},
    }
    rows = [
        [cell.strip() for cell in line.split("|")[4:-1]] for line in table_of_rivals([measured])
    ]
    assert rows[-3:] == [
        ["CP-SAT", "9", "110.00", "1.1000", "1.5", "2", "", "not proved"],
        ["PuLP with CBC", "5,000,000", "none", "", "", "", "", "not built: so many variables"],
        ["first-fit decreasing", "", "125.00", "1.2500", "0.075", "0.1", "", "rule of thumb"],
    ]


def test_a_rival_below_the_bound_contradicts_the_plan() -> None:
    measured = Measured(openings=50, keen_kits=False, limit=8.0, plans=[PROVED])
    measured.rivals = {"first-fit": {"ended": True, "cents": 9_999, "proved": False, "cpu": 0.1}}
    assert list(measured.contradictions()) == [
        "50 openings, kits usual: first-fit contradicts the plan"
    ]


def test_a_table_sets_words_left_and_figures_right() -> None:
    assert list(table(["what", "s"], [["bars", "0.5"], ["packs", "12 (never)"]])) == [
        "| what  |          s |",
        "| ----- | ---------: |",
        "| bars  |        0.5 |",
        "| packs | 12 (never) |",
    ]


def test_a_section_is_written_between_its_marks_and_nothing_else_is_touched(tmp_path: Path) -> None:
    page = tmp_path / "RESULTS.md"
    page.write_text("before\n<!-- a: begin -->\nold\n<!-- a: end -->\nafter\n", encoding="utf-8")
    write_section(tmp_path, "a", ["new", ""])
    text = "before\n<!-- a: begin -->\n\nnew\n\n<!-- a: end -->\nafter\n"
    assert page.read_text(encoding="utf-8") == text
    with pytest.raises(ValueError, match="no section between <!-- b: begin -->"):
        write_section(tmp_path, "b", ["new"])


def test_the_curve_marks_points_that_are_not_proved_with_an_open_circle() -> None:
    by_lengths = [[PROVED | {"lengths": lengths, "openings": 2_000}] for lengths in (8, 64)]
    by_openings = [[PROVED], [OPEN | {"openings": 5_000}]]
    svg = ElementTree.fromstring(draw_curve(by_lengths, by_openings, limit=8.0))
    circles = svg.findall("{http://www.w3.org/2000/svg}circle")
    # Four points, and one of each kind in the legend.
    assert [circle.get("fill") for circle in circles].count("#111") == 3 + 1
    assert [circle.get("fill") for circle in circles].count("#fff") == 1 + 1
    lines = list(table_of_curve(by_openings))
    assert lines[-1].split("|")[7].strip() == "0 of 1"
