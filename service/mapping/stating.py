"""Stating a value of the library in a model of the wire: by the type of each member.

A member of the wire has the name of the library's field, without the unit at its end, unless
`NAMED` says otherwise. Its type says how it is written. A row of the library, a tuple, gives the
members of its model in their order.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from operator import attrgetter
from types import NoneType, UnionType
from typing import Any, TypeVar, Union, get_args, get_origin

from service.mapping.shown import ValueWriter, write_decimal, write_fraction, write_material
from service.wire import buying_reasons, plan, purchases, reasons, supply_reasons
from service.wire.base import WireModel
from service.wire.shown import (
    Amount,
    DecimalText,
    ExactNumber,
    Material,
    ShownLength,
    SignedLength,
)

Model = TypeVar("Model", bound=WireModel)
Write = Callable[[Any, ValueWriter], Any]

NAMED: dict[type[WireModel], dict[str, str]] = {
    reasons.RuleFiredFacts: {"adjustments": "adjusted_nm"},
    reasons.LengthAccountedFacts: {"stock_length": "stock_nm", "in_pieces": "pieces_nm"},
    supply_reasons.KitPricedFacts: {"per_length_of": "per_length_nm"},
    buying_reasons.DropsKeptFacts: {
        "least_length": "least_nm",
        "per_length": "rate",
        "per_length_of": "per_nm",
    },
    buying_reasons.OffcutUsedFacts: {"on_rack": "there"},
    buying_reasons.FastenersOnHandUsedFacts: {"on_hand": "there"},
    plan.Pattern: {"stock_length": "stock_nm"},
    purchases.Shipment: {
        "weight_grams": "weight_g",
        "tier_from_grams": "tier_from_g",
        "freight_basis": "basis",
        "freight": "charge",
    },
}
"""Members whose field in the library has another name."""

_WRITTEN: dict[Any, Write] = {
    Amount: lambda amount, writer: writer.amount(amount),
    DecimalText: lambda value, _: write_decimal(value),
    ExactNumber: lambda value, _: write_fraction(value),
    Material: lambda material, _: write_material(material),
    ShownLength: lambda length_nm, writer: writer.length(length_nm),
    SignedLength: lambda length_nm, writer: writer.signed_length(length_nm),
}


def state(model: type[Model], value: Any, writer: ValueWriter, **stated: Any) -> Model:
    """Return a value of the library as a model of the wire; `stated` are members it has beside.

    Raises:
        AttributeError: the value lacks a field for a member.
        ValidationError: a field has a value that its member may not have.
    """
    source: Any = type(value)
    fields = _fields(model, source, tuple(stated))
    members = dict(zip(fields.names, fields.get(value), strict=True))
    for name, write in fields.written:
        members[name] = write(members[name], writer)
    return model(**members, **stated)


@dataclass(frozen=True, slots=True)
class _Fields:
    """The members that a model reads off a value: their names, what gets them all, what writes.

    `written` has those alone that are not stated as they are.
    """

    names: tuple[str, ...]
    get: Callable[[Any], tuple[Any, ...]]
    written: tuple[tuple[str, Write], ...]


@cache
def _fields(model: type[WireModel], source: type, stated: tuple[str, ...]) -> _Fields:
    """Return the fields of a source that a model states, without those that are stated beside."""
    named = NAMED.get(model, {})
    members = [(name, write) for name, write in _writers(model) if name not in stated]
    fields = [named.get(name, name) for name, _ in members]
    return _Fields(
        names=tuple(name for name, _ in members),
        get=_getter([field if hasattr(source, field) else f"{field}_nm" for field in fields]),
        written=tuple((name, write) for name, write in members if write is not _as_it_is),
    )


def _getter(fields: Sequence[str]) -> Callable[[Any], tuple[Any, ...]]:
    if len(fields) > 1:
        return attrgetter(*fields)
    return lambda value: tuple(getattr(value, field) for field in fields)


def _as_it_is(value: Any, _: ValueWriter) -> Any:
    return value


def _writers(model: type[WireModel]) -> tuple[tuple[str, Write], ...]:
    types: dict[str, Any] = {name: info.annotation for name, info in model.model_fields.items()}
    return tuple((name, _writer_of(stated)) for name, stated in types.items())


@cache
def _writer_of(stated: Any) -> Write:
    """Return what writes a value as the type that the wire states."""
    if stated in _WRITTEN:
        return _WRITTEN[stated]
    if get_origin(stated) is list:
        write_one = _writer_of(get_args(stated)[0])
        if write_one is _as_it_is:
            return lambda values, _: list(values)
        return lambda values, writer: [write_one(value, writer) for value in values]
    if get_origin(stated) in (Union, UnionType):
        others = [choice for choice in get_args(stated) if choice is not NoneType]
        if len(others) == 1:
            write_other = _writer_of(others[0])
            return lambda value, writer: None if value is None else write_other(value, writer)
    if isinstance(stated, type) and issubclass(stated, WireModel):
        return _writer_of_part(stated)
    return _as_it_is


def _writer_of_part(model: type[WireModel]) -> Write:
    members = _writers(model)

    def write(value: Any, writer: ValueWriter) -> WireModel:
        if not isinstance(value, tuple):
            return state(model, value, writer)
        row = zip(members, value, strict=True)
        return model(**{name: write_one(part, writer) for (name, write_one), part in row})

    return write
