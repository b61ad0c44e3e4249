"""Answers that are neither plan nor takeoff: health, and problems (RFC 9457)."""

from typing import Annotated, Literal

from pydantic import ConfigDict, Field

from service.wire.base import WireModel
from service.wire.shown import Count


class Alive(WireModel):
    """The service answers."""

    status: Literal["alive"]


class Ready(WireModel):
    """The service takes orders."""

    status: Literal["ready"]
    store: Literal["ok"]
    """What the service keeps can be reached."""
    migrations: Literal["ok"]
    """Its tables are those that this version of the service works with."""
    solver: Literal["ok"]
    """A solver process answers, or is at work."""
    solvers: Count
    """Solver processes that are up."""
    at_work: Count
    """Orders that are being solved."""
    waiting: Count
    """Orders that wait for a solver."""


class ProblemFault(WireModel):
    """One thing that is wrong with a request."""

    pointer: Annotated[str, Field(examples=["/openings/3/size/width"])]
    """A JSON Pointer (RFC 6901) to the value; empty for the whole document."""
    code: Annotated[str, Field(examples=["unreadable-length"])]
    """Stable: for programs."""
    message: str
    """For people: the thing, its value, the limit and the remedy."""


class Problem(WireModel):
    """Why a request was not served (RFC 9457)."""

    # The members with a default are left out of problems that have no faults.
    model_config = ConfigDict(json_schema_serialization_defaults_required=False)

    type: Annotated[str, Field(examples=["/docs#invalid-order"])]
    """Leads to the problem's entry on the documentation page."""
    title: str
    status: Annotated[int, Field(ge=400, le=599)]
    detail: str
    code: Annotated[str, Field(examples=["invalid-order"])]
    """Stable: for programs."""
    request_id: str
    """The request's identifier, as in the header X-Request-ID."""
    fault_count: Count | None = None
    """How many faults there are, also when not all are listed."""
    faults: list[ProblemFault] | None = None
    """Every fault, up to 1,000."""
