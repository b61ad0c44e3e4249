"""Content as it is kept: bare numbers for lengths are written with their unit."""

from types import UnionType
from typing import Any, Union, get_args, get_origin

from pydantic import BaseModel
from typing_extensions import TypeAliasType

from optimiser.units.lengths import LengthUnit, parse_length
from service.wire.scalars import Length, LengthOrZero

_LENGTHS = (Length, LengthOrZero)


def write_with_units(model: BaseModel, unit: LengthUnit) -> dict[str, Any]:
    """Return the members of a model as plain values; no length hangs on the unit any more.

    Members that were not stated are left out, so that the content stays what was sent.
    """
    return {
        name: _write(getattr(model, name), field.annotation, unit)
        for name, field in type(model).model_fields.items()
        if name in model.model_fields_set
    }


def _write(value: Any, annotation: Any, unit: LengthUnit) -> Any:
    if isinstance(value, BaseModel):
        return write_with_units(value, unit)
    if isinstance(value, list):
        return [_write(part, _inner(annotation, 0), unit) for part in value]
    if isinstance(value, dict):
        inner = _inner(annotation, 1)
        return {key: _write(part, inner, unit) for key, part in value.items()}
    if value is not None and _is_length(annotation) and _hangs_on_the_unit(value):
        return f"{value} {unit.value}"
    return value


def _hangs_on_the_unit(length: Any) -> bool:
    """Return whether a length is a bare number, as a number or as a text."""
    if not isinstance(length, str):
        return True
    return len({parse_length(length, unit) for unit in LengthUnit}) > 1


def _is_length(annotation: Any) -> bool:
    if annotation in _LENGTHS:
        return True
    if get_origin(annotation) in {Union, UnionType}:
        return any(_is_length(option) for option in get_args(annotation))
    return False


def _inner(annotation: Any, position: int) -> Any:
    """Return the type of the entries of a list, or of the values of a table."""
    if isinstance(annotation, TypeAliasType):
        return _inner(annotation.__value__, position)
    if get_origin(annotation) in {list, dict}:
        return get_args(annotation)[position]
    for option in get_args(annotation):
        found = _inner(option, position)
        if found is not None:
            return found
    return None
