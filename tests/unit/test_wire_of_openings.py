"""What an opening and a policy of the wire become in the library."""

import asyncio
import json
from typing import Any

import pytest

from service.references import ByValue
from service.settings import Settings
from service.use_cases import take_off_order


def take_off_json(opening: dict[str, Any], **policy: Any) -> dict[str, Any]:
    stated = {"mark": "D-1", "kind": "single-door", "size": "3068", "finish": "zinc"} | opening
    body = json.dumps({"unit": "in", "openings": [stated], "policy": policy}).encode()
    answer = asyncio.run(take_off_order(ByValue(body=body), Settings(), as_text=False))
    result: dict[str, Any] = json.loads(answer)
    return result


def test_works_under_one_mark_come_with_settings_and_finishes() -> None:
    # By hand: threshold 36 + 2 × 1 = 38 in; sweep 36 − 2 × 1/16 = 35 7/8 in.
    (taken,) = take_off_json(
        {
            "also": ["threshold", "sweep"],
            "threshold": "plain",
            "finishes": {"sweep": "aluminium"},
            "edges": ["sill", "head"],
        },
        rule_settings={"threshold.jamb-notch": 1},
    )["openings"]
    assert taken["also"] == ["threshold", "sweep"]
    assert [
        (p["rule_set"], p["length"]["text"], p["material"]["finish"]) for p in taken["pieces"]
    ] == [
        ("interlocking-strip", "36 in", "zinc"),
        ("interlocking-strip", "36 in", "zinc"),
        ("threshold", "38 in", "zinc"),
        ("sweep", "35 7/8 in", "aluminium"),
    ]


def test_adjustments_of_a_length_are_facts_of_its_rule() -> None:
    taken = take_off_json({"rule_set": "sweep"})
    (fired,) = taken["reasons"]
    assert fired["facts"]["adjustments"] == [
        {"name": "2 × end clearance", "length": {"text": "-1/8 in", "mm": "-3.175"}}
    ]


@pytest.mark.parametrize(
    ("opening", "policy", "height"),
    [
        ({"size_of": "rough-opening"}, {"rough_width": 2, "rough_height": "3 in"}, "77 in"),
        ({"size_of": "nominal"}, {"nominal_height": "1/4", "head": "1/8 in"}, "79 7/8 in"),
    ],
)
def test_datum_of_a_size_is_worked_out_with_the_clearances(
    opening: dict[str, Any], policy: dict[str, Any], height: str
) -> None:
    # By hand: 80 − 3 = 77 in; 80 − 1/4 + 1/8 = 79 7/8 in.
    (taken,) = take_off_json(opening | {"edges": ["hinge-jamb"]}, clearances=policy)["openings"]
    assert [piece["length"]["text"] for piece in taken["pieces"]] == [height]


def test_lower_sash_and_cords_are_read() -> None:
    # By hand: upper sash 60 − 24 = 36, + 2 − 6 = 32 in; lower 24 + 2 = 26 in.
    (taken,) = take_off_json(
        {
            "kind": "double-hung-window",
            "size": {"width": 36, "height": 60},
            "rule_set": "spring-metal",
            "lower_height": "2 ft",
            "sash_cords": "over-pulleys",
            "edges": ["jamb"],
        }
    )["openings"]
    assert [piece["length"]["text"] for piece in taken["pieces"]] == ["32 in", "26 in"]
    assert taken["lower_height"] == {"text": "24 in", "mm": "609.6"}
    assert taken["inactive_leaf_width"] is None


def test_unequal_leaves_of_a_pair_are_read_and_told_leaf_by_leaf() -> None:
    # By hand: 54 − 18 = 36 in for the active leaf.
    taken = take_off_json(
        {
            "kind": "pair-of-doors",
            "size": "54 x 84",
            "inactive_leaf_width": "18 in",
            "edges": ["head"],
        }
    )
    assert [(p["member"], p["length"]["text"]) for p in taken["openings"][0]["pieces"]] == [
        ("frame member", "54 in"),
        ("leaf member, active leaf", "36 in"),
        ("leaf member, inactive leaf", "18 in"),
    ]
    assert taken["openings"][0]["inactive_leaf_width"] == {"text": "18 in", "mm": "457.2"}
    assert taken["openings"][0]["lower_height"] is None
    sentences = [reason["sentence"] for reason in taken["reasons"]]
    assert (
        "D-1: The head takes two nested members: this one is on the leaves, one run cut as one "
        "piece for each leaf. Opening width 54 in − inactive leaf width 18 in = 36 in: 1 piece "
        "per opening (rule pair-of-doors.head.leaf; common practice, no source; one piece for each "
        "leaf, since the leaves open apart)."
    ) in sentences
