"""What is kept under a name in versions: added, added to, read, listed, and found by reference."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from service.store import rows
from service.store.audit import Actor, record
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import DOCUMENT_VERSIONS, DOCUMENTS
from service.store.webhooks import announce
from service.wire.webhooks import WebhookEvent

MOST_VERSIONS = 2**31 - 1
"""The highest number that the column of both stores holds."""


class DocumentKind(StrEnum):
    """What may be kept in versions."""

    CATALOGUE = "catalogue"
    RULE_SET = "rule-set"
    PROFILE = "profile"


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """The content of a version, as JSON, and the days for which it is meant."""

    body: str
    valid_from: date | None
    valid_until: date | None
    remark: str


class NotKept(Exception):
    """Nothing is kept under the name, or not this version."""


async def add_document(
    transaction: Transaction, actor: Actor, kind: DocumentKind, name: str, content: Content
) -> StoredRow:
    """Keep a first version under a new name; return the document.

    Raises:
        Taken: the name is taken.
    """
    document_id = rows.new_identifier()
    values = {
        "id": document_id,
        "kind": kind.value,
        "name": name,
        "latest": 1,
        "revision": 1,
        "created_at": actor.now,
        "changed_at": actor.now,
    }
    await rows.add(transaction, DOCUMENTS, actor.tenant, values)
    await _add_version(transaction, actor, document_id, 1, content)
    await record(
        transaction,
        actor,
        action="version-added",
        kind=kind.value,
        resource_id=name,
        after={"number": 1, "digest": digest_of(content.body)},
    )
    row = await find_document(transaction, actor.tenant, kind, name)
    await _announce_version(transaction, actor, kind, row)
    return row


async def add_version(
    transaction: Transaction,
    actor: Actor,
    kind: DocumentKind,
    document: StoredRow,
    content: Content,
) -> StoredRow:
    """Keep a further version; return the document.

    Raises:
        ChangedMeanwhile: another one was added since the document was read.
    """
    number = document.latest + 1
    await rows.change(
        transaction,
        DOCUMENTS,
        actor.tenant,
        document.id,
        revision=document.revision,
        values={"latest": number, "changed_at": actor.now},
    )
    await _add_version(transaction, actor, document.id, number, content)
    await record(
        transaction,
        actor,
        action="version-added",
        kind=kind.value,
        resource_id=document.name,
        before={"number": document.latest},
        after={"number": number, "digest": digest_of(content.body)},
    )
    row = await find_document(transaction, actor.tenant, kind, document.name)
    await _announce_version(transaction, actor, kind, row)
    return row


async def find_document(
    transaction: Transaction, tenant: str, kind: DocumentKind, name: str
) -> StoredRow:
    """Return what is kept under a name.

    Raises:
        NotKept: nothing is.
    """
    row = await rows.find(transaction, DOCUMENTS, tenant, kind=kind.value, name=name)
    if row is None:
        raise NotKept(name)
    return row


async def list_versions(
    transaction: Transaction, tenant: str, document_id: str
) -> Sequence[StoredRow]:
    """Return the versions of a document, the first one first."""
    return await rows.find_all(
        transaction,
        DOCUMENT_VERSIONS,
        tenant,
        order=rows.Order(column="number"),
        document_id=document_id,
    )


async def find_version(
    transaction: Transaction, tenant: str, document_id: str, number: int
) -> StoredRow:
    """Return a version.

    Raises:
        NotKept: there is none with the number.
    """
    row = None
    if 0 < number <= MOST_VERSIONS:
        row = await rows.find(
            transaction, DOCUMENT_VERSIONS, tenant, document_id=document_id, number=number
        )
    if row is None:
        raise NotKept(str(number))
    return row


def version_on(versions: Sequence[StoredRow], day: date) -> StoredRow | None:
    """Return the version that holds on a day: the latest of those that are valid then."""
    valid = [
        version
        for version in versions
        if (version.valid_from is None or version.valid_from <= day)
        and (version.valid_until is None or day <= version.valid_until)
    ]
    return max(valid, key=lambda version: version.number, default=None)


def digest_of(body: str) -> str:
    """Return the SHA-256 of a content in hexadecimal digits."""
    return hashlib.sha256(body.encode()).hexdigest()


async def _add_version(
    transaction: Transaction, actor: Actor, document_id: str, number: int, content: Content
) -> None:
    values = {
        "document_id": document_id,
        "number": number,
        "body": content.body,
        "digest": digest_of(content.body),
        "valid_from": content.valid_from,
        "valid_until": content.valid_until,
        "remark": content.remark,
        "created_at": actor.now,
        "created_by": actor.who,
    }
    await rows.add(transaction, DOCUMENT_VERSIONS, actor.tenant, values)


async def _announce_version(
    transaction: Transaction, actor: Actor, kind: DocumentKind, document: StoredRow
) -> None:
    if kind is not DocumentKind.CATALOGUE:
        return
    told = {"name": document.name, "number": document.latest}
    event = WebhookEvent.CATALOGUE_VERSION_ADDED
    await announce(transaction, actor.tenant, event, told, actor.now)
