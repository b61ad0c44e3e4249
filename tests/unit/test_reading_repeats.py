"""Repeated names are told beside faults that keep the library from seeing the order."""

import json
from pathlib import Path

import pytest

from service.mapping.reading import read_order
from service.problems import Problem
from service.wire.order import Order

EXAMPLE = Path(__file__).parents[2] / "openapi" / "examples" / "ten-doors.json"


@pytest.mark.parametrize("price", [2.85, "two"])
def test_a_repeated_sku_and_mark_are_told_beside_a_price_of_the_wrong_form(
    price: float | str,
) -> None:
    raw = json.loads(EXAMPLE.read_text())
    catalogue = raw["catalogues"][0]
    catalogue["fastener_packs"][0]["price"] = price
    catalogue["kits"][1]["sku"] = catalogue["kits"][0]["sku"]
    raw["openings"].append(dict(raw["openings"][0]))
    with pytest.raises(Problem) as refused:
        read_order(json.dumps(raw).encode(), Order)
    told = {(fault.path, fault.code) for fault in refused.value.faults}
    assert (("openings", 1, "mark"), "duplicate-mark") in told
    assert (("catalogues", 0, "kits", 1, "sku"), "repeated-sku") in told
    assert ("catalogues", 0, "fastener_packs", 0, "price") in {path for path, _ in told}
    assert len(told) == 3


def test_a_repeated_mark_is_told_beside_a_length_that_cannot_be_read() -> None:
    raw = json.loads(EXAMPLE.read_text())
    raw["openings"].append({**raw["openings"][0], "fastener_spacing": "3 cubits"})
    with pytest.raises(Problem) as refused:
        read_order(json.dumps(raw).encode(), Order)
    assert {fault.path for fault in refused.value.faults} == {
        ("openings", 1, "fastener_spacing"),
        ("openings", 1, "mark"),
    }
