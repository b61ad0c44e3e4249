"""How many jobs the store keeps, over all tenants: for whoever runs the service."""

from sqlalchemy import func, select

from service.store.store import Store
from service.store.tables import JOBS


async def count_jobs(store: Store) -> dict[str, int]:
    """Return the number of jobs by status; a status that no job has is left out.

    Raises:
        StoreError: the store cannot be reached or read.
    """
    statement = select(JOBS.c.status, func.count().label("jobs")).group_by(JOBS.c.status)
    async with store.reading() as transaction:
        return {row.status: row.jobs for row in await transaction.execute(statement)}
