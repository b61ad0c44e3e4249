"""What holds for every quote: sums are exact, and a higher cost never lowers the price."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from optimiser.domain.account import AccountKind, AccountLine
from optimiser.domain.faults import QuoteRejected
from optimiser.domain.plan import Plan
from optimiser.domain.quote import Quote
from optimiser.domain.quote_terms import (
    Addition,
    AdditionBasis,
    Deposit,
    Discount,
    DropCredits,
    LabourTerms,
    LineKind,
    RoundingRule,
    RoundingTerms,
    TaxClass,
    TaxRounding,
    TaxTerms,
    Terms,
    Work,
)
from optimiser.planning import make_plan
from optimiser.quote import price_plan
from optimiser.quote.allotment import allot
from optimiser.quote.shares import share_costs
from tests.every_term import every_term
from tests.harbour_row import mixed_order
from tests.harbour_row_terms import with_terms
from tests.quote_terms import ISSUED, VALID
from tests.ten_doors import small, ten_doors

percents = st.decimals(0, 99, places=2)
amounts = st.decimals(0, 5, places=2)
kinds = st.sampled_from(list(LineKind))


def additions() -> st.SearchStrategy[Addition]:
    return st.builds(Addition, basis=st.sampled_from(AdditionBasis), percent=percents)


def labours() -> st.SearchStrategy[tuple[LabourTerms, ...]]:
    each = st.builds(
        LabourTerms,
        work=st.sampled_from(Work),
        rate_per_hour=st.decimals(0, 90, places=2),
        minutes_per_piece=amounts,
        minutes_per_opening=amounts,
    )
    return st.lists(each, max_size=3, unique_by=lambda item: item.work).map(tuple)


def discounts() -> st.SearchStrategy[tuple[Discount, ...]]:
    each = st.one_of(
        st.builds(Discount, name=st.just("of a kind"), percent=percents, of=kinds),
        st.builds(Discount, name=st.just("of the order"), percent=percents),
        st.builds(Discount, name=st.just("fixed"), amount=amounts),
    )
    return st.lists(each, max_size=4).map(tuple)


def taxes() -> st.SearchStrategy[TaxTerms]:
    return st.builds(
        TaxTerms,
        classes=st.just(
            (TaxClass(name="a", percent=Decimal(20)), TaxClass(name="b", percent=Decimal("5.5")))
        ),
        usual=st.sampled_from("ab"),
        by_kind=st.lists(
            st.tuples(kinds, st.sampled_from("ab")), max_size=4, unique_by=lambda pair: pair[0]
        ).map(tuple),
        rounding=st.sampled_from(TaxRounding),
    )


def all_terms() -> st.SearchStrategy[Terms]:
    return st.builds(
        Terms,
        issued=st.just(ISSUED),
        valid_until=st.just(VALID),
        addition=additions(),
        additions=st.lists(
            st.tuples(kinds, additions()), max_size=3, unique_by=lambda pair: pair[0]
        ).map(tuple),
        labour=labours(),
        freight_passed_on_percent=st.decimals(0, 100, places=1),
        drop_credits=st.sampled_from(DropCredits),
        tax=st.none() | taxes(),
        discounts=discounts(),
        rounding=st.builds(
            RoundingTerms,
            rule=st.sampled_from(RoundingRule),
            step=st.sampled_from([None, Decimal("0.05"), Decimal("1.00"), Decimal("25")]),
        ),
        deposits=st.lists(
            st.builds(Deposit, due=st.just(date(2026, 3, 30)), percent=st.decimals(0, 33)),
            max_size=3,
        ).map(tuple),
    )


@lru_cache(maxsize=1)
def plans() -> tuple[Plan, ...]:
    order = with_terms(mixed_order(6, seed=2, keen_kits=True), "rack", "bundles")
    order = replace(order, policy=replace(order.policy, alternatives=False))
    return (every_term().plan, small().plan, ten_doors().plan, make_plan(order))


def price(plan: Plan, stated: Terms) -> Quote | None:
    try:
        return price_plan(plan, stated)
    except QuoteRejected:
        return None


def add(amounts: Sequence[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))


@settings(max_examples=150, deadline=None)
@given(all_terms(), st.integers(0, 3))
def test_every_sum_is_exact_under_every_rule(stated: Terms, number: int) -> None:
    plan = plans()[number]
    quoted = price(plan, stated)
    assume(quoted is not None)
    assert quoted is not None
    seen, inside = quoted.customer, quoted.inside
    assert add([o.price for o in seen.openings]) == seen.list_price == inside.list_price
    for opening in seen.openings:
        assert add([each * count for each, count in opening.each]) == opening.price
        assert sum(count for _, count in opening.each) == opening.opening.quantity
    reduced = seen.list_price - add([d.amount for d in seen.discounts]) + seen.rounding
    assert reduced == seen.net_price == inside.net_price == add([x.net for x in inside.lines])
    if stated.rounding.step:
        assert seen.net_price % stated.rounding.step == 0
    assert seen.total == seen.net_price + add([t.amount for t in seen.taxes])
    if stated.tax is not None and inside.lines:
        assert add([t.taxable for t in seen.taxes]) == seen.net_price
    assert seen.balance + add([d.amount for d in seen.deposits]) == seen.total
    assert seen.balance >= 0
    for line in inside.lines:
        assert line.cost + line.added == line.price
    assert add([x.price for x in inside.lines]) == inside.list_price
    assert (
        add([x.cost for x in inside.lines]) == inside.cost == add([o.cost for o in inside.openings])
    )
    assert inside.cost - add([w.cost for w in inside.labour]) + inside.left_out == plan.total
    assert inside.earned == inside.net_price - inside.cost


def test_the_shares_of_a_cost_add_up_to_the_account_of_the_plan() -> None:
    for plan in plans():
        account = {line.kind.value: Fraction(line.amount) for line in plan.account if line.amount}
        account.pop(AccountKind.PREFERENCE.value, None)
        shares = share_costs(plan)
        assert {kind.value: sum(by_mark) for kind, by_mark in shares.items()} == account


def make_dearer(plan: Plan, position: int, more: Decimal) -> Plan:
    """Return a plan in which one thing costs more: goods, then freight, then what is counted."""
    if position < len(plan.purchases):
        line = plan.purchases[position]
        raised = replace(line, amount=line.amount + more)
        purchases = (*plan.purchases[:position], raised, *plan.purchases[position + 1 :])
        shipments = tuple(
            replace(s, goods=s.goods + more) if s.supplier == line.supplier else s
            for s in plan.shipments
        )
        plan, kind = replace(plan, purchases=purchases, shipments=shipments), line.kind.value
    elif position < len(plan.purchases) + len(plan.shipments):
        chosen = plan.shipments[position - len(plan.purchases)]
        shipments = tuple(
            replace(s, charge=s.charge + more) if s is chosen else s for s in plan.shipments
        )
        plan, kind = replace(plan, shipments=shipments), "freight"
    else:
        counted = (AccountKind.CUT_CHARGE, AccountKind.SPLICE, AccountKind.DROP_CREDIT)
        kind = counted[(position - len(plan.purchases) - len(plan.shipments)) % 3].value
    amounts = {line.kind: line.amount for line in plan.account}
    amounts[AccountKind(kind)] = amounts.get(AccountKind(kind), Decimal(0)) + more
    account = tuple(AccountLine(kind=of, amount=amount) for of, amount in amounts.items())
    return replace(plan, account=account, total=plan.total + more)


@settings(max_examples=150, deadline=None)
@given(all_terms(), st.data())
def test_a_higher_cost_never_lowers_the_price(stated: Terms, data: st.DataObject) -> None:
    plan = plans()[data.draw(st.integers(0, 3))]
    position = data.draw(st.integers(0, len(plan.purchases) + len(plan.shipments) + 2))
    more = data.draw(st.decimals("0.01", 3, places=2))
    before, after = price(plan, stated), price(make_dearer(plan, position, more), stated)
    assume(before is not None and after is not None)
    assert before is not None
    assert after is not None
    assert add([o.price for o in after.customer.openings]) == after.customer.list_price
    assert after.customer.list_price >= before.customer.list_price
    assert after.customer.net_price >= before.customer.net_price
    if stated.tax is None:
        assert after.customer.total >= before.customer.total


@settings(max_examples=100, deadline=None)
@given(
    st.integers(-10_000, 1_000_000),
    st.lists(st.fractions(0, 1_000, max_denominator=97), min_size=1, max_size=12),
)
def test_a_share_differs_from_the_exact_one_by_less_than_a_unit(
    units: int, weights: list[Fraction]
) -> None:
    shares = allot(units, weights)
    assert sum(shares) == units
    total = sum(weights)
    assume(total)
    for share, weight in zip(shares, weights, strict=True):
        assert abs(share - units * weight / total) < 1


@settings(max_examples=100, deadline=None)
@given(st.integers(0, 10_000), st.lists(st.integers(0, 50), min_size=2, max_size=12))
def test_a_greater_weight_never_gets_less(units: int, weights: list[int]) -> None:
    shares = allot(units, [Fraction(weight) for weight in weights])
    ranked = sorted(zip(weights, shares, strict=True))
    for (weight, share), (other, others_share) in pairwise(ranked):
        assert weight == other or share <= others_share
