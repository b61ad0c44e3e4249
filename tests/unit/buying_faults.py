"""Orders with one thing wrong, and the faults that come of them."""

import json
from typing import Any

import pytest

from service.jobs.outcomes import PlanJob
from service.jobs.work import carry_out
from service.mapping.reading import read_order
from service.problems import Problem, write_pointer
from service.use_cases import settle_outcome
from service.wire.order import Order
from tests.harbour_row import Wire, ten_doors

NOT_MONEY = (
    "is not a price; write digits and a decimal point, 0 or more, with at most 9 digits before "
    'the point and 6 after it, such as "12.40".'
)
MONEY_AS_NUMBER = 'is a number; send money as a text, such as "12.40", so that no digit is lost.'
NOT_A_MASS = "is not a mass; write a number with its unit: oz, lb, g or kg."


def faults_of(order: Wire) -> list[tuple[str, str, str]]:
    """Return pointer, code and message of what a request for a plan is refused for.

    The same is told beside a fault of form elsewhere, which keeps the planner from seeing it.
    """
    found = refusal_of(order)
    beside = refusal_of(order | {"colour": "red"})
    assert sorted(fault for fault in beside if fault[0] != "/colour") == sorted(found)
    return found


def refusal_of(order: Wire) -> list[tuple[str, str, str]]:
    body = json.dumps(order).encode()
    with pytest.raises(Problem) as refused:
        outcome = carry_out(PlanJob(order=read_order(body, Order), as_text=False))
        settle_outcome(outcome, body)
    assert refused.value.kind.code == "invalid-order"
    return [(write_pointer(f.path), f.code, f.message) for f in refused.value.faults]


def order_with(path: str, value: Any, *, order: Wire | None = None) -> Wire:
    """Return ten doors with a value put where a pointer leads."""
    order = order or ten_doors()
    *inner, last = (int(part) if part.isdigit() else part for part in path.split("/")[1:])
    holder: Any = order
    for part in inner:
        holder = holder[part]
    holder[last] = value
    return order


BAR, KIT, PACK = (f"/catalogues/0/{part}/0" for part in ("stock_lengths", "kits", "fastener_packs"))


STANDARD_KIT = {
    "sku": "LT-3068",
    "product": "interlocking-strip",
    "finish": "zinc",
    "lengths": [{"length": 84, "count": 3}, {"length": 40, "count": 2}],
    "price": "38.50",
}


BY_VALUE: Wire = {
    "basis": "value",
    "tiers": [{"from_value": "0", "charge": "5"}, {"from_value": "100", "charge": "9"}],
}


OFFCUT = {"id": "R-01", "product": "interlocking-strip", "finish": "zinc", "length": 50}


SPLICE = {
    "product": "interlocking-strip",
    "edges": ["hinge-jamb"],
    "least_segment": 12,
    "position_step": 1,
}


ZINC = {"product": "interlocking-strip", "finish": "zinc"}
