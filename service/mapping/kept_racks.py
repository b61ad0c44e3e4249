"""Racks as they are kept: read from a request, from the store and from the domain, and written."""

from typing import Any, TypeVar

from optimiser.domain import rack as domain
from optimiser.domain.faults import Fault
from optimiser.units.lengths import LengthUnit, format_length
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.faults import FaultGatherer
from service.mapping.lengths_with_units import write_with_units
from service.mapping.rack_in import to_rack
from service.mapping.shown import write_decimal
from service.mapping.sound_parts import find_every_fault
from service.mapping.stored import write_moment
from service.mapping.validation import validate
from service.problems import MALFORMED_JSON, Problem, count_faults
from service.resource_problems import INVALID_CONTENT
from service.store.rows import StoredRow
from service.wire import limits
from service.wire import rack as wire
from service.wire.racks import KeptRack, RackContent, RackSummary

M = TypeVar("M", bound=RackContent)


def read_rack_content(body: bytes, model: type[M]) -> tuple[M, str]:
    """Return what a request states of a rack, and what is on hand as it is kept.

    Raises:
        Problem: malformed JSON or an invalid content; every fault is listed.
    """
    try:
        raw = read_json(body)
    except MalformedJson as error:
        raise Problem(MALFORMED_JSON, count_faults(error.faults), faults=error.faults) from None
    validated = validate(model, raw)
    faults = validated if isinstance(validated, list) else []
    told = {(fault.path, fault.code) for fault in faults}
    faults = [*faults, *(f for f in _find_faults(raw) if (f.path, f.code) not in told)]
    if faults:
        raise Problem(INVALID_CONTENT, count_faults(tuple(faults)), faults=faults)
    assert isinstance(validated, model)
    return validated, write_json(write_with_units(validated.rack, validated.unit))


def _find_faults(raw: Any) -> list[Fault]:
    """Return what is wrong with a rack that the schema cannot say."""
    if not isinstance(raw, dict) or not isinstance(raw.get("rack"), dict):
        return []
    order = {"openings": [], "catalogues": [], "rack": raw["rack"], "unit": raw.get("unit", "in")}
    found = find_every_fault(
        order, (), buys=True, longest_time_limit_seconds=limits.LONGEST_TIME_LIMIT_SECONDS
    )
    return [fault for fault in found if fault.path[:1] == ("rack",)]


def read_kept_rack(body: str) -> domain.Rack:
    """Return what is on hand on a rack that is kept."""
    gatherer = FaultGatherer(None)
    rack = to_rack(_read_wire(body), LengthUnit.INCH, gatherer)
    assert not gatherer.faults, gatherer.faults
    return rack


def write_kept_rack(rack: domain.Rack, before: str) -> str:
    """Return a rack as it is kept; lengths stay as they were written `before`, where they were."""
    written = {offcut.id: offcut.length for offcut in _read_wire(before).offcuts}
    unit = LengthUnit.INCH
    if any(str(length).endswith("m") for length in written.values()):
        unit = LengthUnit.MILLIMETRE
    return write_json(
        {
            "offcuts": [
                {
                    "id": offcut.id,
                    "product": offcut.material.product,
                    "finish": offcut.material.finish,
                    "length": written.get(offcut.id, format_length(offcut.length_nm, unit)),
                    "quantity": offcut.quantity,
                    "value": write_decimal(offcut.value),
                }
                for offcut in rack.offcuts
            ],
            "fasteners": [
                {
                    "fastener": held.fastener,
                    "finish": held.finish,
                    "count": held.count,
                    "value": write_decimal(held.value),
                }
                for held in rack.fasteners
            ],
        }
    )


def write_rack_summary(row: StoredRow) -> RackSummary:
    """Return a rack in short."""
    rack = _read_wire(row.body)
    return RackSummary(
        name=row.name,
        offcuts=sum(offcut.quantity for offcut in rack.offcuts),
        fasteners=sum(held.count for held in rack.fasteners),
        created_at=write_moment(row.created_at),
        changed_at=write_moment(row.changed_at),
    )


def write_rack(row: StoredRow) -> KeptRack:
    """Return a rack with what is on hand."""
    return KeptRack(
        name=row.name,
        rack=_read_wire(row.body),
        created_at=write_moment(row.created_at),
        changed_at=write_moment(row.changed_at),
    )


def _read_wire(body: str) -> wire.Rack:
    return wire.Rack.model_validate(read_json(body.encode()))
