"""A study's table against plans made one by one, and against arithmetic by hand."""

import time
from dataclasses import replace
from decimal import Decimal
from itertools import count, pairwise
from typing import Any

import pytest

from optimiser.domain.decision import Aim
from optimiser.domain.faults import Fault, InvalidOrder
from optimiser.domain.order import Order, Policy
from optimiser.domain.study import PointOutcome, PurchaseChange
from optimiser.planning import make_plan
from optimiser.render.study_text import render_study
from optimiser.solver import order_purchase
from optimiser.study import Point, run_study, to_records
from optimiser.units.lengths import LengthUnit
from service.mapping.reading import read_decoded
from service.wire.order import Order as WireOrder
from tests.harbour_row import mixed_order, ten_doors
from tests.harbour_row_terms import with_terms


def read(wire: Any) -> Order:
    """Return an order of the wire without alternatives: a study makes none."""
    order = read_decoded(wire, WireOrder).order
    return replace(order, policy=replace(order.policy, alternatives=False))


def with_pack_price(order: Order, price: str) -> Order:
    """Return an order in which every loose pack has this price."""
    (catalogue,) = order.catalogues
    packs = tuple(replace(pack, price=Decimal(price)) for pack in catalogue.fastener_packs)
    return replace(order, catalogues=(replace(catalogue, fastener_packs=packs),))


def with_policy(order: Order, **changes: Any) -> Order:
    """Return an order with another policy."""
    return replace(order, policy=replace(order.policy, **changes))


def hold_against_plans(base: Order, points: list[Order]) -> None:
    """Assert that every point of a study has the cost and the proof of a plan of its order."""
    study = run_study(
        base, [Point(name=f"{n}", order=order, place=(n,)) for n, order in enumerate(points)]
    )

    assert len(study.rows) == len(points)
    for row, order in zip(study.rows, points, strict=True):
        plan = make_plan(order)
        certificate = row.certificate
        assert certificate is not None
        assert (row.cost, certificate.cost) == (plan.total, plan.total)
        assert certificate.lower_bound == plan.certificate.lower_bound
        assert certificate.proved == plan.certificate.proved
        assert row.difference == plan.total - make_plan(base).total


def test_points_of_ten_doors_cost_what_their_plans_cost() -> None:
    base = read(ten_doors())
    prices = [with_pack_price(base, f"{n / 20:.2f}") for n in range(20, 70, 4)]
    policies = [with_policy(base, allow_kits=False), with_policy(base, kerf_nm=3_175_000)]
    hold_against_plans(base, [*prices, *policies, base])


def test_points_of_a_mixed_order_cost_what_their_plans_cost() -> None:
    base = read(mixed_order(4, seed=3))
    hold_against_plans(base, [with_pack_price(base, f"{n}.00") for n in (1, 9, 5)])


def test_points_with_terms_of_buying_cost_what_their_plans_cost() -> None:
    base = with_policy(with_terms(ten_doors(), "freight", "breaks"), alternatives=False)
    hold_against_plans(base, [with_policy(base, kerf_nm=3_175_000), with_pack_price(base, "1.00")])


def test_an_order_with_terms_is_settled_by_its_neighbours(monkeypatch: pytest.MonkeyPatch) -> None:
    solved = []
    solve = order_purchase.solve_by_branching

    def count(*args: Any, **options: Any) -> Any:
        solved.append(1)
        return solve(*args, **options)

    monkeypatch.setattr(order_purchase, "solve_by_branching", count)
    base = with_policy(with_terms(ten_doors(), "breaks"), alternatives=False)
    points = [with_pack_price(base, f"{3 + n / 100:.2f}") for n in range(9)]
    study = run_study(
        base, [Point(name=f"{n}", order=order, place=(n,)) for n, order in enumerate(points)]
    )
    # The base at 2.85 and the first point, at which its plan costs more: nothing of the second
    # plan is a loose pack, so that it costs the same at every higher price and stays the cheapest.
    assert len(solved) == 2
    assert all(row.proved for row in study.rows)
    assert [row.cost for row in study.rows] == [make_plan(order).total for order in points]
    proofs = {proof.aim: proof.proved for proof in study.rows[4].certificate.aims}  # type: ignore[union-attr]
    assert proofs == {Aim.COST: True, Aim.DROP: False, Aim.PATTERNS: False}


def test_a_cheaper_pack_never_raises_the_cost() -> None:
    base = read(mixed_order(6, seed=5))
    prices = [f"{n / 4:.2f}" for n in range(40)]
    study = run_study(
        base,
        [
            Point(name=price, order=with_pack_price(base, price), place=(n,))
            for n, price in enumerate(prices)
        ],
    )

    costs = [row.cost for row in study.rows if row.cost is not None and row.proved]
    assert len(costs) == 40
    assert costs == sorted(costs)
    # The least cost is concave in one price: its rise never grows.
    rises = [after - before for before, after in pairwise(costs)]
    assert rises == sorted(rises, reverse=True)


def test_ten_doors_change_to_loose_packs_below_the_price_that_kits_charge_for_a_pack() -> None:
    # 1,040 nails are 16 packs of 65. A kit with nails brings 4 for 9.60 more, 2.40 a pack.
    # At 2.41 four such kits are bought: 42.13 × 10 + 4 × 9.60 = 459.70. At 2.39 none is, and
    # 16 packs are bought loose: 421.30 + 16 × 2.39 = 459.54.
    base = read(ten_doors())
    study = run_study(
        base,
        [Point(name=price, order=with_pack_price(base, price)) for price in ("2.39", "2.41")],
    )

    loose, kits = study.rows
    assert (loose.cost, kits.cost) == (Decimal("459.54"), Decimal("459.70"))
    assert (loose.kits, loose.kits_with_fasteners) == (10, 0)
    assert (kits.kits, kits.kits_with_fasteners, kits.spare_fasteners) == (10, 4, 0)
    assert kits.changes == ()
    assert loose.changes == tuple(
        PurchaseChange(
            supplier="Larkmoor Strip & Seal", sku=sku, base_quantity=before, quantity=now
        )
        for sku, before, now in (("LK-Z", 6, 10), ("LK-Z-N", 4, 0), ("LN-01", 0, 16))
    )
    assert (loose.difference, loose.difference_percent) == (Decimal("-0.16"), Decimal("-0.03"))


def test_a_point_without_a_plan_says_why_and_the_others_have_theirs() -> None:
    base = read(ten_doors())
    fault = Fault(("policy",), "leads-nowhere", "It leads nowhere.")
    study = run_study(
        base,
        [
            Point(name="not made", faults=(fault,)),
            Point(name="no supply", order=with_policy(base, allow_kits=False, allow_cutting=False)),
            Point(name="wrong value", order=with_policy(base, kerf_nm=-1)),
            Point(name="sound", order=base),
        ],
    )

    assert [row.outcome for row in study.rows] == [
        PointOutcome.INVALID,
        PointOutcome.NO_PLAN,
        PointOutcome.INVALID,
        PointOutcome.PLANNED,
    ]
    assert study.rows[0].faults == (fault,)
    assert all(row.faults for row in study.rows[:3])
    assert study.rows[3].cost == study.base.cost
    text = render_study(study, LengthUnit.INCH)
    assert "not made: It leads nowhere." in text
    assert "4 points, 1 with a plan, 1 of them proved" in text


def test_what_is_not_solved_within_the_time_of_the_study_says_so() -> None:
    base = read(ten_doors())
    ticks = count()
    study = run_study(
        base,
        [Point(name="late", order=with_pack_price(base, "1.00"))],
        clock=lambda: next(ticks) / 1_000,
        time_limit_seconds=0.01,
    )

    (row,) = study.rows
    assert row.outcome is PointOutcome.NOT_IN_TIME
    assert row.faults[0].code == "study-out-of-time"


def test_a_base_without_a_plan_is_an_error() -> None:
    base = read(ten_doors())
    with pytest.raises(InvalidOrder):
        run_study(with_policy(base, kerf_nm=-1), [Point(name="sound", order=base)])


def test_equal_orders_are_solved_once_and_told() -> None:
    base = read(ten_doors())
    other = with_pack_price(base, "1.00")
    started = time.process_time()
    study = run_study(base, [Point(name=f"{n}", order=other) for n in range(200)])
    seconds = time.process_time() - started

    assert [row.equal_to for row in study.rows[:3]] == ["", "0", "0"]
    assert seconds < 2


def test_records_are_flat_and_have_the_same_members() -> None:
    base = read(ten_doors())
    order = with_pack_price(base, "1.00")
    study = run_study(base, [Point(name="a", order=order, values=(("price", "1.00"),))])

    first, second = to_records(study)
    assert list(first) == list(second)
    assert (first["price"], second["price"]) == (None, "1.00")
    assert (second["cost"], second["proved"]) == (Decimal("437.30"), True)
    assert second["changes"] == "LK-Z 6 > 10, LK-Z-N 4 > 0, LN-01 0 > 16"


def test_the_policy_fields_that_a_takeoff_is_shared_over_do_not_change_it() -> None:
    base = read(ten_doors())
    changed = with_policy(
        base,
        kerf_nm=3_175_000,
        end_trim_nm=3_175_000,
        allow_kits=False,
        cut_charge=Decimal("0.10"),
        time_limit_seconds=5.0,
    )
    assert Policy().kerf_nm == 0
    hold_against_plans(base, [changed, base])
