"""Putting what is kept in the place of what refers to it, before an order is read."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar

from optimiser.domain.faults import Fault
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.reading import invalid_order
from service.mapping.validation import validate
from service.problems import Problem
from service.store.references import PLACES, NotFound, is_reference, resolve
from service.store.store import Store
from service.wire.stored import StoredReference

T = TypeVar("T")

_SIGN = b'"stored"'


@dataclass(frozen=True, slots=True, kw_only=True)
class ByValue:
    """An order by value, as JSON; null stands for what leads nowhere. `missing` tells of that."""

    body: bytes
    missing: tuple[Fault, ...] = ()

    def read(self, read: Callable[[bytes], T]) -> T:
        """Return what is read of the order.

        Raises:
            Problem: as `read`; what is missing is listed with all else that is wrong.
        """
        if not self.missing:
            return read(self.body)
        faults = list(self.missing)
        places = {fault.path[:2] for fault in faults}
        try:
            read(self.body)
        except Problem as problem:
            faults += [fault for fault in problem.faults if fault.path[:2] not in places]
        raise invalid_order(faults)


async def put_in_stored(body: bytes, store: Store, tenant: str, day: date) -> ByValue:
    """Return an order by value: every reference replaced by what it stands for.

    An order without references, or one that cannot be read, is returned as it is.
    """
    if _SIGN not in body:
        return ByValue(body=body)
    try:
        raw = read_json(body)
    except MalformedJson:
        return ByValue(body=body)
    places = [
        (kind, listed, position, (member, position))
        for member, kind in PLACES.items()
        if isinstance(raw, dict) and isinstance(listed := raw.get(member), list)
        for position, entry in enumerate(listed)
        if is_reference(entry)
    ]
    if not places:
        return ByValue(body=body)
    faults: list[Fault] = []
    async with store.reading() as transaction:
        for kind, listed, position, path in places:
            read = validate(StoredReference, listed[position])
            if isinstance(read, list):
                faults += [Fault((*path, *f.path), f.code, f.message) for f in read]
                listed[position] = None
                continue
            entry: dict[str, Any] = read.model_dump()
            try:
                found = await resolve(transaction, tenant, kind, entry, path=path, day=day)
            except NotFound as missing:
                faults.append(missing.fault)
                listed[position] = None
                continue
            listed[position] = read_json(found.body.encode())
    return ByValue(body=write_json(raw).encode(), missing=tuple(faults))
