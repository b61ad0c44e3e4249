"""The wiring: the only place that knows every part of the service."""

import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from litestar import Litestar
from litestar.types import ASGIApp, ControllerRouterHandler

from service.contract import build_document
from service.documentation.page import write_page
from service.examples import examples_folder
from service.front import Front
from service.jobs.pool import SolverPool
from service.responses import EXCEPTION_HANDLERS
from service.routes import (
    bench_sheets,
    fits,
    health,
    install_sheets,
    measurements,
    pack_calibrations,
    pages,
    plans,
    rule_sets,
    schedules,
    takeoffs,
)
from service.running import Running
from service.settings import Settings

HANDLERS: list[ControllerRouterHandler] = [
    plans.make_plan,
    bench_sheets.write_bench_sheets,
    install_sheets.write_install_sheets,
    install_sheets.write_planned_install_sheets,
    measurements.write_measurement_sheets,
    measurements.check_readings,
    fits.fit_profile,
    pack_calibrations.calibrate_pack,
    takeoffs.take_off,
    schedules.read_schedule,
    rule_sets.list_rule_sets,
    rule_sets.read_rule_set,
    health.read_liveness,
    health.read_readiness,
    pages.read_pointers,
    pages.read_openapi,
    pages.read_documentation,
    pages.read_style,
]


def create_app(settings: Settings) -> ASGIApp:
    """Return the service as an ASGI application; it owns its solvers from start to shutdown."""

    @asynccontextmanager
    async def own_solvers(app: Litestar) -> AsyncIterator[None]:
        document = build_document(HANDLERS, examples_folder())
        pool = SolverPool(settings)
        app.state.running = Running(
            settings=settings,
            pool=pool,
            document_json=json.dumps(document, ensure_ascii=False).encode(),
            page=write_page(document),
        )
        pool.start()
        try:
            yield
        finally:
            await pool.close()

    return Front(
        Litestar(
            route_handlers=HANDLERS,
            exception_handlers=EXCEPTION_HANDLERS,
            lifespan=[own_solvers],
            request_max_body_size=settings.max_body_bytes,
            # The document is made by `contract`; the framework's own pages load from elsewhere.
            openapi_config=None,
            logging_config=None,
        )
    )
