"""What a collector reads at /metrics after the service has worked."""

import asyncio
import logging
import sys
from collections.abc import Iterator
from pathlib import Path

import httpx
import pytest
from prometheus_client.parser import text_string_to_metric_families

from service.settings import Settings
from service.telemetry import measures
from service.watching import COUNTED_EVERY_SECONDS, Standing
from tests.harbour_row import ten_doors
from tests.serving import running_service

SCRAPE = (
    "application/openmetrics-text;version=1.0.0;escaping=allow-utf-8;q=0.5,"
    "text/plain;version=0.0.4;q=0.3,*/*;q=0.1"
)
"""The header Accept as Prometheus sends it."""


class Figures:
    """What /metrics says, by name and labels."""

    def __init__(self, client: httpx.Client) -> None:
        answer = client.get("/metrics", headers={"accept": SCRAPE})
        assert answer.status_code == 200
        assert answer.headers["content-type"].startswith("text/plain; version=")
        assert answer.headers["content-type"].count("charset") == 1
        self.text = answer.text
        self.samples = {
            (s.name.removeprefix("weatherstrip_"), *sorted(s.labels.items())): s.value
            for family in text_string_to_metric_families(answer.text)
            for s in family.samples
        }

    def __call__(self, name: str, **labels: str) -> float:
        return self.samples.get((name, *sorted(labels.items())), 0.0)


@pytest.fixture
def fresh(tmp_path: Path) -> Iterator[httpx.Client]:
    settings = Settings(
        store=f"{tmp_path}/kept.sqlite", shutdown_seconds=2, requests_per_minute=0, queue=0
    )
    with running_service(settings) as service:
        yield service.client


def test_requests_are_counted_by_method_route_and_status(fresh: httpx.Client) -> None:
    for name in ("interlocking-strip", "felt"):
        fresh.get(f"/v1/rule-sets/{name}")
    fresh.head("/v1/rule-sets")
    fresh.get("/nowhere/at-all")
    fresh.request("BREW", "/v1/plans")
    figures = Figures(fresh)
    route = "/v1/rule-sets/{rule_set_id}"
    assert figures("requests_total", method="GET", route=route, status="200") == 1
    assert figures("requests_total", method="GET", route=route, status="404") == 1
    assert figures("request_duration_seconds_count", method="GET", route=route) == 2
    assert 0 < figures("request_duration_seconds_sum", method="GET", route=route) < 60
    assert figures("requests_total", method="HEAD", route="/v1/rule-sets", status="200") == 1
    assert figures("requests_total", method="GET", route="none", status="404") == 1
    assert "BREW" not in figures.text
    assert "at-all" not in figures.text
    assert figures("problems_total", code="not-found") == 2
    assert figures("problems_total", code="method-not-allowed") == 1


def test_what_a_gate_refuses_is_counted_as_it_was_answered(fresh: httpx.Client) -> None:
    answer = fresh.get("/v1/catalogues", headers={"authorization": "Bearer wstrip_made-up"})
    assert answer.status_code == 401
    figures = Figures(fresh)
    assert figures("requests_total", method="GET", route="/v1/catalogues", status="401") == 1
    assert figures("problems_total", code="no-key") == 1
    assert "made-up" not in figures.text


def test_solving_is_measured(fresh: httpx.Client) -> None:
    assert fresh.post("/v1/plans", json=ten_doors()).status_code == 200
    unserved = ten_doors()
    unserved["openings"][0]["finish"] = "bronze"
    refused = fresh.post("/v1/plans", json=unserved)
    assert refused.json()["code"] == "no-plan"
    figures = Figures(fresh)
    assert figures("solve_duration_seconds_count", outcome="planned") == 1
    assert figures("solve_duration_seconds_count", outcome="no-plan") == 1
    assert figures("solve_duration_seconds_sum", outcome="planned") > 0
    assert figures("wait_duration_seconds_count") == 2
    assert figures("plans_total", proved="yes") == 1
    assert figures("plan_gap_percent_bucket", le="0.0") == 1
    assert figures("plan_gap_percent_count") == 1
    assert figures("solvers") == 1
    assert figures("orders_at_work") == 0
    assert figures("orders_waiting") == 0
    for status in ("queued", "running", "finished", "failed", "cancelled"):
        assert ("jobs", ("status", status)) in figures.samples


def test_the_log_line_of_a_refused_request_has_the_code(
    fresh: httpx.Client, caplog: pytest.LogCaptureFixture
) -> None:
    with caplog.at_level(logging.INFO):
        fresh.get("/nowhere")
        fresh.get("/health/live")
        # A line is written when its request is over; that of the last one may still be to come.
        fresh.get("/health/live")
    codes = {r.path: getattr(r, "problem", None) for r in caplog.records if hasattr(r, "path")}
    # So may that of the question whether the service was ready.
    codes.pop("/health/ready", None)
    assert codes == {"/nowhere": "not-found", "/health/live": None}


def test_a_switch_takes_the_metrics_away(tmp_path: Path) -> None:
    settings = Settings(store=f"{tmp_path}/kept.sqlite", shutdown_seconds=2, metrics=False)
    with running_service(settings, solves=False) as service:
        answer = service.client.get("/metrics")
    assert answer.status_code == 404
    assert "WEATHERSTRIP_METRICS" in answer.json()["detail"]


def test_without_the_extra_the_service_runs_and_names_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delitem(sys.modules, "service.telemetry.prometheus", raising=False)
    for name in [name for name in sys.modules if name.partition(".")[0] == "prometheus_client"]:
        monkeypatch.delitem(sys.modules, name)
    # An import of a module that is None here fails as one that is not installed does.
    monkeypatch.setitem(sys.modules, "prometheus_client", None)  # type: ignore[arg-type]
    settings = Settings(store=f"{tmp_path}/kept.sqlite", shutdown_seconds=2)
    with running_service(settings, solves=False) as service:
        answer = service.client.get("/metrics")
        assert service.client.get("/v1/rule-sets").status_code == 200
    assert answer.status_code == 404
    assert "extra `observability`" in answer.json()["detail"]


def test_every_measure_is_kept_by_the_collector() -> None:
    kept = measures.start_measures(wanted=True)
    taken = {name for name in vars(measures.Measures) if not name.startswith("_")}
    assert taken <= set(vars(type(kept)))


def test_jobs_are_counted_once_in_a_while() -> None:
    class Pool:
        solvers = at_work = waiting = 1

    now, asked = 100.0, 0

    async def count() -> dict[str, int]:
        nonlocal asked
        asked += 1
        return {"queued": asked}

    async def scenario() -> list[int]:
        nonlocal now
        standing = Standing(Pool(), count, lambda: now)  # type: ignore[arg-type]
        seen = [(await standing.tell()).jobs["queued"] for _ in range(3)]
        now += COUNTED_EVERY_SECONDS
        return [*seen, (await standing.tell()).jobs["queued"]]

    assert asyncio.run(scenario()) == [1, 1, 1, 2]
