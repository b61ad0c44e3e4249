"""Traces: one from the request through its job to the phases of the solver, and no secret in it."""

import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from service.telemetry.traces import Traces, start_traces
from tests.harbour_row import ten_doors
from tests.serving import running_service
from tests.store.serving import client_with, make_keys, settings_for

pytest.importorskip("opentelemetry.sdk", reason="the extra `observability` is not installed")

PARENT = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01"
"""The example of W3C Trace Context, section 3.2.2."""
TRACE, CALLER = 0x0AF7651916CD43DD8448EB211C80319C, 0xB7AD6B7169203331


def test_one_trace_joins_request_job_and_phases(tmp_path: Path) -> None:
    from opentelemetry.sdk.trace.export import SimpleSpanProcessor  # noqa: PLC0415
    from opentelemetry.sdk.trace.export.in_memory_span_exporter import (  # noqa: PLC0415
        InMemorySpanExporter,
    )

    from service.telemetry.open_telemetry import start  # noqa: PLC0415

    taken = InMemorySpanExporter()
    url = f"sqlite:///{tmp_path}/kept.sqlite"
    (made,) = make_keys(url, {"tenant": "harbour-row"})
    traces = start(SimpleSpanProcessor(taken))
    with (
        running_service(settings_for(url), traces=traces) as service,
        client_with(service.address, made.key) as client,
    ):
        headers = {"traceparent": PARENT, "prefer": "respond-async"}
        queued = client.post("/v1/plans?q=secret", json=ten_doors(), headers=headers)
        assert queued.status_code == 202
        place = queued.headers["location"]
        deadline = time.monotonic() + 60
        while client.get(place).json()["status"] != "finished":
            assert time.monotonic() < deadline
            time.sleep(0.1)
        client.post("/v1/plans", json=ten_doors(), headers={"traceparent": PARENT})
    ours = [span for span in taken.get_finished_spans() if span.context.trace_id == TRACE]
    by_id = {span.context.span_id: span for span in ours}

    def line_of(span: Any) -> list[str]:
        names = []
        while span is not None:
            names.append(span.name)
            parent = span.parent.span_id
            assert parent == CALLER or parent in by_id
            span = by_id.get(parent)
        return names[::-1]

    lines = [line_of(span) for span in ours]
    phases = ["taking-off", "solving", "alternatives", "checking", "writing"]
    assert [line for line in lines if line[:3] == ["POST", "job", "solve"] and len(line) == 4] == [
        ["POST", "job", "solve", phase] for phase in phases
    ]
    assert ["POST", "solve", "solving"] in lines
    routes = {span.attributes["http.route"] for span in ours if span.name == "POST"}
    assert routes == {"/v1/plans"}
    told = " ".join(span.to_json() for span in taken.get_finished_spans())
    for secret in (made.key, "Larkmoor", "secret", "127.0.0.1", str(client.base_url.port)):
        assert secret not in told


def test_traces_are_taken_where_the_environment_says_so() -> None:
    assert type(start_traces({})) is Traces
    endpoint = {"OTEL_EXPORTER_OTLP_ENDPOINT": "http://127.0.0.1:4318"}
    assert type(start_traces({**endpoint, "OTEL_SDK_DISABLED": "true"})) is Traces
    assert type(start_traces({**endpoint, "OTEL_TRACES_EXPORTER": "none"})) is Traces
    traces = start_traces(endpoint)
    assert traces.on
    traces.close()


def test_nothing_of_it_is_loaded_where_no_traces_are_taken() -> None:
    script = (
        "import sys, service.app; sys.exit(any(n.startswith('opentelemetry') for n in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", script], check=False).returncode == 0
