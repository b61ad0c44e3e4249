"""Racks that are kept: added, found, and changed by hand or by an order."""

from service.json_text import read_json
from service.problems import NOT_FOUND, Problem
from service.resource_problems import NAME_TAKEN
from service.store import rows
from service.store.audit import Actor, record
from service.store.rows import StoredRow
from service.store.store import Transaction
from service.store.tables import RACKS

KIND = "rack"


async def add_rack(transaction: Transaction, actor: Actor, name: str, body: str) -> StoredRow:
    """Keep a rack under a new name; return its row.

    Raises:
        Problem: the name is taken.
    """
    values = {
        "id": rows.new_identifier(),
        "name": name,
        "body": body,
        "revision": 1,
        "created_at": actor.now,
        "changed_at": actor.now,
    }
    try:
        await rows.add(transaction, RACKS, actor.tenant, values)
    except rows.Taken:
        raise Problem(
            NAME_TAKEN,
            f"A rack is kept as {name!r} already; replace what is on hand at /v1/racks/{name}, "
            "or choose another name.",
        ) from None
    await record(
        transaction,
        actor,
        action="rack-added",
        kind=KIND,
        resource_id=name,
        after=read_json(body.encode()),
    )
    return await find_rack(transaction, actor.tenant, name)


async def change_rack(
    transaction: Transaction, actor: Actor, rack: StoredRow, body: str, action: str
) -> StoredRow:
    """Change what is on hand; return the new row.

    Raises:
        ChangedMeanwhile: it was changed since it was read.
    """
    values = {"body": body, "changed_at": actor.now}
    await rows.change(
        transaction, RACKS, actor.tenant, rack.id, revision=rack.revision, values=values
    )
    await record(
        transaction,
        actor,
        action=action,
        kind=KIND,
        resource_id=rack.name,
        before=read_json(rack.body.encode()),
        after=read_json(body.encode()),
    )
    return await find_rack(transaction, actor.tenant, rack.name)


async def find_rack(
    transaction: Transaction, tenant: str, name: str, *, lock: bool = False
) -> StoredRow:
    """Return the rack with a name; `lock` keeps others from it until the transaction ends.

    Raises:
        Problem: there is none.
    """
    row = await rows.find(transaction, RACKS, tenant, lock=lock, name=name)
    if row is None:
        raise Problem(NOT_FOUND, f"No rack is kept as {name[:80]!r}.")
    return row
