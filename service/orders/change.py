"""A change of an accepted order that waits to be accepted, as it is kept."""

from dataclasses import dataclass

from pydantic import TypeAdapter

from optimiser.domain.difference import Difference


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangeInWaiting:
    """What an order is to become, and what that keeps and needs.

    `body` is the changed order with its references, `request` the same by value, both as JSON.
    `job_id` is the job that plans what is to be bought beside, `plan_id` its plan.
    """

    body: str
    request: str
    difference: Difference
    job_id: str | None = None
    plan_id: str | None = None

    @property
    def ready(self) -> bool:
        """Return whether it can be accepted."""
        return self.difference.order is None or self.plan_id is not None


_CHANGE = TypeAdapter(ChangeInWaiting)


def read_change(kept: str) -> ChangeInWaiting:
    """Return a change as it is kept."""
    return _CHANGE.validate_json(kept)


def write_change(change: ChangeInWaiting) -> str:
    """Return a change as JSON, to keep."""
    return _CHANGE.dump_json(change).decode()
