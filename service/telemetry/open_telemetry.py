"""Traces by OpenTelemetry, sent over OTLP as its own environment variables say."""

import json
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

import structlog
from opentelemetry import propagate, trace
from opentelemetry.context import Context
from opentelemetry.exporter.otlp.proto.http.trace_exporter import OTLPSpanExporter
from opentelemetry.sdk.resources import SERVICE_NAME, Resource
from opentelemetry.sdk.trace import SpanProcessor, TracerProvider
from opentelemetry.sdk.trace.export import BatchSpanProcessor
from opentelemetry.trace import SpanKind, StatusCode

from service.telemetry.traces import Span, Traces

NAME = "weatherstrip-optimiser"


def start(processor: SpanProcessor | None = None) -> Traces:
    """Return what takes traces and hands them to a processor; without one, over OTLP."""
    resource = Resource.create({SERVICE_NAME: NAME})
    provider = TracerProvider(resource=resource, shutdown_on_exit=False)
    provider.add_span_processor(processor or BatchSpanProcessor(OTLPSpanExporter()))
    return TracesTaken(provider)


class SpanTaken(Span):
    """A span, and the one of the phase within it that is under way."""

    def __init__(self, tracer: trace.Tracer, span: trace.Span) -> None:
        self._tracer, self._span = tracer, span
        self._phase: trace.Span | None = None
        self._phase_name = ""

    def note(self, **attributes: str | int | bool) -> None:
        """Add attributes; a double underscore in a name stands for a dot."""
        for name, value in attributes.items():
            self._span.set_attribute(name.replace("__", "."), value)

    def fail(self, why: str) -> None:
        """Mark the work as failed."""
        self._span.set_status(StatusCode.ERROR, why)

    def enter(self, phase: str) -> None:
        """End the phase before, and begin another one; the same goes on."""
        if phase == self._phase_name:
            return
        self.leave()
        self._phase_name = phase
        within = trace.set_span_in_context(self._span)
        self._phase = self._tracer.start_span(phase, context=within)

    def leave(self) -> None:
        """End the phase that is under way."""
        if self._phase is not None:
            self._phase.end()
            self._phase = None


class TracesTaken(Traces):
    """Takes traces."""

    on = True

    def __init__(self, provider: TracerProvider) -> None:
        self._provider = provider
        self._tracer = provider.get_tracer(NAME)

    @contextmanager
    def request(self, method: str, headers: Mapping[str, str]) -> Iterator[Span]:
        """Give the span of a request."""
        parent = propagate.extract(headers)
        with self._span(method, parent, SpanKind.SERVER) as span:
            yield span

    @contextmanager
    def part(self, name: str, parent: str | None = None) -> Iterator[Span]:
        """Give a span within another one."""
        context = None if parent is None else propagate.extract(json.loads(parent))
        with self._span(name, context, SpanKind.INTERNAL) as span:
            yield span

    def carrier(self) -> str | None:
        """Return where the work is: the headers of W3C Trace Context, as JSON."""
        headers: dict[str, str] = {}
        propagate.inject(headers)
        return json.dumps(headers) if headers else None

    def close(self) -> None:
        """Hand over what was not handed over yet."""
        self._provider.shutdown()

    @contextmanager
    def _span(self, name: str, parent: Context | None, kind: SpanKind) -> Iterator[Span]:
        with self._tracer.start_as_current_span(
            name, context=parent, kind=kind, record_exception=False
        ) as span:
            taken = SpanTaken(self._tracer, span)
            known: Any = span.get_span_context()
            ids = {"trace_id": f"{known.trace_id:032x}", "span_id": f"{known.span_id:016x}"}
            with structlog.contextvars.bound_contextvars(**ids):
                try:
                    yield taken
                finally:
                    taken.leave()
