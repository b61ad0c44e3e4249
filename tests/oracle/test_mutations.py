"""Each constraint of the program, broken, is noticed by the re-proof or by an oracle."""

from dataclasses import replace
from unittest.mock import patch

import pytest

from optimiser.domain.decision import Restriction
from optimiser.solver import order_purchase, solve_order
from optimiser.solver.buying import BuyingFormulation, formulate_buying
from optimiser.takeoff import take_off
from tests.oracle.buying_draws import draw_tiny_buying_order
from tests.oracle.buying_to_order import to_order
from tests.oracle.exhaustive_buying import least_buying_cents
from tests.oracle.exhaustive_offers import Forbidden
from tests.oracle.mutations import MUTATIONS, columns, notice, without


@pytest.mark.parametrize("name", sorted(MUTATIONS))
def test_a_broken_constraint_is_noticed(name: str) -> None:
    assert notice(name)


def test_a_broken_number_of_kits_in_a_re_solve_is_noticed() -> None:
    # A door is cut in the plan; the re-solve wants a kit for it.
    buying = draw_tiny_buying_order(1, features=("cut-charge",))
    buying = replace(buying, base=replace(buying.base, doors=buying.base.doors[:1]))
    order = to_order(buying)
    demand = take_off(order).demand
    exact = least_buying_cents(buying, Forbidden(all_but_so_many_kits=1))
    assert exact is not None
    assert exact != least_buying_cents(buying)

    def broken(*given: object) -> BuyingFormulation:
        formulation = formulate_buying(*given)  # type: ignore[arg-type]
        # One way to buy a kit is a limit of its column, several are a row.
        program = columns(lambda column: replace(column, lower=0))(formulation.program)
        return replace(formulation, program=without("set 0")(program))

    fixed = Restriction(kits_per_set=(1,))
    assert solve_order(order, demand, restriction=fixed).certificate.cost * 100 == exact
    with patch.object(order_purchase, "formulate_buying", broken):
        assert solve_order(order, demand, restriction=fixed).certificate.cost * 100 < exact
