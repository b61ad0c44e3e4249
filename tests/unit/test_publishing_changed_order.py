"""Documents of a plan that only adds to what is already bought: nobody is asked to pay it again.

The small order of two lots of doors is accepted, and two doors are added.
"""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.plan import Plan
from optimiser.domain.publication import Chart, Edition
from optimiser.fulfilment import difference_order
from optimiser.planning import make_plan
from optimiser.publishing.builders import DOCUMENTS_OF_PLANS
from optimiser.publishing.builders.account import paid_in_all, read_account
from optimiser.publishing.builders.matter import PlanMatter
from tests.publications import EXAMPLES, blocks_of, column, table_of
from tests.ten_doors import SMALL


@pytest.fixture(scope="module")
def matter() -> PlanMatter:
    accepted = make_plan(SMALL)
    more = (replace(SMALL.openings[0], quantity=6), *SMALL.openings[1:])
    difference = difference_order(SMALL, accepted, more)
    assert difference.order is not None
    return PlanMatter(plan=make_plan(difference.order), order=difference.order)


def held(plan: Plan) -> Decimal:
    bought = (line.amount for line in plan.purchases if line.supplier == ALREADY_BOUGHT)
    return sum(bought, Decimal(0))


def test_only_what_is_bought_beside_is_to_be_paid(matter: PlanMatter) -> None:
    publication = DOCUMENTS_OF_PLANS["purchase-list"](matter, Edition())
    paid = table_of(publication, "to-pay")
    assert ALREADY_BOUGHT not in column(paid, "supplier")
    assert paid.totals[0][1] == matter.plan.payable - held(matter.plan)
    assert paid_in_all(matter.plan) == paid.totals[0][1]
    assert len(table_of(publication, "already-bought").rows) == sum(
        line.supplier == ALREADY_BOUGHT for line in matter.plan.purchases
    )


def test_account_comes_to_the_total_with_what_is_held_beside(matter: PlanMatter) -> None:
    lines = list(read_account(matter.plan))
    assert sum(line.amount for line in lines) == matter.plan.total
    assert sum(line.amount for line in lines if line.paid) == paid_in_all(matter.plan)


def test_where_the_money_goes_leaves_out_what_is_held(matter: PlanMatter) -> None:
    publication = DOCUMENTS_OF_PLANS["why-this-plan"](matter, Edition())
    for chart in blocks_of(publication, Chart):
        drawn = [amount for _, amount in chart.points if isinstance(amount, Decimal)]
        assert sum(drawn) == paid_in_all(matter.plan)


@pytest.mark.parametrize("name", list(EXAMPLES))
def test_of_any_other_plan_all_that_is_payable_is_paid(name: str) -> None:
    plan = EXAMPLES[name].plan
    assert paid_in_all(plan) == plan.payable
    assert sum(line.amount for line in read_account(plan)) == plan.total
