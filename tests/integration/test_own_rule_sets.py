"""Rule sets of the user's own, in a request and in files. All of them are invented."""

import copy
import json
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.command_line import main
from service.examples import examples_folder
from tests.harbour_row import Wire
from tests.unit.schedule_files import csv_bytes

EXAMPLES = examples_folder()
assert EXAMPLES is not None
TOML = EXAMPLES / "harbour-row-strip.toml"
EXAMPLE: Wire = json.loads((EXAMPLES / "own-rule-set.json").read_text(encoding="utf-8"))
POSTS = pytest.mark.parametrize("path", ["/v1/plans", "/v1/takeoffs"])
HEAD_OF_FRAME, HEAD_OF_LEAF = 4, 5
"""Positions of the example's rules for the head."""


def order_with(**members: Any) -> Wire:
    """Return the example order with members of its rule set replaced."""
    order = copy.deepcopy(EXAMPLE)
    order["rule_sets"][0].update(members)
    return order


def refused(client: httpx.Client, order: Wire, path: str = "/v1/takeoffs") -> set[tuple[str, str]]:
    answer = client.post(path, json=order)
    assert answer.status_code == 422, answer.text
    assert answer.json()["code"] == "invalid-order"
    return {(fault["pointer"], fault["message"]) for fault in answer.json()["faults"]}


@POSTS
def test_openings_are_taken_off_by_the_rule_set_that_the_order_brings(
    client: httpx.Client, path: str
) -> None:
    answer = client.post(path, json=EXAMPLE)
    assert answer.status_code == 200, answer.text
    # By hand: 36 in + 3/4 in, and for the pair 72 in + 3/4 in and twice 72 in ÷ 2 + 3/4 in.
    lengths = {
        (opening["mark"], piece["member"]): (piece["count"], piece["length"]["text"])
        for opening in answer.json()["openings"]
        for piece in opening["pieces"]
        if piece["edge"] == "head"
    }
    assert lengths == {
        ("H-201", "frame member"): (1, "36 3/4 in"),
        ("H-201", "leaf member"): (1, "36 3/4 in"),
        ("H-210", "frame member"): (1, "72 3/4 in"),
        ("H-210", "leaf member"): (2, "36 3/4 in"),
    }


@POSTS
def test_the_reasons_cite_the_users_rule_and_its_source(client: httpx.Client, path: str) -> None:
    answer = client.post(path, json=EXAMPLE).json()
    sentences = [r["sentence"] for r in answer["reasons"] if r["code"] == "rule-fired"]
    assert (
        "H-201: The head takes two nested members: this one is on the frame, over the full width "
        "and the allowance. Opening width 36 in + head allowance 3/4 in = 36 3/4 in: 1 piece per "
        "opening (rule harbour-row-strip.head.frame; invented for the example Harbour Row)."
    ) in sentences


def test_the_policy_states_a_setting_of_the_users_rule_set(client: httpx.Client) -> None:
    order = copy.deepcopy(EXAMPLE)
    order["policy"]["rule_settings"] = {"harbour-row-strip.head-allowance": "1 in"}
    taken = client.post("/v1/takeoffs", json=order).json()["openings"][0]
    lengths = [p["length"]["text"] for p in taken["pieces"] if p["edge"] == "head"]
    assert lengths == ["37 in", "37 in"]


def test_the_users_rule_set_goes_beside_a_built_in_one(client: httpx.Client) -> None:
    order = copy.deepcopy(EXAMPLE)
    order["openings"] = [order["openings"][0] | {"also": ["sweep"]}]
    (taken,) = client.post("/v1/takeoffs", json=order).json()["openings"]
    assert [piece["rule_set"] for piece in taken["pieces"]] == ["harbour-row-strip"] * 5 + ["sweep"]


@POSTS
def test_every_fault_of_a_rule_set_is_told_at_once(client: httpx.Client, path: str) -> None:
    order = copy.deepcopy(EXAMPLE)
    own = order["rule_sets"][0]
    rules = own["rules"]
    rules[0]["edge"] = "top"
    rules[1]["member"] = " "
    rules[2]["length"] = "opening-depth"
    del rules[3]["source"]
    rules[HEAD_OF_FRAME]["per"] = "sash"
    rules[HEAD_OF_FRAME]["length"]["plus"] = {"lap": 1}
    rules[HEAD_OF_LEAF]["id"] = "single-door.hinge-jamb"
    rules[HEAD_OF_LEAF]["yields_to"] = ["treshold"]
    rules[HEAD_OF_LEAF]["length"] = {
        "plus": {"head-allowance": 1},
        "less": {"head-allowance": 2},
    }
    own["spacing"]["length"] = "2"
    own["colour"] = "red"
    order["rule_sets"].append(copy.deepcopy(EXAMPLE["rule_sets"][0]) | {"id": "sweep", "rules": []})
    order["rule_sets"].append("interlocking-strip")
    root = "Rule set harbour-row-strip"
    assert refused(client, order, path) == {
        (
            "/rule_sets/0/colour",
            f"{root}, colour: there is no such member; remove it, or correct its name.",
        ),
        (
            "/rule_sets/0/rules/0/edge",
            f"{root}, rule harbour-row-strip.hinge-jamb, edge: \"top\" is not known; send 'head', "
            "'hinge-jamb', 'strike-jamb', 'jamb', 'sill', 'meeting-stiles' or 'meeting-rail'.",
        ),
        (
            "/rule_sets/0/rules/1/member",
            f'{root}, rule harbour-row-strip.pair.hinge-jamb, member: " " does not have the form '
            "that is asked for; send a text that matches "
            r"^[^\u0000-\u0020\u007f]([^\u0000-\u001f\u007f]*[^\u0000-\u0020\u007f])?$.",
        ),
        (
            "/rule_sets/0/rules/2/length",
            f'{root}, rule harbour-row-strip.strike-jamb.frame, length: "opening-depth" is not '
            "known; send 'opening-width', 'opening-height', 'leaf-width', 'leaf-height', "
            "'upper-leaf-height', 'lower-leaf-height', 'sash-width', 'upper-sash-height' or "
            "'lower-sash-height'.",
        ),
        (
            "/rule_sets/0/rules/3/source",
            f"{root}, rule harbour-row-strip.strike-jamb.leaf, source: is missing; send it.",
        ),
        (
            "/rule_sets/0/rules/4/per",
            f"{root}, rule harbour-row-strip.head.frame, per: is sash, which a single-door does "
            "not have; only these have it: double-hung-window.",
        ),
        (
            "/rule_sets/0/rules/4/length",
            f"{root}, rule harbour-row-strip.head.frame, length: names the setting lap, which is "
            "not in settings; state it there, or name one of: head-allowance.",
        ),
        (
            "/rule_sets/0/rules/5/length",
            f"{root}, rule single-door.hinge-jamb, length: comes to -3/4 in: its settings add "
            "3/4 in and take off 1 1/2 in; add more, or take off less.",
        ),
        (
            "/rule_sets/0/rules/5/id",
            f"{root}, rule single-door.hinge-jamb, id: the id “single-door.hinge-jamb” is that of "
            "a rule of the rule set interlocking-strip; give another, such as "
            "“harbour-row-strip.single-door.hinge-jamb”.",
        ),
        (
            "/rule_sets/0/rules/5/yields_to",
            f"{root}, rule single-door.hinge-jamb, yields_to: names the rule set “treshold”, "
            "which is not known; give one of: cushion-strip, double-hung-set, harbour-row-strip, "
            "interlocking-strip, perimeter-gasket, spring-metal, sweep, threshold.",
        ),
        (
            "/rule_sets/0/spacing/length",
            f"{root}, spacing.length: is '2'; give a length above 0, with its unit.",
        ),
        ("/rule_sets/1/rules", "Rule set sweep, rules: has 0 entries; send 1 or more."),
        (
            "/rule_sets/1/id",
            "Rule set sweep, id: the id “sweep” is that of a built-in rule set; give another.",
        ),
        (
            "/rule_sets/2",
            'Rule set number 3: "interlocking-strip" is not an object; send one.',
        ),
    }


def test_faults_of_rule_sets_and_of_openings_are_told_together(client: httpx.Client) -> None:
    order = order_with(id="sweep")
    order["openings"] = [order["openings"][0] | {"rule_set": "felt"}]
    assert {pointer for pointer, _ in refused(client, order)} == {
        "/rule_sets/0/id",
        "/openings/0/rule_set",
    }
    order = order_with(statement="\u00a0")
    order["openings"][0]["size"] = "tall"
    assert {pointer for pointer, _ in refused(client, order)} == {
        "/rule_sets/0/statement",
        "/openings/0/size",
    }


def test_two_rule_sets_of_an_order_may_not_share_their_ids(client: httpx.Client) -> None:
    order = copy.deepcopy(EXAMPLE)
    order["rule_sets"] *= 2
    found = refused(client, order)
    assert (
        "/rule_sets/1/id",
        "Rule set harbour-row-strip: the id “harbour-row-strip” is that of another rule set of "
        "this order; give another.",
    ) in found
    assert {p for p, _ in found} == {"/rule_sets/1/id"} | {
        f"/rule_sets/1/rules/{n}/id" for n in range(6)
    }


def test_a_piece_that_the_users_rule_would_leave_without_length_is_refused(
    client: httpx.Client,
) -> None:
    order = copy.deepcopy(EXAMPLE)
    order["rule_sets"][0]["rules"][HEAD_OF_FRAME]["length"] = {
        "of": "opening-width",
        "less": {"head-allowance": 60},
    }
    assert refused(client, order) == {
        (
            "/openings/0/size",
            "Opening H-201: head, frame member would be -9 in long, after 60 × head allowance "
            "45 in; give a larger size, or change harbour-row-strip.head-allowance in "
            "policy.rule_settings.",
        )
    }


def test_rule_sets_are_limited_in_number_and_size(client: httpx.Client) -> None:
    order = copy.deepcopy(EXAMPLE)
    order["rule_sets"] *= 11
    assert {pointer for pointer, _ in refused(client, order)} == {"/rule_sets"}
    order = order_with(rules=EXAMPLE["rule_sets"][0]["rules"] * 34)
    assert "/rule_sets/0/rules" in {pointer for pointer, _ in refused(client, order)}
    order = order_with(statement="x" * 1_001)
    assert {pointer for pointer, _ in refused(client, order)} == {"/rule_sets/0/statement"}


def test_null_stands_for_what_is_left_out(client: httpx.Client) -> None:
    order = copy.deepcopy(EXAMPLE)
    for rule in order["rule_sets"][0]["rules"]:
        rule |= {"product": None, "fastener": None, "spacing": None, "end_distance": None}
        rule.setdefault("runs", None)
    before = client.post("/v1/takeoffs", json=EXAMPLE).json()
    assert client.post("/v1/takeoffs", json=order).json() == before


def test_the_command_takes_rule_sets_from_a_file(
    tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    alone = {name: value for name, value in EXAMPLE.items() if name != "rule_sets"}
    path = tmp_path / "order.json"
    path.write_text(json.dumps(alone), encoding="utf-8")
    listed = tmp_path / "sets.json"
    listed.write_text(json.dumps(EXAMPLE["rule_sets"]), encoding="utf-8")
    assert main(["plan", str(EXAMPLES / "own-rule-set.json"), "--json"]) == 0
    expected = json.loads(capfdbinary.readouterr().out)
    for file in (TOML, listed):
        assert main(["plan", str(path), "--json", "--rule-sets", str(file)]) == 0
        made = json.loads(capfdbinary.readouterr().out)
        for plan in (expected, made):
            plan["certificate"].pop("seconds", None)
        assert made == expected


def test_the_command_names_the_file_and_the_place_of_every_fault(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    text = TOML.read_text(encoding="utf-8")
    wrong = tmp_path / "wrong.toml"
    wrong.write_text(text.replace('"head"', '"top"', 1).replace('"2 in"', "2024-01-01"), "utf-8")
    listed = tmp_path / "sets.json"
    listed.write_text(json.dumps([EXAMPLE["rule_sets"][0] | {"id": "sweep"}, 7]), "utf-8")
    broken = tmp_path / "broken.toml"
    broken.write_text("id = ", "utf-8")
    order = str(EXAMPLES / "own-rule-set.json")
    files = [part for file in (wrong, listed, broken) for part in ("--rule-sets", str(file))]
    assert main(["takeoff", order, *files]) == 3
    assert capsys.readouterr().err.splitlines() == [
        "/wrong.toml/rules/4/edge: wrong.toml: Rule set harbour-row-strip, rule "
        "harbour-row-strip.head.frame, edge: \"top\" is not known; send 'head', 'hinge-jamb', "
        "'strike-jamb', 'jamb', 'sill', 'meeting-stiles' or 'meeting-rail'.",
        "/wrong.toml/spacing/length: wrong.toml: Rule set harbour-row-strip, spacing.length: is "
        "no length: “2024-01-01” is not a length; write a number with an optional unit, such as "
        "36 1/2 in, 3'-0\", 914.4 mm or 0.9144 m.",
        "/sets.json/1: sets.json: Rule set number 2: 7 is not an object; send one.",
        "/sets.json/0/id: sets.json: Rule set sweep, id: the id “sweep” is that of a built-in "
        "rule set; give another.",
        "/broken.toml: broken.toml: not TOML: Invalid value (at end of document); correct the "
        "file there.",
    ]
    assert main(["takeoff", order, "--rule-sets", str(tmp_path / "none.toml")]) == 6


SCHEDULE = csv_bytes(
    [["Mark", "Type", "Size", "Finish", "Rule set"], ["D-1", "single", "3068", "zinc", "ours"]]
).replace(b"ours", b"harbour-row-strip")


def test_a_schedule_names_the_users_rule_set(
    client: httpx.Client, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    def send(options: Wire) -> httpx.Response:
        return client.post(
            "/v1/schedules",
            params={"options": json.dumps(options)},
            content=SCHEDULE,
            headers={"content-type": "text/csv"},
        )

    assert send({}).json()["faults"][0]["pointer"] == "/rows/2/E"
    read = send({"rule_sets": ["harbour-row-strip"]})
    assert read.status_code == 200, read.text
    assert read.json()["openings"][0]["rule_set"] == "harbour-row-strip"
    path = tmp_path / "schedule.csv"
    path.write_bytes(SCHEDULE)
    assert main(["schedule", str(path)]) == 3
    capfdbinary.readouterr()
    assert main(["schedule", str(path), "--rule-sets", str(TOML)]) == 0
    written = json.loads(capfdbinary.readouterr().out)
    assert written["openings"] == read.json()["openings"]
