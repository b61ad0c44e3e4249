"""Answers that are kept under the key that their request was sent with, so that a request that
is sent again changes nothing and gets the same answer.

A claim is a row without an answer. Whoever holds its token works on the request, and renews the
lease while doing so; what the request changes and the answer are kept in one transaction, and
only by the holder. A claim whose lease has ended belonged to a process that is gone: nothing came
of it, and the next one may take it over.
"""

import json
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import delete

from service.store import rows
from service.store.leases import has_ended
from service.store.rows import StoredRow
from service.store.store import Store, Transaction
from service.store.tables import KEPT_ANSWERS

LEASE = timedelta(seconds=30)
KEPT = timedelta(hours=24)
"""How long an answer is kept, at least."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptAnswer:
    """An answer as it was sent."""

    status: int
    headers: tuple[tuple[str, str], ...]
    body: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """The right to work on a request."""

    tenant: str
    key: str
    token: str


class OtherRequest(Exception):
    """The key stands for a request that asks for something else."""


class AtWork(Exception):
    """Somebody works on the request."""


class ClaimLost(Exception):
    """Somebody else has taken the request over; nothing of it may be kept."""


async def claim(
    store: Store, *, tenant: str, key: str, fingerprint: str, now: datetime
) -> Claim | KeptAnswer:
    """Return the right to work on a request, or the answer that it got before.

    Raises:
        OtherRequest: the key was used for another request.
        AtWork: the request is at work.
    """
    token = rows.new_identifier()
    mine = Claim(tenant=tenant, key=key, token=token)
    held = {"token": token, "lease_until": now + LEASE}
    # Most of what is sent again is settled by looking: nobody waits for the lock of another.
    async with store.reading() as transaction:
        seen = await rows.find(transaction, KEPT_ANSWERS, tenant, key=key)
    if seen is not None and (found := _read(seen, fingerprint, now)) is not None:
        return found
    async with store.writing() as transaction:
        row = await rows.find(transaction, KEPT_ANSWERS, tenant, lock=True, key=key)
        if row is None:
            try:
                await rows.add(
                    transaction,
                    KEPT_ANSWERS,
                    tenant,
                    {"key": key, "fingerprint": fingerprint, "created_at": now, **held},
                )
            except rows.Taken:
                # Sent twice at the same moment: the other one was quicker.
                raise AtWork from None
            return mine
        if (found := _read(row, fingerprint, now)) is not None:
            return found
        await rows.change_where(transaction, KEPT_ANSWERS, tenant, values=held, key=key)
        return mine


def _read(row: StoredRow, fingerprint: str, now: datetime) -> KeptAnswer | None:
    """Return the answer that is kept; nothing where whoever worked on it is gone.

    Raises:
        OtherRequest: the key was used for another request.
        AtWork: the request is at work.
    """
    if row.fingerprint != fingerprint:
        raise OtherRequest
    if row.status is not None:
        headers = tuple((name, value) for name, value in json.loads(row.headers))
        return KeptAnswer(status=row.status, headers=headers, body=bytes(row.body))
    if not has_ended(row.lease_until, now, LEASE):
        raise AtWork
    return None


async def renew(store: Store, mine: Claim, now: datetime) -> None:
    """Hold a claim for longer."""
    async with store.writing() as transaction:
        await rows.change_where(
            transaction,
            KEPT_ANSWERS,
            mine.tenant,
            values={"lease_until": now + LEASE},
            key=mine.key,
            token=mine.token,
        )


async def keep(transaction: Transaction, mine: Claim, answer: KeptAnswer) -> None:
    """Keep the answer, in the transaction of what it answers.

    Raises:
        ClaimLost: the claim has been taken over.
    """
    kept = await rows.change_where(
        transaction,
        KEPT_ANSWERS,
        mine.tenant,
        values={
            "status": answer.status,
            "headers": json.dumps(answer.headers),
            "body": answer.body,
        },
        key=mine.key,
        token=mine.token,
    )
    if kept != 1:
        raise ClaimLost


async def let_go(store: Store, mine: Claim) -> None:
    """Give a claim up: the request came to nothing that should be kept."""
    async with store.writing() as transaction:
        await rows.remove(
            transaction, KEPT_ANSWERS, mine.tenant, key=mine.key, token=mine.token, status=None
        )


async def forget_old(store: Store, now: datetime) -> int:
    """Forget answers that were kept long enough; return how many."""
    async with store.writing() as transaction:
        old = delete(KEPT_ANSWERS).where(KEPT_ANSWERS.c.created_at < now - KEPT)
        return int((await transaction.execute(old)).rowcount)
