"""The same order in inches and in millimetres is the same order."""

import json
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.order import Order
from optimiser.planning import make_plan
from optimiser.units.lengths import LengthUnit
from service.mapping.reading import read_order
from service.wire.order import Order as WireOrder

fixed = settings(max_examples=20, deadline=None, derandomize=True)
sizes = st.tuples(st.integers(24 * 64, 48 * 64), st.integers(60 * 64, 83 * 64))
"""Widths and heights in sixty-fourths of an inch."""


def in_inches(sixty_fourths: int) -> str:
    whole, part = divmod(sixty_fourths, 64)
    return f"{whole} {part}/64 in" if part else f"{whole} in"


def in_millimetres(sixty_fourths: int) -> str:
    nanometres = sixty_fourths * Fraction(25_400_000, 64)
    assert nanometres.denominator == 1
    return f"{int(nanometres) // 10**6}.{int(nanometres) % 10**6:06d} mm"


def state(width: int, height: int, length: Callable[[int], str], unit: str) -> Order:
    """Return an order with every length in one unit."""
    inch = 64
    strip = {"product": "interlocking-strip", "finish": "zinc"}
    order = {
        "unit": unit,
        "currency": "USD",
        "openings": [
            {
                "mark": "D-1",
                "kind": "single-door",
                "size": {"width": length(width), "height": length(height)},
                "quantity": 2,
                "rule_set": "interlocking-strip",
                "finish": "zinc",
                "fastener_spacing": length(3 * inch),
            }
        ],
        "catalogues": [
            {
                "supplier": "Larkmoor Strip & Seal",
                "currency": "USD",
                "stock_lengths": [
                    {**strip, "sku": "LS-84", "length": length(84 * inch), "price": "10.00"},
                    {**strip, "sku": "LS-120", "length": length(120 * inch), "price": "13.10"},
                ],
                "fastener_packs": [
                    {
                        "sku": "LN-1",
                        "fastener": "strip-nail",
                        "contents": {"count": 130},
                        "price": "4.00",
                    }
                ],
            }
        ],
        "rack": {"offcuts": [{**strip, "id": "R-1", "length": length(50 * inch + 1)}]},
        "policy": {
            "kerf": length(4),
            "end_trim": length(8),
            "keep_drops": {
                "least_length": length(24 * inch),
                "credit": {"price": "0.02", "length": length(inch)},
            },
            "alternatives": False,
        },
    }
    return read_order(json.dumps(order).encode(), WireOrder)


@fixed
@given(sizes)
def test_an_order_in_millimetres_is_read_as_the_one_in_inches(size: tuple[int, int]) -> None:
    inches, millimetres = state(*size, in_inches, "in"), state(*size, in_millimetres, "mm")
    assert replace(millimetres, unit=LengthUnit.INCH) == inches


@settings(fixed, max_examples=4)
@given(sizes)
def test_a_plan_in_millimetres_costs_and_cuts_as_the_one_in_inches(size: tuple[int, int]) -> None:
    first = make_plan(state(*size, in_inches, "in"))
    second = make_plan(state(*size, in_millimetres, "mm"))
    assert (second.total, second.decision) == (first.total, first.decision)
