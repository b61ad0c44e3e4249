"""Putting what is kept in the place of what refers to it, before an order is read."""

from datetime import date
from typing import Any

from optimiser.domain.faults import Fault
from service.json_text import MalformedJson, read_json, write_json
from service.mapping.reading import invalid_order
from service.mapping.validation import validate
from service.store.references import PLACES, NotFound, is_reference, resolve
from service.store.store import Store
from service.wire.stored import StoredReference

_SIGN = b'"stored"'


async def put_in_stored(body: bytes, store: Store, tenant: str, day: date) -> bytes:
    """Return an order by value: every reference replaced by what it stands for.

    An order without references, or one that cannot be read, is returned as it is.

    Raises:
        Problem: a reference cannot be read or leads nowhere; all are listed.
    """
    if _SIGN not in body:
        return body
    try:
        raw = read_json(body)
    except MalformedJson:
        return body
    places = [
        (kind, listed, position, (member, position))
        for member, kind in PLACES.items()
        if isinstance(raw, dict) and isinstance(listed := raw.get(member), list)
        for position, entry in enumerate(listed)
        if is_reference(entry)
    ]
    if not places:
        return body
    faults: list[Fault] = []
    async with store.reading() as transaction:
        for kind, listed, position, path in places:
            read = validate(StoredReference, listed[position])
            if isinstance(read, list):
                faults += [Fault((*path, *f.path), f.code, f.message) for f in read]
                continue
            entry: dict[str, Any] = read.model_dump()
            try:
                found = await resolve(transaction, tenant, kind, entry, path=path, day=day)
            except NotFound as missing:
                faults.append(missing.fault)
                continue
            listed[position] = read_json(found.body.encode())
    if faults:
        raise invalid_order(faults)
    return write_json(raw).encode()
