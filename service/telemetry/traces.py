"""Traces of a request, its job and the phases of its solver; nothing where nobody takes them.

Names and attributes are of the service's own making: never a key, a body, a query or an address
of a client.
"""

from collections.abc import Iterator, Mapping
from contextlib import contextmanager

SWITCHES = (
    "OTEL_EXPORTER_OTLP_ENDPOINT",
    "OTEL_EXPORTER_OTLP_TRACES_ENDPOINT",
    "OTEL_TRACES_EXPORTER",
)
"""Variables of OpenTelemetry's own specification; traces are taken where one of them is set."""


class Span:
    """A part of the work that is under way; this one is nobody's."""

    def note(self, **attributes: str | int | bool) -> None:
        """Add attributes."""

    def fail(self, why: str) -> None:
        """Mark the work as failed."""

    def enter(self, phase: str) -> None:
        """End the phase before, and begin another one within this span; the same goes on."""


class Traces:
    """Takes no traces."""

    on = False

    @contextmanager
    def request(self, method: str, headers: Mapping[str, str]) -> Iterator[Span]:
        """Give the span of a request; a W3C `traceparent` among the headers is its parent."""
        yield Span()

    @contextmanager
    def part(self, name: str, parent: str | None = None) -> Iterator[Span]:
        """Give a span within the current one, or within one that `carrier` was written of."""
        yield Span()

    def carrier(self) -> str | None:
        """Return where the work is, as text that a job can carry to another process."""
        return None

    def close(self) -> None:
        """Hand over what was not handed over yet."""


def start_traces(environment: Mapping[str, str]) -> Traces:
    """Return what takes traces: nothing, unless OpenTelemetry is configured.

    Raises:
        ModuleNotFoundError: it is, and its packages are not installed.
    """
    off = environment.get("OTEL_SDK_DISABLED", "").lower() == "true"
    wanted = any(environment.get(name) for name in SWITCHES)
    if off or not wanted or environment.get("OTEL_TRACES_EXPORTER") == "none":
        return Traces()
    # Only where traces are taken are the packages there.
    from service.telemetry.open_telemetry import start  # noqa: PLC0415

    return start()
