"""Jobs, over HTTP and in the store: queued, solved, followed, cancelled, never done twice."""

import asyncio
import json
import time
from datetime import timedelta
from pathlib import Path
from typing import Any

import httpx
import pytest

from service.clock import utc_now
from service.store.jobs import (
    LEASE,
    MOST_ATTEMPTS,
    PATIENCE,
    AttemptLost,
    Claimed,
    JobStatus,
    add_job,
    claim_job,
    end_job,
    find_stalled,
    first_overdue,
    hand_back,
    next_queued,
    renew_job,
    retry_job,
)
from service.store.store import Store, read_store_url
from tests.store.serving import make_keys, two_tenants

EXAMPLES = Path(__file__).parents[2] / "openapi" / "examples"
TEN_DOORS = json.loads((EXAMPLES / "ten-doors.json").read_text(encoding="utf-8"))
CATALOGUE = json.loads((EXAMPLES / "larkmoor-catalogue.json").read_text(encoding="utf-8"))
LATER = {"prefer": "respond-async"}


def wait_for(client: httpx.Client, place: str, seconds: float = 60) -> dict[str, Any]:
    """Return a job that has come to its end."""
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        job: dict[str, Any] = client.get(place).json()
        if job["status"] in {"finished", "failed", "cancelled"}:
            return job
        time.sleep(0.1)
    raise AssertionError(f"the job did not end within {seconds} s: {job}")


def test_an_order_is_planned_while_nobody_waits(store_url: str) -> None:
    with two_tenants(store_url, solves=True) as service:
        row = service.row
        at_once = row.post("/v1/plans", json=TEN_DOORS)
        accepted = row.post("/v1/plans", json=TEN_DOORS, headers=LATER)
        assert (accepted.status_code, accepted.json()["status"]) == (202, "queued")
        place = accepted.headers["location"]
        job = wait_for(row, place)
        assert job["status"] == "finished"
        assert "retry-after" not in row.get(place).headers
        plan = row.get(job["plan"])
        assert plan.json()["total"] == at_once.json()["total"] == "459.70"
        assert plan.json()["purchases"] == at_once.json()["purchases"]
        text = row.get(job["plan"], headers={"accept": "text/plain"})
        assert "Total USD 459.70" in text.text
        (listed,) = row.get("/v1/plans").json()["entries"]
        assert (listed["id"], listed["total"], listed["proved"]) == (job["plan_id"], "459.70", True)
        events = row.get(f"{place}/events")
        assert events.headers["content-type"].startswith("text/event-stream")
        (data,) = [line for line in events.text.splitlines() if line.startswith("data: ")]
        assert json.loads(data.removeprefix("data: ")) == job
        done = row.post(f"{place}/cancellation")
        assert (done.status_code, done.json()["code"]) == (409, "not-allowed-now")
        for address in (place, f"{place}/events", job["plan"]):
            assert service.quay.get(address).status_code == 404
        assert service.quay.post(f"{place}/cancellation").status_code == 404
        assert service.quay.get("/v1/jobs").json() == {"entries": []}


def test_an_order_that_cannot_be_served_fails_with_its_problem(tmp_path: Path) -> None:
    order = json.loads(json.dumps(TEN_DOORS))
    order["openings"][0]["size"] = "36 in x 300 in"
    order["policy"] = {**order.get("policy", {}), "allow_kits": False}
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite", solves=True) as service:
        at_once = service.row.post("/v1/plans", json=order)
        assert at_once.status_code == 422
        accepted = service.row.post("/v1/plans", json=order, headers=LATER)
        job = wait_for(service.row, accepted.headers["location"])
        assert job["status"] == "failed"
        assert job["failure"]["faults"] == at_once.json()["faults"]
        # What cannot even be read is refused at once.
        broken = service.row.post("/v1/plans", json={**order, "unit": "ell"}, headers=LATER)
        assert broken.status_code == 422
        assert len(service.row.get("/v1/jobs").json()["entries"]) == 1


def test_a_large_order_is_a_job_unless_it_prefers_to_wait(tmp_path: Path) -> None:
    url = f"sqlite:///{tmp_path}/a.sqlite"
    with two_tenants(url, solves=True, at_once_openings=0) as service:
        accepted = service.row.post("/v1/plans", json=TEN_DOORS)
        assert accepted.status_code == 202
        wait = service.row.post("/v1/plans", json=TEN_DOORS, headers={"prefer": "wait=60"})
        assert (wait.status_code, wait.json()["total"]) == (200, "459.70")
        assert wait_for(service.row, accepted.headers["location"])["status"] == "finished"


def test_catalogues_that_are_kept_may_be_named(store_url: str) -> None:
    order = {**TEN_DOORS, "catalogues": [{"stored": "larkmoor"}]}
    with two_tenants(store_url, solves=True) as service:
        unknown = service.row.post("/v1/plans", json=order)
        (fault,) = unknown.json()["faults"]
        assert (fault["pointer"], fault["code"]) == ("/catalogues/0/stored", "unknown-stored")
        more = {**order, "openings": [{**TEN_DOORS["openings"][0], "quantity": 0}]}
        for path in ("/v1/plans", "/v1/takeoffs"):
            faults = service.row.post(path, json=more).json()["faults"]
            pointers = [fault["pointer"] for fault in faults]
            assert pointers == ["/catalogues/0/stored", "/openings/0/quantity"]
        kept = service.row.post("/v1/catalogues", json=CATALOGUE)
        assert service.row.post("/v1/plans", json=order).json()["total"] == "459.70"
        dearer = {**CATALOGUE["content"], "kits": []}
        service.row.post(
            "/v1/catalogues/larkmoor/versions",
            json={"content": dearer},
            headers={"if-match": kept.headers["etag"]},
        )
        order["catalogues"] = [{"stored": "larkmoor", "version": 1}]
        assert service.row.post("/v1/plans", json=order).json()["total"] == "459.70"
        order["catalogues"] = [{"stored": "larkmoor"}]
        assert service.row.post("/v1/plans", json=order).json()["total"] != "459.70"
        order["catalogues"] = [{"stored": "larkmoor", "version": 9}, {"stored": "Lark Moor"}]
        faults = service.row.post("/v1/plans", json=order).json()["faults"]
        assert {fault["pointer"] for fault in faults} == {
            "/catalogues/0/version",
            "/catalogues/1/stored",
        }
        assert service.quay.post("/v1/plans", json=order).status_code == 422


def test_rule_sets_that_are_kept_may_be_named(tmp_path: Path) -> None:
    order = json.loads((EXAMPLES / "own-rule-set.json").read_text(encoding="utf-8"))
    kept = json.loads((EXAMPLES / "harbour-row-rule-set.json").read_text(encoding="utf-8"))
    named = {**order, "rule_sets": [{"stored": kept["name"], "version": 1}]}
    with two_tenants(f"sqlite:///{tmp_path}/a.sqlite", solves=True) as service:
        assert service.row.post("/v1/own-rule-sets", json=kept).status_code == 201
        for path in ("/v1/plans", "/v1/takeoffs", "/v1/bench-sheets"):
            by_value, by_name = (service.row.post(path, json=body) for body in (order, named))
            assert by_name.status_code == 200
            assert by_name.content == by_value.content
            assert service.quay.post(path, json=named).status_code == 422


def test_a_job_that_is_being_solved_is_cancelled(tmp_path: Path) -> None:
    # Over a thousand distinct lengths keep a solver busy for longer than this test takes.
    door = {**TEN_DOORS["openings"][0], "quantity": 1}
    large = {
        **TEN_DOORS,
        "openings": [
            {**door, "mark": f"D-{n}", "size": f"{30 + n / 64} in x {70 + n / 64} in"}
            for n in range(600)
        ],
        "policy": {**TEN_DOORS.get("policy", {}), "time_limit_seconds": 60},
    }
    url = f"sqlite:///{tmp_path}/a.sqlite"
    with two_tenants(url, solves=True) as service:
        accepted = service.row.post("/v1/plans", json=large, headers=LATER)
        assert accepted.status_code == 202, accepted.text[:300]
        waiting = service.row.post("/v1/plans", json=TEN_DOORS, headers=LATER)
        place = accepted.headers["location"]
        # The first word of it comes from the solver, by way of the row.
        told = follow_until_told(service.row, place)
        assert told["phase"] in {"taking-off", "solving", "alternatives"}
        assert service.row.post(f"{place}/cancellation").status_code == 202
        assert wait_for(service.row, place)["status"] == "cancelled"
        # The solver that was stopped is replaced, and the next job is done.
        assert wait_for(service.row, waiting.headers["location"])["status"] == "finished"


def follow_until_told(client: httpx.Client, place: str) -> dict[str, Any]:
    """Return the first thing that a running job tells of itself."""
    with client.stream("GET", f"{place}/events") as events:
        for line in events.iter_lines():
            job = json.loads(line.removeprefix("data: ")) if line.startswith("data: ") else {}
            if job.get("progress"):
                return job["progress"]  # type: ignore[no-any-return]
    raise AssertionError("the job ended without a word")


def in_store(store_url: str, work: Any) -> None:
    async def run() -> None:
        store = Store(read_store_url(store_url))
        try:
            await work(store)
        finally:
            await store.close()

    make_keys(store_url, {"tenant": "harbour-row"})
    asyncio.run(run())


async def queue(store: Store, openings: int = 10, tenant: str = "harbour-row") -> str:
    async with store.writing() as transaction:
        return await add_job(
            transaction,
            tenant,
            order_id=None,
            openings=openings,
            request="{}",
            trace_context=None,
            now=utc_now(),
        )


async def take(store: Store, job_id: str, worker: str = "w") -> Claimed:
    mine = await claim_job(store, job_id, worker, utc_now())
    assert mine is not None
    return mine


def test_one_of_many_workers_gets_a_job_and_the_small_ones_come_first(store_url: str) -> None:
    async def work(store: Store) -> None:
        large, small = await queue(store, 20_000), await queue(store, 12)
        assert list(await next_queued(store, 5, utc_now())) == [small, large]
        claims = await asyncio.gather(
            *(claim_job(store, small, f"w{number}", utc_now()) for number in range(8))
        )
        assert len([claim for claim in claims if claim]) == 1
        assert list(await next_queued(store, 5, utc_now())) == [large]

    in_store(store_url, work)


def test_a_large_order_lets_small_ones_go_first_for_a_while_only(store_url: str) -> None:
    async def work(store: Store) -> None:
        large, small = await queue(store, 20_000), await queue(store, 12)
        now = utc_now()
        assert list(await next_queued(store, 5, now)) == [small, large]
        assert await first_overdue(store, now) is None
        later = now + PATIENCE
        assert list(await next_queued(store, 5, later)) == [large, small]
        assert await first_overdue(store, later) == large
        await take(store, large)
        assert await first_overdue(store, later) == small

    in_store(store_url, work)


def test_a_tenant_has_no_more_jobs_running_than_its_share(store_url: str) -> None:
    make_keys(store_url, {"tenant": "quay-side"})

    async def work(store: Store) -> None:
        ours = [await queue(store) for _ in range(6)]
        theirs = await queue(store, 20_000, "quay-side")
        claims = await asyncio.gather(
            *(claim_job(store, job, "w", utc_now(), of_a_tenant=2) for job in ours)
        )
        taken = [claim for claim in claims if claim]
        assert len(taken) == 2
        # The large order of the other tenant is next: those in front of it have their share.
        assert list(await next_queued(store, 5, utc_now(), of_a_tenant=2)) == [theirs]
        assert await claim_job(store, theirs, "w", utc_now(), of_a_tenant=2)
        await hand_back(store, taken[0])
        assert len(await next_queued(store, 9, utc_now(), of_a_tenant=2)) == 5

    in_store(store_url, work)


def test_whoever_has_lost_a_job_keeps_nothing(store_url: str) -> None:
    async def work(store: Store) -> None:
        job_id = await queue(store)
        gone = await take(store, job_id, "gone")
        later = utc_now() + LEASE + timedelta(seconds=1)
        assert await find_stalled(store, utc_now()) == []
        (stalled,) = await find_stalled(store, later)
        await retry_job(store, stalled)
        mine = await take(store, job_id, "next")
        assert mine.attempt == gone.attempt + 1
        for lost in (renew_job(store, gone, later, None), hand_back(store, gone)):
            with pytest.raises(AttemptLost):
                await lost
        with pytest.raises(AttemptLost):
            async with store.writing() as transaction:
                await end_job(transaction, gone, JobStatus.FINISHED, later)
        async with store.writing() as transaction:
            await end_job(transaction, mine, JobStatus.FINISHED, later)
        assert await find_stalled(store, later + LEASE) == []

    in_store(store_url, work)


def test_a_job_handed_back_has_lost_no_attempt(store_url: str) -> None:
    async def work(store: Store) -> None:
        job_id = await queue(store)
        for _ in range(MOST_ATTEMPTS + 1):
            mine = await take(store, job_id)
            assert mine.attempt == 1
            await hand_back(store, mine)

    in_store(store_url, work)
