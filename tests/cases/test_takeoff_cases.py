"""Worked cases of the takeoff: one opening each, with the arithmetic in words beside it."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.clearances import Clearances
from optimiser.domain.opening import OPTIONS, Edge, Opening, OpeningKind, SizeOf
from optimiser.domain.order import Order, Policy
from optimiser.rule_sets import known_rule_sets
from optimiser.takeoff import take_off
from optimiser.units.lengths import LengthUnit, parse_length

FILES = sorted(Path(__file__).parent.joinpath("takeoff").glob("*.yaml"))
CASES = [case for file in FILES for case in yaml.safe_load(file.read_text(encoding="utf-8"))]
RULE_SETS = {rule_set.id: rule_set for rule_set in known_rule_sets()}
LENGTHS = ("width", "height", "lower_height", "inactive_leaf_width", "fastener_spacing")
CHOICES = {"kind": OpeningKind, "size_of": SizeOf, **OPTIONS}


def length(text: str) -> int:
    return parse_length(text, LengthUnit.MILLIMETRE)


def opening_of(stated: dict[str, Any]) -> Opening:
    fields: dict[str, Any] = {"mark": "D-1", "finish": "zinc"}
    for name, value in stated.items():
        if name in LENGTHS:
            fields[f"{name}_nm"] = length(value)
        elif name == "edges":
            fields[name] = frozenset(Edge(edge) for edge in value)
        elif name == "finishes":
            fields[name] = tuple(value.items())
        elif name in CHOICES:
            fields[name] = CHOICES[name](value)
        else:
            fields[name] = tuple(value) if name == "also" else value
    return Opening(**fields)


def policy_of(stated: dict[str, Any]) -> Policy:
    fields: dict[str, Any] = {}
    for name, value in stated.items():
        match name:
            case "clearances":
                gaps = {f"{gap}_nm": length(text) for gap, text in value.items()}
                fields[name] = Clearances(**gaps)
            case "rule_settings":
                fields[name] = tuple((setting, length(text)) for setting, text in value.items())
            case _:
                fields[f"{name}_nm"] = length(value)
    return Policy(**fields)


def test_there_are_cases_for_every_rule_of_every_rule_set() -> None:
    fired = {
        piece.rule_id
        for case in CASES
        for piece in take_off(
            Order(
                openings=(opening_of(case["opening"]),),
                catalogues=(),
                policy=policy_of(case.get("policy", {})),
            )
        )
        .openings[0]
        .pieces
    }
    assert {rule.id for rule_set in RULE_SETS.values() for rule in rule_set.rules} - fired == set()


def test_there_are_cases_for_every_kind_of_opening() -> None:
    assert {case["opening"]["kind"] for case in CASES} == set(OpeningKind)
    assert len({case["case"] for case in CASES}) == len(CASES)


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_takeoff_is_as_worked_by_hand(case: dict[str, Any]) -> None:
    assert set(case) <= {"case", "source", "arithmetic", "opening", "policy", "expect"}
    assert case["source"] and case["arithmetic"]
    catalogue = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
    takeoff = take_off(
        Order(
            openings=(opening_of(case["opening"]),),
            catalogues=(catalogue,),
            policy=policy_of(case.get("policy", {})),
        )
    )
    (opening,) = takeoff.openings
    rule_set = RULE_SETS[opening.opening.rule_set]
    for name, expected in case["expect"].items():
        match name:
            case "runs":
                assert opening.runs == expected
            case "running_length":
                assert opening.running_length_nm == length(expected)
            case "pieces":
                shown = [
                    {
                        "edge": piece.edge,
                        "member": piece.member,
                        "lies_on": piece.lies_on,
                        "length": piece.length_nm,
                        "count": piece.count,
                        "product": piece.material.product,
                        "fastener": piece.fastener or "none",
                    }
                    for piece in opening.pieces
                ]
                usual = {"product": rule_set.product, "fastener": rule_set.fastener}
                assert shown == [usual | p | {"length": length(p["length"])} for p in expected]
            case "fasteners":
                counted = [
                    {
                        "fastener": count.pool.fastener,
                        "spacing": count.spacing_nm,
                        "by_running_length": count.by_running_length,
                        "per_piece": count.per_piece,
                    }
                    for count in opening.fasteners
                ]
                several = expected if isinstance(expected, list) else [expected]
                assert counted == [
                    {"fastener": rule_set.fastener} | e | {"spacing": length(e["spacing"])}
                    for e in several
                ]
            case "finishes":
                finishes = {
                    piece.material.product: piece.material.finish for piece in opening.pieces
                }
                assert finishes == expected
            case "notices":
                assert [notice.code for notice in takeoff.notices] == expected
            case _:
                pytest.fail(f"nothing checks {name}")
