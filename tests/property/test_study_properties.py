"""What holds for every study: its points are planned as if each were alone."""

from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.order import Order
from optimiser.planning import make_plan
from optimiser.study import Point, run_study
from tests.oracle.small_orders import draw_small_order

few = settings(max_examples=8, deadline=None, derandomize=True)

PRICES = [Decimal(n) / 10 for n in (5, 9, 11, 16)]
"""What the price of every pack, or of every bar, is multiplied by."""

orders = st.integers(0, 10_000).map(lambda seed: draw_small_order(seed).to_order())


def moved(order: Order, packs: Decimal, bars: Decimal) -> Order:
    catalogue = order.catalogues[0]
    return replace(
        order,
        policy=replace(order.policy, alternatives=False),
        catalogues=(
            replace(
                catalogue,
                fastener_packs=tuple(
                    replace(pack, price=pack.price * packs) for pack in catalogue.fastener_packs
                ),
                stock_lengths=tuple(
                    replace(bar, price=bar.price * bars) for bar in catalogue.stock_lengths
                ),
            ),
            *order.catalogues[1:],
        ),
    )


class TestPointsAreAsIfAlone:
    @few
    @given(orders, st.sampled_from(PRICES))
    def test_cost_and_proof_are_those_of_a_plan_of_the_same_order(
        self, order: Order, bars: Decimal
    ) -> None:
        points = [
            Point(name=str(packs), order=moved(order, packs, bars), place=(n,))
            for n, packs in enumerate(PRICES)
        ]
        study = run_study(order, points)
        for point, row in zip(points, study.rows, strict=True):
            assert point.order is not None and row.certificate is not None
            alone = make_plan(point.order).certificate
            assert (row.cost, row.certificate.lower_bound) == (alone.cost, alone.lower_bound)

    @few
    @given(orders)
    def test_a_cheaper_price_never_raises_the_cost(self, order: Order) -> None:
        points = [
            Point(name=f"{packs} {bars}", order=moved(order, packs, bars), place=(m, n))
            for m, packs in enumerate(PRICES)
            for n, bars in enumerate(PRICES)
        ]
        rows = run_study(order, points).rows
        costs = {
            point.place: row.cost or Decimal(0) for point, row in zip(points, rows, strict=True)
        }
        for (m, n), cost in costs.items():
            assert cost <= costs.get((m + 1, n), cost)
            assert cost <= costs.get((m, n + 1), cost)
