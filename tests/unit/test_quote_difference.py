"""Two quotes side by side: every difference adds up as the amounts do."""

from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.faults import QuoteRejected
from optimiser.domain.quote import Quote
from optimiser.domain.quote_difference import Change
from optimiser.domain.quote_terms import LineKind
from optimiser.fulfilment import difference_order
from optimiser.planning import make_plan
from optimiser.quote import compare_quotes, price_plan
from optimiser.render import render_customer_difference, render_inside_difference
from tests.every_term import every_term
from tests.quote_terms import EVERY_TERM, GOODS_AND_LABOUR, mark_up, terms
from tests.ten_doors import SMALL, small, ten_doors

TAXED = terms(addition=mark_up("25"), tax=GOODS_AND_LABOUR)


def both(before: Quote, after: Quote) -> tuple[Decimal, Decimal]:
    compared = compare_quotes(before, after)
    return compared.customer.total.difference, compared.inside.cost.difference


def add(changes: list[Change]) -> Decimal:
    return sum((change.difference for change in changes), Decimal(0))


def test_differences_add_up_as_the_amounts_do() -> None:
    before, after = price_plan(every_term().plan, EVERY_TERM), price_plan(small().plan, EVERY_TERM)
    compared = compare_quotes(before, after)
    seen, inside = compared.customer, compared.inside
    assert add([item.price for item in seen.openings]) == seen.list_price.difference
    assert add([line.price for line in inside.lines]) == inside.list_price.difference
    assert add([line.cost for line in inside.lines]) == inside.cost.difference
    assert add([item.cost for item in inside.openings]) == inside.cost.difference
    assert add([line.net for line in inside.lines]) == inside.net_price.difference
    discounts = add([item.amount for item in seen.discounts])
    net = seen.list_price.difference - discounts + seen.rounding.difference
    assert net == seen.net_price.difference
    taxes = add([item.amount for item in seen.taxes])
    assert net + taxes == seen.total.difference == after.customer.total - before.customer.total
    earned = inside.net_price.difference - inside.cost.difference
    assert earned == inside.earned.difference


def test_marks_and_kinds_that_are_not_there_count_as_zero() -> None:
    before, after = price_plan(every_term().plan, TAXED), price_plan(ten_doors().plan, TAXED)
    compared = compare_quotes(before, after)
    marks = {item.mark: item for item in compared.customer.openings}
    assert list(marks) == ["D-1", "D-2", "D-3", "D-4"]
    assert (marks["D-1"].quantity_before, marks["D-1"].quantity_after) == (2, 10)
    assert (marks["D-4"].quantity_before, marks["D-4"].quantity_after) == (3, 0)
    assert marks["D-4"].price.after == 0
    standard = {line.kind: line for line in compared.inside.lines}[LineKind.STANDARD_KIT]
    assert (standard.cost.before, standard.cost.after) == (Decimal("78.00"), Decimal(0))


def test_a_quote_does_not_differ_from_itself() -> None:
    quoted = price_plan(every_term().plan, EVERY_TERM)
    assert both(quoted, quoted) == (Decimal(0), Decimal(0))


def test_forth_and_back_is_nothing() -> None:
    one, other = price_plan(every_term().plan, TAXED), price_plan(small().plan, TAXED)
    forth, back = both(one, other), both(other, one)
    assert [a + b for a, b in zip(forth, back, strict=True)] == [0, 0]


def test_two_currencies_have_no_difference() -> None:
    quoted = price_plan(every_term().plan, EVERY_TERM)
    euros = replace(quoted, customer=replace(quoted.customer, currency="EUR"))
    with pytest.raises(QuoteRejected) as rejected:
        compare_quotes(quoted, euros)
    assert str(rejected.value) == (
        "The quote was in USD and is now in EUR; amounts of two currencies have no difference: "
        "quote anew."
    )


def test_text_says_what_became_of_each_mark_and_shows_signs() -> None:
    before, after = price_plan(every_term().plan, TAXED), price_plan(ten_doors().plan, TAXED)
    compared = compare_quotes(before, after)
    text = render_customer_difference(compared.customer)
    assert "D-1: 2 before, 10 now" in text
    assert "D-4: 3 left out" in text
    assert "D-1: 10 added" not in text
    inside = render_inside_difference(compared.inside)
    assert "not for the customer" in inside
    # Standard kits at 78.00 are gone, at 97.50 for the customer.
    assert "USD -78.00  standard kits" in inside
    assert "USD -97.50  standard kits" in inside


def test_what_is_already_bought_is_not_quoted_again() -> None:
    accepted = make_plan(SMALL)
    more = (replace(SMALL.openings[0], quantity=6), *SMALL.openings[1:])
    changed = difference_order(SMALL, accepted, more)
    assert changed.order is not None
    plan = make_plan(changed.order)
    held = sum(line.amount for line in plan.purchases if line.supplier == ALREADY_BOUGHT)
    inside = price_plan(plan, terms()).inside
    assert inside.left_out == held > 0
    assert inside.cost + held == plan.total
    assert sum(opening.cost for opening in inside.openings) == inside.cost
