"""The purchase list of a plan: its sums are those of the plan, which were worked out by hand.

The order with every term of buying, and its sums, are in `tests.every_term`.
"""

from collections.abc import Iterator
from decimal import Decimal

import pytest

from optimiser.domain.plan import Plan
from optimiser.domain.publication import Edition, Language, LengthsShown, Publication
from optimiser.publishing.builders.matter import PlanMatter
from optimiser.publishing.builders.purchases import build_purchase_list
from tests.every_term import every_term
from tests.publications import column, table_of
from tests.ten_doors import Example, small, ten_doors


def purchase_list(example: Example, **edition: object) -> Publication:
    matter = PlanMatter(plan=example.plan, order=example.order)
    return build_purchase_list(matter, Edition(**edition))  # type: ignore[arg-type]


def amounts_bought(publication: Publication) -> Iterator[Decimal]:
    for table in publication.tables:
        if table.name.startswith("purchases-"):
            yield from (cell for cell in column(table, "amount") if isinstance(cell, Decimal))


def goods(plan: Plan) -> Decimal:
    return sum((shipment.goods for shipment in plan.shipments), Decimal(0))


def test_what_is_paid_stands_by_supplier_and_adds_up() -> None:
    publication = purchase_list(every_term())
    # Larkmoor Strip & Seal 143.50 + 11.00 + 6.00, Larkmoor Trade Counter 192.06 + 5.00.
    assert [row[-1] for row in table_of(publication, "purchases-1").totals] == [
        Decimal("143.50"),
        Decimal("11.00"),
        Decimal("6.00"),
        Decimal("160.50"),
    ]
    assert [row[-1] for row in table_of(publication, "purchases-2").totals] == [
        Decimal("192.06"),
        Decimal("5.00"),
        Decimal("197.06"),
    ]
    paid = table_of(publication, "to-pay")
    assert column(paid, "to-pay") == [Decimal("160.50"), Decimal("197.06")]
    assert paid.totals == (("Total to pay", Decimal("357.56")),)


def test_what_is_weighed_has_a_column_of_its_own() -> None:
    plan = every_term().plan
    account = table_of(purchase_list(every_term()), "account")
    paid = [cell for cell in column(account, "paid") if isinstance(cell, Decimal)]
    weighed = [cell for cell in column(account, "weighed") if isinstance(cell, Decimal)]
    assert account.totals == (("Sums", sum(paid), sum(weighed)),)
    assert (sum(paid), sum(paid) + sum(weighed)) == (plan.payable, plan.total)
    assert sum(paid) + sum(weighed) == Decimal("370.98")


def test_what_the_rack_gives_is_valued_as_in_the_account() -> None:
    plan = every_term().plan
    rack = table_of(purchase_list(every_term()), "from-rack")
    on_account = sum(line.amount for line in plan.account if line.kind == "rack")
    assert sum(c for c in column(rack, "amount") if isinstance(c, Decimal)) == on_account
    assert rack.totals[0][-1] == on_account


@pytest.mark.parametrize("example", [ten_doors(), small(), every_term()])
@pytest.mark.parametrize("language", list(Language))
def test_every_line_of_the_plan_is_listed_once(example: Example, language: Language) -> None:
    publication = purchase_list(example, language=language)
    lines = [
        (row[0], row[1], row[3], row[4])
        for table in publication.tables
        if table.name.startswith("purchases-")
        for row in table.rows
    ]
    bought = [(x.quantity, x.sku, x.unit_price, x.amount) for x in example.plan.purchases]
    assert sorted(lines) == sorted(bought)  # type: ignore[type-var]
    assert sum(amounts_bought(publication)) == goods(example.plan)


def test_lengths_are_told_in_the_units_that_are_asked_for() -> None:
    both = purchase_list(every_term(), lengths=LengthsShown.BOTH)
    assert column(table_of(both, "purchases-1"), "what")[0] == (
        "Stock length 84 in (2133.6 mm), interlocking-strip, zinc"
    )
