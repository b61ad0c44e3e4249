"""What is counted and timed of the service's work, for a collector or for nobody."""

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """How things stand at this moment. `jobs` counts by status; empty where it is not known."""

    solvers: int
    at_work: int
    waiting: int
    jobs: dict[str, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """Everything that was measured, written out for a collector."""

    text: bytes
    media_type: str


class Measures:
    """Takes every measure and keeps none; `why_not` says what would keep them.

    Labels are values of the service's own making, and few: never a tenant, a key or an address
    that a client made up.
    """

    def __init__(self, why_not: str = "Nothing is measured here.") -> None:
        self.why_not = why_not

    def request_answered(self, *, method: str, route: str, status: int, seconds: float) -> None:
        """Take one request; `route` is a template, `seconds` how long answering took."""

    def problem_answered(self, code: str) -> None:
        """Take one request that was answered with a problem."""

    def order_waited(self, seconds: float) -> None:
        """Take one order that got a solver after so many seconds."""

    def order_solved(self, *, outcome: str, seconds: float) -> None:
        """Take one order that a solver has had for so many seconds."""

    def plan_made(self, *, proved: bool, gap_percent: float) -> None:
        """Take one plan; its gap is in per cent of its cost."""

    def solver_replaced(self, reason: str) -> None:
        """Take one solver process that was replaced by another."""

    def write(self, moment: Moment) -> Page | None:
        """Return all that was measured, with how things stand; nothing where none is kept."""
        return None


def start_measures(*, wanted: bool) -> Measures:
    """Return what measures: nothing, where that is not wanted or its library is not there."""
    if not wanted:
        return Measures("Metrics are switched off; set WEATHERSTRIP_METRICS to on.")
    try:
        from service.telemetry.prometheus import PrometheusMeasures  # noqa: PLC0415
    except ModuleNotFoundError as missing:
        if missing.name != "prometheus_client":
            raise
        return Measures(
            "There are no metrics: install the service with its extra `observability`, as in "
            "pip install 'weatherstrip-optimiser[observability]'."
        )
    return PrometheusMeasures()
