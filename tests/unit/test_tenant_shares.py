import asyncio

import pytest

from service.jobs.shares import TenantShares
from service.problems import Problem
from service.resource_problems import TOO_MANY_REQUESTS


def shares(limit: int, *, queue: int = 1, seconds: float = 10) -> TenantShares:
    return TenantShares(limit=limit, queue=queue, seconds=seconds)


async def hold(held: TenantShares, tenant: str, until: asyncio.Event, seen: list[str]) -> None:
    async with held.hold(tenant):
        seen.append(tenant)
        await until.wait()


def test_an_order_beyond_the_share_waits_and_that_of_another_tenant_does_not() -> None:
    async def scenario() -> tuple[list[str], list[str]]:
        held, until, seen = shares(1), asyncio.Event(), list[str]()
        tasks = [
            asyncio.create_task(hold(held, tenant, until, seen))
            for tenant in ("harbour-row", "harbour-row", "quay-side")
        ]
        await asyncio.sleep(0.05)
        before = list(seen)
        until.set()
        await asyncio.gather(*tasks)
        assert not held._shares
        return before, seen

    before, after = asyncio.run(scenario())
    assert before == ["harbour-row", "quay-side"]
    assert after == ["harbour-row", "quay-side", "harbour-row"]


def test_one_more_than_may_wait_is_told_when_to_come_back() -> None:
    async def scenario() -> Problem:
        held, until, seen = shares(1, queue=1), asyncio.Event(), list[str]()
        tasks = [asyncio.create_task(hold(held, "harbour-row", until, seen)) for _ in range(2)]
        await asyncio.sleep(0.05)
        with pytest.raises(Problem) as refused:
            await hold(held, "harbour-row", until, seen)
        until.set()
        await asyncio.gather(*tasks)
        return refused.value

    problem = asyncio.run(scenario())
    assert problem.kind is TOO_MANY_REQUESTS
    assert problem.headers == {"retry-after": "5"}
    assert problem.detail == (
        "Orders of yours that are being solved: 1, which is the limit, and 1 more wait already."
    )


def test_a_wait_that_was_too_long_gives_its_place_back() -> None:
    async def scenario() -> str:
        held, until, seen = shares(1, seconds=0.05), asyncio.Event(), list[str]()
        first = asyncio.create_task(hold(held, "harbour-row", until, seen))
        await asyncio.sleep(0)
        with pytest.raises(Problem) as refused:
            await hold(held, "harbour-row", until, seen)
        until.set()
        await first
        await hold(held, "harbour-row", until, seen)
        assert not held._shares
        return refused.value.detail

    assert "none of them ended within 0.05 s" in asyncio.run(scenario())


def test_without_a_limit_nobody_waits() -> None:
    async def scenario() -> int:
        held, until, seen = shares(0, queue=0), asyncio.Event(), list[str]()
        tasks = [asyncio.create_task(hold(held, "harbour-row", until, seen)) for _ in range(5)]
        await asyncio.sleep(0)
        until.set()
        await asyncio.gather(*tasks)
        return len(seen)

    assert asyncio.run(scenario()) == 5
