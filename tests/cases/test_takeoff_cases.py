"""Worked cases of the takeoff: one opening each, with the arithmetic in words beside it."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.opening import (
    Edge,
    MeetingStiles,
    Opening,
    OpeningKind,
    SizeOf,
    Threshold,
)
from optimiser.domain.order import Order, Policy
from optimiser.takeoff import take_off
from optimiser.units.lengths import LengthUnit, parse_length

FILES = sorted(Path(__file__).parent.joinpath("takeoff").glob("*.yaml"))
CASES = [case for file in FILES for case in yaml.safe_load(file.read_text(encoding="utf-8"))]
CHOICES = {
    "kind": OpeningKind,
    "size_of": SizeOf,
    "meeting_stiles": MeetingStiles,
    "threshold": Threshold,
}


def length(text: str) -> int:
    return parse_length(text, LengthUnit.MILLIMETRE)


def opening_of(stated: dict[str, Any]) -> Opening:
    fields: dict[str, Any] = {"mark": "D-1", "finish": "zinc"}
    for name, value in stated.items():
        if name in ("width", "height", "fastener_spacing"):
            fields[f"{name}_nm"] = length(value)
        elif name == "edges":
            fields[name] = frozenset(Edge(edge) for edge in value)
        else:
            fields[name] = CHOICES[name](value)
    return Opening(**fields)


def policy_of(stated: dict[str, str]) -> Policy:
    return Policy(**{f"{name}_nm": length(value) for name, value in stated.items()})  # type: ignore[arg-type]


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
                usual = {"product": "interlocking-strip", "fastener": "strip-nail"}
                assert shown == [usual | p | {"length": length(p["length"])} for p in expected]
            case "fasteners":
                (count,) = opening.fasteners
                assert {
                    "spacing": count.spacing_nm,
                    "by_running_length": count.by_running_length,
                    "per_piece": count.per_piece,
                } == expected | {"spacing": length(expected["spacing"])}
            case "notices":
                assert [notice.code for notice in takeoff.notices] == expected
            case _:
                pytest.fail(f"nothing checks {name}")
