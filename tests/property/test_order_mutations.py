"""Orders changed at random: each is taken, or refused with faults that lead somewhere."""

import copy
import json
import random
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from optimiser.domain.faults import Fault
from optimiser.validation import find_faults
from service.mapping.reading import read_order
from service.problems import Problem
from service.wire.order import Order, TakeoffOrder

EXAMPLE = json.loads(
    (Path(__file__).parents[2] / "openapi/examples/harbour-row-two-suppliers.json").read_text(
        encoding="utf-8"
    )
)
ODD = (
    *(None, True, 0, -1, 1, 2.5, "", "x", "0 lb", "-1", "1e9", "12.40", [], {}, [1], [{}]),
    *({"a": 1}, "R-01", "LK-Z", "zinc", "1 mm", "999 kg", 10**7, "EUR", "volume", "3 in", "head"),
)
ORDERS = 250


def paths_within(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    members = value.items() if isinstance(value, dict) else enumerate(value)
    for name, part in members:
        yield (*path, name)
        if isinstance(part, dict | list):
            yield from paths_within(part, (*path, name))


def lead(value: Any, path: tuple[str | int, ...]) -> Any:
    for part in path:
        value = value[part]
    return value


def change(order: Any, draw: random.Random) -> Any:
    """Return a copy of an order with one to four values left out, replaced, added or repeated."""
    changed = copy.deepcopy(order)
    for _ in range(draw.choice((1, 1, 2, 4))):
        paths = list(paths_within(changed))
        path = draw.choice(paths)
        holder, manner = lead(changed, path[:-1]), draw.random()
        if manner < 0.2:
            del holder[path[-1]]
        elif manner < 0.7:
            holder[path[-1]] = copy.deepcopy(draw.choice(ODD))
        elif manner < 0.85 and isinstance(holder, list):
            holder.append(copy.deepcopy(holder[path[-1]]))
        elif manner < 0.9 and isinstance(holder, dict):
            holder["odd"] = 1
        else:
            other = copy.deepcopy(lead(changed, draw.choice(paths)))
            holder[path[-1]] = other
    return changed


def leads_somewhere(fault: Fault, order: Any) -> bool:
    """Return whether a fault is told of a value, or of a member that its object lacks."""
    try:
        holder = lead(order, fault.path[:-1])
        return not fault.path or isinstance(holder, dict) or lead(order, fault.path) is not holder
    except (KeyError, IndexError, TypeError):
        return False


@pytest.mark.parametrize("model", [Order, TakeoffOrder])
def test_a_changed_order_is_taken_or_refused_with_faults_that_lead_somewhere(
    model: type[Order] | type[TakeoffOrder],
) -> None:
    taken = 0
    for seed in range(ORDERS):
        order = change(EXAMPLE, random.Random(seed))
        try:
            read = read_order(json.dumps(order).encode(), model)
        except Problem as refused:
            assert refused.faults, seed
            assert len(set(refused.faults)) == len(refused.faults), (seed, refused.faults)
            for fault in refused.faults:
                assert leads_somewhere(fault, order), (seed, fault)
                assert fault.message.endswith("."), (seed, fault)
        else:
            taken += 1
            find_faults(read)
    assert 0 < taken < ORDERS
