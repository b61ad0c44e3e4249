"""What routes find of the running service."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from litestar import Litestar

from service.access.admission import Admission
from service.jobs.pool import SolverPool
from service.jobs.shares import TenantShares
from service.queue.queue import JobQueue
from service.responses import AnyRequest
from service.settings import Settings
from service.store.store import Store
from service.telemetry.measures import Measures
from service.watching import Standing
from service.webhooks.destinations import Destinations


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """The parts that live as long as the application.

    `document_json` is the OpenAPI document, `page` the documentation page made of it; `clock`
    tells the moment, aware and in UTC. `measures` are taken of the work, `standing` tells how
    things stand. `shares` hold each tenant to its share of the solvers.
    """

    settings: Settings
    pool: SolverPool
    shares: TenantShares
    store: Store
    admission: Admission
    jobs: JobQueue
    destinations: Destinations
    clock: Callable[[], datetime]
    measures: Measures
    standing: Standing
    document_json: bytes
    page: str


def running(request: AnyRequest) -> Running:
    """Return the parts of the service that the request came to."""
    return running_of(request.app)


def running_of(app: Litestar) -> Running:
    """Return the parts of a service that has started."""
    parts: Running = app.state.running
    return parts
