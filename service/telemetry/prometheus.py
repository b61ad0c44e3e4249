"""Measures kept for Prometheus, in a registry of the application's own.

The framework's plugin is not used for these: it counts what a gate refuses as 200, does not see
an address that no route has, and keeps its figures for the process and not for the application
(Litestar 2.25).
"""

from collections.abc import Iterable

from prometheus_client import CollectorRegistry, Counter, Histogram, ProcessCollector
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.exposition import CONTENT_TYPE_LATEST, generate_latest
from prometheus_client.registry import Collector

from service.telemetry.measures import Measures, Moment, Page

REQUEST_SECONDS = (0.005, 0.02, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10, 30, 60, 120, 300)
SOLVE_SECONDS = (0.05, 0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 40, 80, 160, 320)
GAP_PERCENT = (0, 0.001, 0.01, 0.05, 0.1, 0.25, 0.5, 1, 2, 5, 10, 25)
"""The upper ends of the buckets; the first gap is that of a proved plan."""


class PrometheusMeasures(Measures):
    """Keeps every measure until the process ends."""

    def __init__(self) -> None:
        super().__init__()
        self._kept = CollectorRegistry()
        # Memory, processor time and open files, where the system tells them.
        ProcessCollector(registry=self._kept)
        self._requests = Counter(
            "weatherstrip_requests",
            "Requests that were answered.",
            ("method", "route", "status"),
            registry=self._kept,
        )
        self._request_seconds = Histogram(
            "weatherstrip_request_duration_seconds",
            "How long answering a request took.",
            ("method", "route"),
            buckets=REQUEST_SECONDS,
            registry=self._kept,
        )
        self._problems = Counter(
            "weatherstrip_problems",
            "Requests that were answered with a problem, by its code.",
            ("code",),
            registry=self._kept,
        )
        self._wait_seconds = Histogram(
            "weatherstrip_wait_duration_seconds",
            "How long an order waited for a solver.",
            buckets=SOLVE_SECONDS,
            registry=self._kept,
        )
        self._solve_seconds = Histogram(
            "weatherstrip_solve_duration_seconds",
            "How long a solver had an order, by what came of it.",
            ("outcome",),
            buckets=SOLVE_SECONDS,
            registry=self._kept,
        )
        self._plans = Counter(
            "weatherstrip_plans",
            "Plans that were made, by whether nothing cheaper was proved to exist.",
            ("proved",),
            registry=self._kept,
        )
        self._gaps = Histogram(
            "weatherstrip_plan_gap_percent",
            "By how much of its cost a plan might at most be cheaper, in per cent.",
            buckets=GAP_PERCENT,
            registry=self._kept,
        )
        self._replaced = Counter(
            "weatherstrip_solvers_replaced",
            "Solver processes that were replaced, by the reason.",
            ("reason",),
            registry=self._kept,
        )

    def request_answered(self, *, method: str, route: str, status: int, seconds: float) -> None:
        """Take one request."""
        self._requests.labels(method, route, str(status)).inc()
        self._request_seconds.labels(method, route).observe(seconds)

    def problem_answered(self, code: str) -> None:
        """Take one problem."""
        self._problems.labels(code).inc()

    def order_waited(self, seconds: float) -> None:
        """Take one wait."""
        self._wait_seconds.observe(seconds)

    def order_solved(self, *, outcome: str, seconds: float) -> None:
        """Take one order."""
        self._solve_seconds.labels(outcome).observe(seconds)

    def plan_made(self, *, proved: bool, gap_percent: float) -> None:
        """Take one plan."""
        self._plans.labels("yes" if proved else "no").inc()
        self._gaps.observe(gap_percent)

    def solver_replaced(self, reason: str) -> None:
        """Take one solver process."""
        self._replaced.labels(reason).inc()

    def write(self, moment: Moment) -> Page:
        """Return everything in Prometheus' text format."""
        now = CollectorRegistry()
        now.register(_MomentCollector(moment))
        # The framework adds the character set to a text's media type itself.
        media_type = CONTENT_TYPE_LATEST.removesuffix("; charset=utf-8")
        return Page(text=generate_latest(now) + generate_latest(self._kept), media_type=media_type)


class _MomentCollector(Collector):
    """Gauges of one moment."""

    def __init__(self, moment: Moment) -> None:
        self._moment = moment

    def collect(self) -> Iterable[Metric]:
        """Yield the gauges."""
        moment = self._moment
        yield GaugeMetricFamily(
            "weatherstrip_solvers", "Solver processes that are up.", moment.solvers
        )
        yield GaugeMetricFamily(
            "weatherstrip_orders_at_work", "Orders that are being solved.", moment.at_work
        )
        yield GaugeMetricFamily(
            "weatherstrip_orders_waiting", "Orders that wait for a solver.", moment.waiting
        )
        jobs = GaugeMetricFamily(
            "weatherstrip_jobs", "Jobs that the store keeps, by status.", labels=("status",)
        )
        for status, count in sorted(moment.jobs.items()):
            jobs.add_metric((status,), count)
        yield jobs
