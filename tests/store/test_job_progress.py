"""What a job tells of itself while it is planned, event by event over HTTP."""

import json
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any

from optimiser.domain.progress import Phase
from tests.harbour_row import mixed_order
from tests.store.serving import two_tenants

LATER = {"prefer": "respond-async"}
PHASES = [phase.value for phase in Phase]


def follow(client: Any, place: str) -> list[dict[str, Any]]:
    """Return the job as each of its events has it, up to its end."""
    with client.stream("GET", f"{place}/events") as events:
        data = [line for line in events.iter_lines() if line.startswith("data: ")]
    return [json.loads(line.removeprefix("data: ")) for line in data]


def test_a_long_job_tells_its_phases_and_costs_and_bounds_that_only_get_better(
    tmp_path: Path,
) -> None:
    order = mixed_order(600, seed=3)
    order["policy"] = {**order.get("policy", {}), "time_limit_seconds": 6}
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite", solves=True) as service:
        accepted = service.row.post("/v1/plans", json=order, headers=LATER)
        jobs = follow(service.row, accepted.headers["location"])
        assert jobs[-1]["status"] == "finished", jobs[-1]
        told = [job["progress"] for job in jobs if job["progress"]]
        phases = [PHASES.index(progress["phase"]) for progress in told]
        assert phases == sorted(phases)
        assert {"solving", "writing"} & {progress["phase"] for progress in told}
        bounds = [Decimal(p["lower_bound"]) for p in told if p["lower_bound"] is not None]
        costs = [Decimal(p["best_cost"]) for p in told if p["best_cost"] is not None]
        assert all(before <= after for before, after in pairwise(bounds))
        assert all(before >= after for before, after in pairwise(costs))
        for progress in told:
            if progress["best_cost"] is not None and progress["lower_bound"] is not None:
                gap = Decimal(progress["best_cost"]) - Decimal(progress["lower_bound"])
                assert Decimal(progress["gap"]) == gap
        plan = service.row.get(jobs[-1]["plan"]).json()
        certificate = plan["certificate"]
        assert [b for b in bounds if b > Decimal(certificate["lower_bound"])] == []
        assert [c for c in costs if c < Decimal(certificate["cost"])] == []
