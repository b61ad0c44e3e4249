"""Looking over a catalogue by itself as one of an order is looked over: every fault at once."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from pydantic import Field

from optimiser.domain.faults import Fault
from optimiser.units.lengths import LengthUnit
from service.json_text import MalformedJson, read_json
from service.mapping.faults import Path, name_place
from service.mapping.inputs import invalid_inputs
from service.mapping.sound_parts import find_every_fault
from service.mapping.validation import validate
from service.problems import MALFORMED_JSON, Problem, count_faults
from service.wire import limits
from service.wire.base import WireModel
from service.wire.catalogue import Catalogue

_ROOT: Path = ("catalogues", 0)


class _Offer(WireModel):
    """The part of an order that is looked over."""

    catalogues: list[Catalogue] = Field(min_length=1, max_length=1)


def read_catalogue(body: bytes) -> Catalogue:
    """Return the catalogue that a JSON text states.

    Raises:
        Problem: malformed JSON, or no catalogue that an order would take; every fault is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    checked = check_catalogue(raw)
    if isinstance(checked, Catalogue):
        return checked
    raise invalid_inputs(checked)


def check_catalogue(
    raw: Any, units: Sequence[LengthUnit] = tuple(LengthUnit)
) -> Catalogue | list[Fault]:
    """Return the catalogue that a decoded JSON value states, or all of its faults.

    Paths lead into the catalogue; messages are what an order would be told.
    A bare number is a length in the order's unit, which a catalogue does not state: what can be
    taken in one of `units` is taken.
    """
    offer = {"catalogues": [raw]}
    validated = validate(_Offer, offer)
    form_faults = validated if isinstance(validated, list) else []
    found = []
    for unit in units:
        found.append(_find_faults(offer, form_faults, unit))
        if not found[-1]:
            break
    if faults := min(found, key=len):
        return faults
    assert isinstance(validated, _Offer)
    return validated.catalogues[0]


def _find_faults(offer: dict[str, Any], form: list[Fault], unit: LengthUnit) -> list[Fault]:
    raw = {"unit": str(unit), "openings": [], **offer}
    told = find_every_fault(
        raw, form, buys=True, longest_time_limit_seconds=limits.LONGEST_TIME_LIMIT_SECONDS
    )
    return [replace(fault, path=fault.path[2:]) for fault in told if fault.path[:2] == _ROOT]


def without_place(fault: Fault, raw: Any) -> str:
    """Return the message of a fault of `check_catalogue` without the name of its value's place."""
    name = name_place((*_ROOT, *fault.path), {"catalogues": [raw]})
    return fault.message.removeprefix(f"{name}: ")
