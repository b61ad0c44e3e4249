"""What routes find of the running service."""

from dataclasses import dataclass

from service.jobs.pool import SolverPool
from service.responses import AnyRequest
from service.settings import Settings


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """The parts that live as long as the application.

    `document_json` is the OpenAPI document, `page` the documentation page made of it.
    """

    settings: Settings
    pool: SolverPool
    document_json: bytes
    page: str


def running(request: AnyRequest) -> Running:
    """Return the parts of the service that the request came to."""
    parts: Running = request.app.state.running
    return parts
