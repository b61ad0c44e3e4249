"""The audit log: who changed what, when, and what it was before and after."""

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from service.store import rows
from service.store.store import Transaction
from service.store.tables import AUDIT_ENTRIES


@dataclass(frozen=True, slots=True, kw_only=True)
class Actor:
    """Who makes a change: a key or a part of the service, for a tenant, at a moment."""

    tenant: str
    who: str
    request_id: str
    now: datetime


async def record(
    transaction: Transaction,
    actor: Actor,
    *,
    action: str,
    kind: str,
    resource_id: str,
    before: dict[str, Any] | None = None,
    after: dict[str, Any] | None = None,
) -> None:
    """Write an entry in the transaction of the change that it tells of."""
    await rows.add(
        transaction,
        AUDIT_ENTRIES,
        actor.tenant,
        {
            "id": rows.new_identifier(),
            "at": actor.now,
            "who": actor.who,
            "request_id": actor.request_id,
            "action": action,
            "resource_kind": kind,
            "resource_id": resource_id,
            "before": _write(before),
            "after": _write(after),
        },
    )


def _write(facts: dict[str, Any] | None) -> str | None:
    return None if facts is None else json.dumps(facts, ensure_ascii=False, sort_keys=True)
