"""Studies as they are kept: added once, never changed."""

from dataclasses import dataclass
from datetime import datetime

from service.store import rows
from service.store.store import Transaction
from service.store.tables import STUDIES


@dataclass(frozen=True, slots=True, kw_only=True)
class NewStudy:
    """A study to keep. `request` is the study by value; the forms are those of its answer."""

    request: str
    document: str
    text: str
    table: str
    currency: str
    points: int
    proved: bool
    solve_seconds: float


async def add_study(transaction: Transaction, tenant: str, study: NewStudy, now: datetime) -> str:
    """Keep a study; return its identifier."""
    study_id = rows.new_identifier()
    values = {
        "id": study_id,
        "request": study.request,
        "document": study.document,
        "text": study.text,
        "table_csv": study.table,
        "currency": study.currency,
        "points": study.points,
        "proved": study.proved,
        "solve_seconds": study.solve_seconds,
        "created_at": now,
    }
    await rows.add(transaction, STUDIES, tenant, values)
    return study_id
