"""Read an order from the bytes of a request or a file, with every fault at once."""

from typing import Any, TypeVar

from pydantic import BaseModel

from optimiser.domain.faults import Fault
from optimiser.domain.order import Order
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
        raise invalid_order(gatherer.faults)
    order = to_order(validated, gatherer, longest_time_limit_seconds=longest_time_limit_seconds)
    if gatherer.faults:
        raise invalid_order(gatherer.faults)
    return order


def invalid_order(faults: list[Fault]) -> Problem:
    """Return the problem of an order with these faults."""
    return Problem(INVALID_ORDER, count_faults(tuple(faults)), faults=faults)


def _read_sound_parts(raw: Any, gatherer: FaultGatherer, longest_seconds: float) -> None:
    """Look for faults beyond the form in those entries of an order whose form is sound."""
    unit = LengthUnit.INCH
    if isinstance(raw, dict) and raw.get("unit") in list(LengthUnit):
        unit = LengthUnit(raw["unit"])
    faulty = {fault.path[: _entry_depth(fault.path)] for fault in gatherer.faults}

    def sound(root: Path, model: type[M]) -> list[tuple[Path, M]]:
        entries = look_up(raw, root)
        if not isinstance(entries, list):
            return []
        found = []
        for position, entry in enumerate(entries):
            path = (*root, position)
            if path in faulty:
                continue
            value = validate(model, entry)
            if not isinstance(value, list):
                found.append((path, value))
        return found

    for path, opening in sound(("openings",), Opening):
        to_opening(opening, unit, path, gatherer)
    catalogues = look_up(raw, ("catalogues",))
    for position in range(len(catalogues) if isinstance(catalogues, list) else 0):
        root: Path = ("catalogues", position)
        for path, stock in sound((*root, "stock_lengths"), wire_catalogue.StockLength):
            to_stock_length(stock, unit, path, gatherer)
        for path, kit in sound((*root, "kits"), wire_catalogue.Kit):
            to_kit(kit, unit, path, gatherer)
        for path, pack in sound((*root, "fastener_packs"), wire_catalogue.FastenerPack):
            to_fastener_pack(pack, unit, path, gatherer)
    policy = validate(Policy, look_up(raw, ("policy",)) or {})
    if not isinstance(policy, list):
        to_policy(policy, unit, gatherer, longest_time_limit_seconds=longest_seconds)


def _entry_depth(path: Path) -> int:
    return 4 if path[:1] == ("catalogues",) else 2
