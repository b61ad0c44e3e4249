"""The wiring: the only place that knows every part of the service."""

import asyncio
import json
import os
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager
from datetime import datetime
from functools import cache

from litestar import Litestar
from litestar.types import ASGIApp, ControllerRouterHandler, Middleware

from service.access.admission import Admission
from service.access.caller import LOCAL_TENANT
from service.access.keys import add_tenant
from service.clock import utc_now
from service.contract import build_document
from service.cross_origin import allow_origins
from service.documentation.page import write_page
from service.examples import examples_folder
from service.front import Front
from service.gates.admission import AdmissionGate
from service.gates.once import OnceGate
from service.gates.options import OptionsGate
from service.gates.rate import rate_gate
from service.jobs.pool import SolverPool
from service.jobs.shares import TenantShares
from service.orders.planning import attach_plan
from service.queue.dispatcher import Dispatcher
from service.queue.queue import Defer, JobQueue
from service.queue.runner import JobRunner, name_process
from service.responses import EXCEPTION_HANDLERS
from service.routes import (
    audit_entries,
    bench_sheets,
    catalogue_differences,
    fits,
    health,
    install_sheets,
    jobs,
    kept_documents,
    kept_plans,
    measurements,
    metrics,
    order_changes,
    order_goods,
    order_steps,
    orders,
    pack_calibrations,
    pages,
    plans,
    publications,
    purchase_orders,
    quote_differences,
    quotes,
    racks,
    rule_sets,
    schedules,
    studies,
    study_documents,
    takeoffs,
    webhook_messages,
    webhooks,
)
from service.running import Running
from service.settings import JobsAt, Settings, is_loopback
from service.store.migrate import migrate
from service.store.store import Store, read_store_url
from service.telemetry.measures import start_measures
from service.telemetry.traces import Traces, start_traces
from service.tidying import keep_tidy
from service.watching import standing_of
from service.webhooks.courier import Courier
from service.webhooks.destinations import Destinations
from service.webhooks.sending import Sender

HANDLERS: list[ControllerRouterHandler] = [
    plans.make_plan,
    kept_plans.list_plans,
    kept_plans.read_plan,
    jobs.list_jobs,
    jobs.read_job,
    jobs.follow_job,
    jobs.cancel_job,
    *studies.HANDLERS,
    bench_sheets.write_bench_sheets,
    install_sheets.write_install_sheets,
    install_sheets.write_planned_install_sheets,
    purchase_orders.write_purchase_orders,
    purchase_orders.write_purchase_orders_of_plan,
    quotes.make_quote,
    quotes.make_quote_of_plan,
    quote_differences.compare_quotes,
    measurements.write_measurement_sheets,
    measurements.check_readings,
    fits.fit_profile,
    pack_calibrations.calibrate_pack,
    takeoffs.take_off,
    schedules.read_schedule,
    rule_sets.list_rule_sets,
    rule_sets.read_rule_set,
    *study_documents.HANDLERS,
    *publications.HANDLERS,
    *kept_documents.HANDLERS,
    catalogue_differences.compare_versions,
    *webhooks.HANDLERS,
    *webhook_messages.HANDLERS,
    *orders.HANDLERS,
    *order_steps.HANDLERS,
    *order_goods.HANDLERS,
    *order_changes.HANDLERS,
    *racks.HANDLERS,
    audit_entries.list_audit_entries,
    health.read_liveness,
    health.read_readiness,
    metrics.read_metrics,
    pages.read_pointers,
    pages.read_part,
    pages.read_openapi,
    pages.read_documentation,
    pages.read_style,
]


def create_app(
    settings: Settings,
    clock: Callable[[], datetime] = utc_now,
    traces: Traces | None = None,
) -> ASGIApp:
    """Return the service as an ASGI application; it owns its parts from start to shutdown.

    `traces` takes traces; without it the environment says whether they are taken.
    """

    measures = start_measures(wanted=settings.metrics)
    traces = traces or start_traces(os.environ)

    @asynccontextmanager
    async def own_parts(app: Litestar) -> AsyncIterator[None]:
        async with open_store(settings, clock) as store:
            pool = SolverPool(settings, measures, traces)
            admission = Admission(store, clock, beyond_this_machine=not is_loopback(settings.host))
            runner = JobRunner(
                store=store,
                pool=pool,
                settings=settings,
                clock=clock,
                worker=name_process(),
                attach=attach_plan,
                traces=traces,
            )
            dispatcher = Dispatcher(runner, at_once=settings.solvers)
            jobs = JobQueue(call=dispatcher.call, carrier=traces.carrier)
            if settings.jobs_at is JobsAt.WORKERS:
                jobs = JobQueue(
                    call=lambda: None, defer=await tell_workers(store), carrier=traces.carrier
                )
            destinations = Destinations(private=settings.webhooks_to_private_addresses)
            sender = Sender(destinations)
            courier = Courier(store, sender.send, clock)
            app.state.running = Running(
                settings=settings,
                pool=pool,
                shares=TenantShares(
                    limit=settings.solves_per_tenant,
                    queue=settings.queue,
                    seconds=settings.queue_seconds,
                ),
                store=store,
                admission=admission,
                jobs=jobs,
                destinations=destinations,
                clock=clock,
                measures=measures,
                standing=standing_of(pool, store),
                document_json=_documentation()[0],
                page=_documentation()[1],
            )
            pool.start()
            if settings.jobs_at is JobsAt.HERE:
                dispatcher.start()
            courier.start()
            tidying = asyncio.create_task(keep_tidy(store, clock))
            try:
                yield
            finally:
                tidying.cancel()
                await asyncio.gather(tidying, return_exceptions=True)
                await asyncio.gather(
                    dispatcher.close(settings.shutdown_seconds),
                    courier.close(settings.shutdown_seconds),
                )
                await sender.close()
                await pool.close()
                await admission.close()
                await asyncio.to_thread(traces.close)

    gates: list[Middleware] = [OptionsGate(), AdmissionGate()]
    if settings.requests_per_minute:
        gates.append(rate_gate(settings.requests_per_minute))
    gates.append(OnceGate())
    return Front(
        Litestar(
            route_handlers=HANDLERS,
            middleware=gates,
            exception_handlers=EXCEPTION_HANDLERS,
            lifespan=[own_parts],
            request_max_body_size=settings.max_body_bytes,
            # The document is made by `contract`; the framework's own pages load from elsewhere.
            openapi_config=None,
            cors_config=allow_origins(settings.allowed_origins),
            logging_config=None,
        ),
        measures,
        traces,
    )


async def tell_workers(store: Store) -> Defer:
    """Return what tells workers of a job; their part of the store is made where it is missing."""
    # Only this way of working needs the package.
    from service.queue.workers import WorkerQueue  # noqa: PLC0415

    queue = WorkerQueue(store)
    await queue.set_up()
    return queue.defer


@cache
def _documentation() -> tuple[bytes, str]:
    """Return the OpenAPI document as JSON, and the page made of it."""
    document = build_document(HANDLERS, examples_folder())
    return json.dumps(document, ensure_ascii=False).encode(), write_page(document)


@asynccontextmanager
async def open_store(settings: Settings, clock: Callable[[], datetime]) -> AsyncIterator[Store]:
    """Give the store of the settings, with the tables of this version, and close it at the end.

    Raises:
        StoreError: it cannot be reached or written, or is of a newer version.
    """
    store = Store(read_store_url(settings.store))
    try:
        await migrate(store)
        async with store.writing() as transaction:
            await add_tenant(transaction, LOCAL_TENANT, clock())
        yield store
    finally:
        await store.close()
