"""What stands in an order for what is kept: `{"stored": "larkmoor", "version": 3}`."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from optimiser.domain.faults import Fault
from service.store.documents import (
    DocumentKind,
    NotKept,
    find_document,
    find_version,
    list_versions,
    version_on,
)
from service.store.store import Transaction

PLACES = {"catalogues": DocumentKind.CATALOGUE, "rule_sets": DocumentKind.RULE_SET}
"""Lists of an order whose entries may be references."""

_WORDS = {
    DocumentKind.CATALOGUE: "catalogue",
    DocumentKind.RULE_SET: "rule set",
    DocumentKind.PROFILE: "profile",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What a reference stands for: the content of a version, as JSON, and the version."""

    body: str
    name: str
    number: int


class NotFound(Exception):
    """A reference leads nowhere; `fault` says which and what would mend it."""

    def __init__(self, fault: Fault) -> None:
        self.fault = fault
        super().__init__(fault.message)


def is_reference(entry: Any) -> bool:
    """Return whether an entry of an order refers to what is kept."""
    return isinstance(entry, dict) and "stored" in entry


async def resolve(
    transaction: Transaction,
    tenant: str,
    kind: DocumentKind,
    entry: dict[str, Any],
    *,
    path: tuple[str | int, ...],
    day: date,
) -> Found:
    """Return what a sound reference stands for.

    Raises:
        NotFound: nothing is kept under the name, not in this version, or not for this day.
    """
    name, number = entry["stored"], entry.get("version")
    word = _WORDS[kind]
    try:
        document = await find_document(transaction, tenant, kind, name)
    except NotKept:
        message = f"No {word} is kept as {name!r}; keep it first, or send it by value."
        raise NotFound(Fault((*path, "stored"), "unknown-stored", message)) from None
    if number is not None:
        try:
            version = await find_version(transaction, tenant, document.id, number)
        except NotKept:
            message = f"The {word} {name!r} has no version {number}; its latest is "
            message += f"{document.latest}."
            fault = Fault((*path, "version"), "unknown-version", message)
            raise NotFound(fault) from None
        return Found(body=version.body, name=name, number=number)
    versions = await list_versions(transaction, tenant, document.id)
    current = version_on(versions, day)
    if current is None:
        message = f"No version of the {word} {name!r} is valid on {day}; name a version."
        raise NotFound(Fault((*path, "stored"), "no-valid-version", message))
    return Found(body=current.body, name=name, number=current.number)
