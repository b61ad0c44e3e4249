"""Reading the query of a request, with every fault of it."""

from collections.abc import Iterable
from typing import TypeVar
from urllib.parse import parse_qsl

from optimiser.domain.faults import Fault
from service.mapping.validation import validate
from service.problems import Problem, count_faults
from service.resource_problems import INVALID_QUERY
from service.wire.base import WireModel

M = TypeVar("M", bound=WireModel)


def split_query(query: bytes) -> list[tuple[str, str]]:
    """Return the names and values of a query string, in the order in which they stand."""
    return parse_qsl(query.decode("latin-1"), keep_blank_values=True, errors="replace")


def read_query(model: type[M], query: bytes) -> M:
    """Return what a query states as the model has it.

    Raises:
        Problem: the query cannot be taken; every fault is listed.
    """
    read = validate_query(model, split_query(query))
    if isinstance(read, list):
        raise invalid_query(read)
    return read


def validate_query(model: type[M], stated: Iterable[tuple[str, str]]) -> M | list[Fault]:
    """Return what a query states as the model has it, or all that is wrong with it."""
    raw: dict[str, str] = {}
    repeated: list[Fault] = []
    for name, value in stated:
        if name in raw:
            message = f"{name[:80]!r} stands in the query twice; send it once."
            repeated.append(Fault((name[:80],), "repeated-parameter", message))
        raw[name] = value
    known = [field.alias or name for name, field in model.model_fields.items()]
    unknown = [
        Fault(
            (name[:80],),
            "unknown-parameter",
            f"{name[:80]!r} is not a parameter here, which has {', '.join(known)}; correct it, or "
            "leave it out.",
        )
        for name in raw
        if name not in known
    ]
    read = validate(model, {name: raw[name] for name in known if name in raw})
    faults = [*unknown, *dict.fromkeys(repeated), *(read if isinstance(read, list) else ())]
    return faults or read


def invalid_query(faults: Iterable[Fault]) -> Problem:
    """Return the problem of a query with these faults."""
    listed = tuple(faults)
    return Problem(INVALID_QUERY, count_faults(listed), faults=listed)
