"""The clock of a service is set back an hour: nothing is lost, and nothing waits for an hour."""

import asyncio
import time
from datetime import datetime, timedelta
from pathlib import Path

from service.access.caller import LOCAL_TENANT
from service.clock import utc_now
from service.settings import Settings
from service.store.jobs import add_job, claim_job
from service.store.store import Store, read_store_url
from tests.benchmark.kept_orders import TEN_DOORS, KeptOrders
from tests.serving import running_service

BACK = timedelta(hours=1)


class Clock:
    """Tells the time, less what it was set back."""

    def __init__(self) -> None:
        self.back = timedelta(0)

    def __call__(self) -> datetime:
        return utc_now() - self.back


def run_clock_set_back(folder: Path) -> list[str]:
    """The clock is set back an hour, and a process that is gone has left a job at work."""
    clock = Clock()
    url = str(folder / "kept.sqlite")
    orders = KeptOrders()
    settings = Settings(store=url, requests_per_minute=0, shutdown_seconds=2)
    with running_service(settings, clock=clock) as service:
        orders.send(service.client, 5)
        orders.queue(service.client, "before")
    orders.jobs.add(f"/v1/jobs/{asyncio.run(_leave_behind(url))}")
    clock.back = BACK
    started = time.monotonic()
    with running_service(settings, clock=clock) as service:
        orders.send(service.client, 5, again_from=0)
        orders.send(service.client, 5)
        orders.queue(service.client, "after")
        orders.check_all_is_kept(service.client)
    seconds = time.monotonic() - started
    print(f"  set back: {len(orders.kept)} orders and {len(orders.jobs)} jobs, {seconds:.1f} s")
    if orders.refused:
        orders.findings["refused"] += orders.refused
    return [f"{count} times {what}" for what, count in orders.findings.items()]


async def _leave_behind(url: str) -> str:
    """Leave a job at work whose worker is gone; return its identifier."""
    store, now = Store(read_store_url(url)), utc_now()
    try:
        async with store.writing() as transaction:
            job_id = await add_job(
                transaction,
                LOCAL_TENANT,
                order_id=None,
                openings=1,
                request=TEN_DOORS.decode(),
                trace_context=None,
                now=now,
            )
        await claim_job(store, job_id, "gone", now)
    finally:
        await store.close()
    return job_id
