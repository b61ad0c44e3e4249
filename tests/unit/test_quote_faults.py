"""Faults of the terms of a quote: place, code and message, all at once."""

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from optimiser.domain.faults import Fault, QuoteRejected
from optimiser.domain.quote_terms import (
    Deposit,
    Discount,
    DropCredits,
    LineKind,
    RoundingTerms,
    TaxClass,
    TaxTerms,
    Terms,
    Work,
)
from optimiser.quote import find_terms_faults, price_plan
from tests.every_term import every_term
from tests.quote_terms import EVERY_TERM, ISSUED, labour, margin, mark_up, terms

PLAN = every_term().plan


def faults(stated: Terms) -> tuple[Fault, ...]:
    with pytest.raises(QuoteRejected) as rejected:
        price_plan(PLAN, stated)
    return rejected.value.faults


def test_terms_that_are_sound_have_no_fault() -> None:
    assert find_terms_faults(EVERY_TERM, "USD") == ()


def test_every_fault_of_the_terms_is_told_at_once() -> None:
    stated = Terms(
        issued=ISSUED,
        valid_until=date(2026, 3, 1),
        addition=margin("100"),
        additions=((LineKind.KIT, mark_up("-5")), (LineKind.KIT, mark_up("5"))),
        labour=(
            labour(Work.CUTTING, "-40", per_piece="2"),
            labour(Work.INSTALL, "55", per_opening="-1"),
        ),
        freight_passed_on_percent=Decimal(120),
        tax=TaxTerms(
            classes=(
                TaxClass(name="goods", percent=Decimal(101)),
                TaxClass(name="goods", percent=Decimal(5)),
            ),
            usual="good",
            by_kind=((LineKind.INSTALL, "labour"),),
        ),
        discounts=(
            Discount(name="Both", percent=Decimal(5), amount=Decimal("1.00")),
            Discount(name="Neither"),
            Discount(name="Kits", amount=Decimal("1.005"), of=LineKind.KIT),
        ),
        rounding=RoundingTerms(step=Decimal("0.005")),
        deposits=(
            Deposit(due=date(2026, 2, 1), percent=Decimal(60)),
            Deposit(due=date(2026, 4, 1), percent=Decimal(60)),
        ),
    )
    assert [(fault.path, fault.code) for fault in faults(stated)] == [
        (("valid_until",), "validity-before-issue"),
        (("addition", "percent"), "margin-not-below-100"),
        (("additions", 1), "stated-twice"),
        (("additions", 0, "percent"), "negative-percent"),
        (("labour", 0, "rate_per_hour"), "negative-rate"),
        (("labour", 1, "minutes_per_opening"), "negative-minutes"),
        (("freight_passed_on_percent",), "percent-out-of-range"),
        (("tax", "classes", 1), "stated-twice"),
        (("tax", "classes", 0, "percent"), "percent-out-of-range"),
        (("tax", "usual"), "unknown-tax-class"),
        (("tax", "by_kind", 0, "tax_class"), "unknown-tax-class"),
        (("discounts", 0), "percent-or-amount"),
        (("discounts", 1), "percent-or-amount"),
        (("discounts", 2, "amount"), "amount-not-in-minor-units"),
        (("discounts", 2, "of"), "amount-of-kind"),
        (("rounding", "step"), "step-not-in-minor-units"),
        (("deposits", 0, "due"), "due-before-issue"),
        (("deposits",), "deposits-over-total"),
    ]


@pytest.mark.parametrize(
    ("stated", "message"),
    [
        (
            terms(addition=margin("120")),
            "The addition is a margin of 120 % of the price, which leaves nothing for the cost; "
            "give less than 100 %, or a mark-up of the cost.",
        ),
        (
            Terms(issued=ISSUED, valid_until=date(2026, 3, 1)),
            "The quote is valid until 2026-03-01, before the day of issue, 2026-03-02; give that "
            "day or a later one.",
        ),
        (
            terms(
                tax=TaxTerms(classes=(TaxClass(name="goods", percent=Decimal(20)),), usual="food")
            ),
            "Tax class “food” is not in the rate table (“goods”); name one that is, or add it "
            "there.",
        ),
        (
            terms(labour=(labour(Work.CUTTING, "-4"),)),
            "Labour for cutting: rate per hour is -4, below zero; give 0 or more.",
        ),
        (
            terms(additions=((LineKind.KIT, mark_up("1")), (LineKind.KIT, mark_up("2")))),
            "An addition for kit is stated twice; state it once.",
        ),
        (
            terms(discounts=(Discount(name="Much", amount=Decimal("400.00")),)),
            "The discounts come to USD 400.00, and the price that they are taken from is "
            "USD 372.18; lower them.",
        ),
        (
            terms(deposits=(Deposit(due=ISSUED, amount=Decimal("372.19")),)),
            "The deposits come to USD 372.19, and the total is USD 372.18; lower them.",
        ),
    ],
)
def test_each_fault_says_what_is_wrong_and_what_mends_it(stated: Terms, message: str) -> None:
    assert [fault.message for fault in faults(stated)] == [message]


def test_a_credit_above_all_prices_cannot_be_passed_on() -> None:
    stated = terms(drop_credits=DropCredits.PASSED_ON)
    account = tuple(line for line in PLAN.account if line.kind == "drop-credit")
    plan = replace(PLAN, account=account)
    with pytest.raises(QuoteRejected) as rejected:
        price_plan(plan, stated)
    assert [(f.path, f.code) for f in rejected.value.faults] == [
        (("drop_credits",), "price-below-zero")
    ]
