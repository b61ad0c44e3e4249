"""Read an order from the bytes of a request or a file, with every fault at once."""

from collections import defaultdict
from collections.abc import Iterator
from typing import Any, TypeVar

from pydantic import BaseModel

from optimiser.domain.faults import Fault
from optimiser.domain.order import Order
from optimiser.domain.repeats import find_duplicate_marks, find_repeated_skus
from optimiser.units.lengths import LengthUnit
from service.json_text import MalformedJson, read_json
from service.mapping.catalogue_in import to_fastener_pack, to_kit, to_stock_length
from service.mapping.faults import FaultGatherer, Path, look_up
from service.mapping.order_in import to_opening, to_order, to_policy
from service.mapping.validation import validate
from service.problems import INVALID_ORDER, MALFORMED_JSON, Problem, count_faults
from service.wire import catalogue as wire_catalogue
from service.wire import limits
from service.wire.opening import Opening
from service.wire.order import Order as WireOrder
from service.wire.order import Policy, TakeoffOrder

M = TypeVar("M", bound=BaseModel)


def read_order(
    body: bytes,
    model: type[WireOrder] | type[TakeoffOrder],
    *,
    longest_time_limit_seconds: float = limits.LONGEST_TIME_LIMIT_SECONDS,
) -> Order:
    """Return the order that a JSON text states.

    Raises:
        Problem: malformed JSON, or an invalid order; every fault that can be told is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    validated = validate(model, raw)
    gatherer = FaultGatherer(raw)
    if isinstance(validated, list):
        gatherer.faults.extend(validated)
        _read_sound_parts(raw, gatherer, longest_time_limit_seconds)
        raise invalid_order([*gatherer.faults, *_find_repeats(raw)])
    order = to_order(validated, gatherer, longest_time_limit_seconds=longest_time_limit_seconds)
    if gatherer.faults:
        raise invalid_order([*gatherer.faults, *_find_repeats(raw)])
    return order


def invalid_order(faults: list[Fault]) -> Problem:
    """Return the problem of an order with these faults."""
    return Problem(INVALID_ORDER, count_faults(tuple(faults)), faults=faults)


_STAND_INS: dict[type[BaseModel], dict[str, Any]] = {
    Opening: {"mark": "-", "kind": "single-door", "size": "3068", "finish": "-"},
    wire_catalogue.StockLength: {
        "sku": "0",
        "product": "-",
        "finish": "-",
        "length": 1,
        "price": "0",
    },
    wire_catalogue.Kit: {"sku": "0", "product": "-", "finish": "-", "price": {}},
    wire_catalogue.FastenerPack: {
        "sku": "0",
        "fastener": "-",
        "contents": {"count": 1},
        "price": "0",
    },
    Policy: {},
}
"""What stands for the required members of an entry that are faulty, while the others are read."""


def _read_sound_parts(raw: Any, gatherer: FaultGatherer, longest_seconds: float) -> None:
    """Look for faults beyond the form in those members of an order whose form is sound."""
    unit = LengthUnit.INCH
    if isinstance(raw, dict) and raw.get("unit") in list(LengthUnit):
        unit = LengthUnit(raw["unit"])
    faulty: dict[Path, set[str | int]] = defaultdict(set)
    for fault in gatherer.faults:
        depth = _entry_depth(fault.path)
        faulty[fault.path[:depth]].update(fault.path[depth : depth + 1])

    def sound(path: Path, model: type[M]) -> M | None:
        entry = look_up(raw, path)
        if not isinstance(entry, dict):
            return None
        members = {name: part for name, part in entry.items() if name not in faulty[path]}
        value = validate(model, {**_STAND_INS[model], **members})
        return None if isinstance(value, list) else value

    def entries(root: Path, model: type[M]) -> Iterator[tuple[Path, M]]:
        listed = look_up(raw, root)
        for position in range(len(listed) if isinstance(listed, list) else 0):
            path = (*root, position)
            if (value := sound(path, model)) is not None:
                yield path, value

    for path, opening in entries(("openings",), Opening):
        to_opening(opening, unit, path, gatherer)
    catalogues = look_up(raw, ("catalogues",))
    for position in range(len(catalogues) if isinstance(catalogues, list) else 0):
        root: Path = ("catalogues", position)
        for path, stock in entries((*root, "stock_lengths"), wire_catalogue.StockLength):
            to_stock_length(stock, unit, path, gatherer)
        for path, kit in entries((*root, "kits"), wire_catalogue.Kit):
            to_kit(kit, unit, path, gatherer)
        for path, pack in entries((*root, "fastener_packs"), wire_catalogue.FastenerPack):
            to_fastener_pack(pack, unit, path, gatherer)
    policy = sound(("policy",), Policy)
    if policy is not None:
        to_policy(policy, unit, gatherer, longest_time_limit_seconds=longest_seconds)


def _find_repeats(raw: Any) -> Iterator[Fault]:
    """Yield the marks and SKUs that stand twice in an order which the library never sees."""

    def named(root: Path, name: str) -> Iterator[tuple[int, str]]:
        listed = look_up(raw, root)
        for position, entry in enumerate(listed if isinstance(listed, list) else ()):
            if isinstance(entry, dict) and isinstance(entry.get(name), str):
                yield position, entry[name]

    yield from find_duplicate_marks(named(("openings",), "mark"))
    catalogues = look_up(raw, ("catalogues",))
    numbers = range(len(catalogues) if isinstance(catalogues, list) else 0)
    yield from find_repeated_skus(
        (("catalogues", number, part, position), sku)
        for number in numbers
        for part in ("stock_lengths", "kits", "fastener_packs")
        for position, sku in named(("catalogues", number, part), "sku")
    )


def _entry_depth(path: Path) -> int:
    """Return how long the path of an entry is that a path leads into."""
    return {"catalogues": 4, "policy": 1}.get(str(path[0]) if path else "", 2)
