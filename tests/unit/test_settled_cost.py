"""A decision found under way costs what it comes to, not what its point would have paid."""

import sys
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.account import AccountKind, AccountLine
from optimiser.domain.catalogue import StandardKit
from optimiser.domain.decision import Aim, Restriction, Solution
from optimiser.domain.order import Policy
from optimiser.planning import make_plan
from optimiser.planning.assemble import settle_cost
from optimiser.units.lengths import NM_PER_INCH
from tests.ten_doors import CATALOGUE, TEN_DOORS, ZINC, ten_doors

PLAIN = replace(TEN_DOORS, policy=Policy(alternatives=False))


def costing(solution: Solution, cost: str, bound: str) -> Solution:
    certificate = replace(
        solution.certificate, cost=Decimal(cost), lower_bound=Decimal(bound), aims=()
    )
    return replace(solution, certificate=certificate)


def test_a_cost_above_the_total_becomes_the_total_and_the_bound_stays() -> None:
    example = ten_doors()
    found = costing(example.solution, "700.00", "600.00")
    settled = settle_cost(found, example.plan.total).certificate
    assert (settled.cost, settled.lower_bound) == (example.plan.total, 600)
    assert not settled.proved


def test_a_total_that_meets_the_bound_is_proved() -> None:
    example = ten_doors()
    total = example.plan.total
    certificate = replace(example.solution.certificate, cost=total + 9, lower_bound=total)
    settled = settle_cost(replace(example.solution, certificate=certificate), total).certificate
    assert settled.proved
    assert [proof.proved for proof in settled.aims if proof.aim is Aim.COST] == [True]


def test_a_total_above_the_cost_is_left_for_the_check() -> None:
    found = costing(ten_doors().solution, "600.00", "600.00")
    assert settle_cost(found, Decimal("644.30")) is found


@pytest.fixture
def paying_more(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let the solver find the best plan with a point that pays 5.00 more, unproved."""
    planning = sys.modules["optimiser.planning.make_plan"]
    solve = planning.solve_order  # type: ignore[attr-defined]

    def solve_dearly(*given: object, restriction: Restriction, **others: object) -> Solution:
        solution: Solution = solve(*given, restriction=restriction, **others)
        certificate = solution.certificate
        dear = replace(
            certificate, cost=certificate.cost + 5, lower_bound=certificate.lower_bound - 1
        )
        return replace(solution, certificate=dear)

    monkeypatch.setattr(planning, "solve_order", solve_dearly)
    yield


PRICES = {other.code: other.cost for other in make_plan(TEN_DOORS).alternatives}


@pytest.mark.usefixtures("paying_more")
def test_a_plan_and_its_alternatives_cost_what_they_come_to() -> None:
    plan = make_plan(TEN_DOORS)
    # Each of these would fail the plan's own check, were it 5.00 too dear.
    assert plan.certificate.cost == plan.total
    assert plan.certificate.gap == 1
    prices = {other.code: other.cost for other in plan.alternatives}
    assert prices == PRICES


def test_what_is_bought_for_nothing_stands_in_the_account() -> None:
    kit = StandardKit(
        sku="LT-84",
        material=ZINC,
        lengths=((84 * NM_PER_INCH, 3), (36 * NM_PER_INCH, 2)),
        price=Decimal(0),
    )
    catalogue = replace(CATALOGUE, standard_kits=(kit,))
    plan = make_plan(replace(PLAIN, catalogues=(catalogue,)))
    assert AccountLine(kind=AccountKind.STANDARD_KIT, amount=Decimal(0)) in plan.account
    # 1,040 nails: 16 packs at 2.25.
    assert plan.total == 36
