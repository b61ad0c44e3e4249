"""The order of work on an install sheet speaks of what the opening has, and sizes stand once."""

import json

import pytest

from optimiser.domain.opening import OpeningKind
from optimiser.rule_sets import RuleSetError, read_toml
from service.install_documents import write_install_sheets_document
from tests.unit.rule_set_texts import SOUND


def sheet_of(**opening: object) -> str:
    stated = {"mark": "X-1", "size": "36 x 80", "finish": "zinc"} | opening
    document = write_install_sheets_document(json.dumps({"openings": [stated]}).encode(), True)
    return " ".join(document.decode().split())


def test_a_fixed_window_has_no_leaf_to_take_off_or_to_cut() -> None:
    text = sheet_of(kind="fixed-window")
    assert "Take the leaf off" not in text
    assert "Cut groove and rabbet" not in text
    assert "Fasten the members on the frame" in text


@pytest.mark.parametrize("kind", ["single-door", "awning-window", "casement-window"])
def test_cuts_are_named_by_the_edges_that_every_kind_has(kind: str) -> None:
    text = sheet_of(kind=kind)
    assert "cut the rabbets along every edge where members nest, with a rabbet bit." in text
    assert "Cut the groove in the hinged edge of the leaf with a slot cutter." in text


def test_the_widths_of_unequal_leaves_stand_once() -> None:
    text = sheet_of(kind="pair-of-doors", size="60 x 80", inactive_leaf_width=24)
    sizes = text.split("Net sizes: ")[1].split(" KNOW FIRST")[0]
    assert sizes == (
        "opening width 60 in, opening height 80 in, active leaf width 36 in, leaf height 80 in, "
        "inactive leaf width 24 in"
    )
    assert text.count("Active leaf width: 36 in = ") == 1


STEP = """
[[steps]]
{kinds}statement = "Look."
source = "common practice, no source"
"""


def test_a_step_is_for_every_kind_unless_it_names_some() -> None:
    (step,) = read_toml(SOUND + STEP.format(kinds="")).steps
    assert step.kinds == tuple(OpeningKind)
    (step,) = read_toml(SOUND + STEP.format(kinds='kinds = ["fixed-window"]\n')).steps
    assert step.kinds == (OpeningKind.FIXED_WINDOW,)


def test_a_step_for_no_kind_is_refused() -> None:
    with pytest.raises(RuleSetError) as caught:
        read_toml(SOUND + STEP.format(kinds="kinds = []\n"))
    assert [(fault.path, fault.code) for fault in caught.value.faults] == [
        (("steps", 0, "kinds"), "not-a-list")
    ]
