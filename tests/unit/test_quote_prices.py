"""A quote worked out by hand: additions, labour, freight, discounts, tax, rounding, deposits.

The plan is that of `tests/every_term.py`; all arithmetic stands beside the figures.
"""

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from optimiser.domain.quote import InsideLine, Quote
from optimiser.domain.quote_terms import (
    Addition,
    Deposit,
    Discount,
    DropCredits,
    LineKind,
    RoundingRule,
    RoundingTerms,
    TaxClass,
    TaxRounding,
    TaxTerms,
    Terms,
    Work,
)
from optimiser.quote import price_plan
from tests.every_term import every_term
from tests.quote_terms import EVERY_TERM, GOODS_AND_LABOUR, labour, margin, mark_up, terms
from tests.ten_doors import small, ten_doors

PLAN = every_term().plan


def quote(stated: Terms = EVERY_TERM) -> Quote:
    return price_plan(PLAN, stated)


def figures(line: InsideLine) -> tuple[str, str, str]:
    return str(line.cost), str(line.added), str(line.price)


def line(quoted: Quote, kind: LineKind) -> InsideLine:
    return next(line for line in quoted.inside.lines if line.kind is kind)


def test_every_line_is_priced_by_its_own_addition() -> None:
    assert {line.kind.value: figures(line) for line in quote().inside.lines} == {
        "stock-length": ("74.50", "18.63", "93.13"),  # × 1.25 = 93.125
        "kit": ("165.06", "70.74", "235.80"),  # / 0.70
        "fastener-pack": ("18.00", "4.50", "22.50"),
        "standard-kit": ("78.00", "19.50", "97.50"),
        "freight": ("16.00", "-6.00", "10.00"),  # half of it × 1.25
        "over-length": ("6.00", "-2.25", "3.75"),
        "cut-charge": ("5.20", "1.30", "6.50"),
        "splice": ("4.50", "1.13", "5.63"),  # 5.625
        "rack": ("4.92", "1.23", "6.15"),
        "drop-credit": ("-4.20", "4.20", "0.00"),  # kept in the shop
        "cutting": ("24.00", "6.00", "30.00"),  # 13 pieces × 2 + 2 openings × 5 = 36 min at 40
        "install": ("577.50", "144.38", "721.88"),  # 7 openings × 90 = 630 min at 55; 721.875
    }


def test_prices_discounts_tax_and_deposits_are_those_of_the_hand_calculation() -> None:
    customer = quote().customer
    assert customer.list_price == Decimal("1232.84")
    # 235.80 × 10 % = 23.58; (1,232.84 − 23.58) × 5 % = 60.463; then 10.00 off: 1,138.80.
    assert [(given.name, str(given.amount)) for given in customer.discounts] == [
        ("Kits of the season", "23.58"),
        ("Trade", "60.46"),
        ("Introduction", "10.00"),
    ]
    assert (customer.rounding, customer.net_price) == (Decimal("0.00"), Decimal("1138.80"))
    # Reductions but that of the kits, 70.46, lie on 1,209.26: install bears 42.06 of them.
    taxes = [(str(t.taxable), str(t.amount)) for t in customer.taxes]
    assert taxes == [("458.98", "91.80"), ("679.82", "33.99")]
    assert customer.total == Decimal("1264.59")
    # 30 % = 379.377, rounded down; 1,264.59 − 379.37 − 100.00.
    assert [str(d.amount) for d in customer.deposits] == ["379.37", "100.00"]
    assert customer.balance == Decimal("785.22")


def test_each_mark_has_its_share_of_every_cost() -> None:
    """D-1, two standard kits, has 208 of 742 nails.

    Cost: 78.00 + 18.00 × 208/742 = 83.046 of the 143.50 of goods, so freight 11.00 × 0.57872 =
    6.366 and over-length 3.472; nails on hand 0.258; install 577.50 × 2/7 = 165.00. Together
    258.142. Price: × 1.25, and half of freight and over-length: 316.529.
    """
    first, *_ = quote().inside.openings
    assert (first.mark, first.cost, first.price) == ("D-1", Decimal("258.14"), Decimal("316.53"))
    shown = quote().customer.openings[0]
    assert shown.each == ((Decimal("158.27"), 1), (Decimal("158.26"), 1))


def test_what_stays_inside_agrees_with_the_plan() -> None:
    inside = quote().inside
    goods = sum(line.cost for line in inside.lines) - sum(work.cost for work in inside.labour)
    assert goods + inside.left_out == inside.plan_total == PLAN.total == Decimal("370.98")
    assert inside.left_out == Decimal("3.00")
    assert inside.cost == Decimal("969.48")
    assert inside.earned == Decimal("169.32")  # 1,138.80 − 969.48
    assert inside.earned_percent == Decimal("14.87")  # 14.868 %
    assert inside.absorbed == Decimal("11")  # half of 16.00 + 6.00
    assert sum(line.net for line in inside.lines) == inside.net_price


def test_a_margin_of_a_fifth_is_a_mark_up_of_a_quarter() -> None:
    # 1 / (1 − 0.20) = 1.25
    by_margin, by_mark_up = (
        quote(terms(addition=margin("20"))),
        quote(terms(addition=mark_up("25"))),
    )
    assert by_margin.customer == by_mark_up.customer
    assert line(by_margin, LineKind.STANDARD_KIT).price == Decimal("97.50")


def test_without_additions_the_price_is_the_cost_that_is_paid() -> None:
    quoted = quote(terms())
    assert quoted.customer.total == PLAN.total - Decimal("3.00") + Decimal("4.20")
    assert quoted.customer.balance == quoted.customer.total


def test_a_credit_that_is_passed_on_lowers_the_price_by_just_itself() -> None:
    kept, passed = (
        quote(terms(addition=mark_up("25"), drop_credits=who)).customer.list_price
        for who in (DropCredits.KEPT, DropCredits.PASSED_ON)
    )
    assert kept - passed == Decimal("4.20")


def test_absorbed_freight_is_a_cost_without_a_price() -> None:
    quoted = quote(terms(freight_passed_on_percent=Decimal(0), addition=mark_up("25")))
    freight = line(quoted, LineKind.FREIGHT)
    assert (figures(freight), freight.addition) == (("16.00", "-16.00", "0.00"), None)


def test_rounding_to_a_step_is_shown_by_itself() -> None:
    stated = terms(rounding=RoundingTerms(rule=RoundingRule.UP, step=Decimal("5.00")))
    customer = quote(stated).customer
    assert (customer.list_price, customer.rounding) == (Decimal("372.18"), Decimal("2.82"))
    assert customer.net_price == Decimal("375.00")


def test_tax_rounded_on_each_line_differs_from_tax_rounded_once() -> None:
    # Ten doors: kits 275.34 and packs 9.00. 7.5 % of 284.34 is 21.33; of each 20.65 and 0.68.
    def tax(rounding: TaxRounding) -> Decimal:
        classes = (TaxClass(name="sales", percent=Decimal("7.5")),)
        stated = TaxTerms(classes=classes, usual="sales", rounding=rounding)
        return price_plan(small().plan, terms(tax=stated)).customer.taxes[0].amount

    nets = [line.cost for line in price_plan(small().plan, terms()).inside.lines]
    assert tax(TaxRounding.DOCUMENT) == round(sum(nets) * Decimal("0.075"), 2)
    assert tax(TaxRounding.LINE) == sum(round(net * Decimal("0.075"), 2) for net in nets)


def test_two_halves_of_an_odd_total_are_the_whole() -> None:
    half = Decimal(50)
    deposits = tuple(Deposit(due=date(2026, 3, day), percent=half) for day in (16, 30))
    stated = terms(discounts=(Discount(name="A cent", amount=Decimal("0.01")),), deposits=deposits)
    odd = price_plan(PLAN, stated).customer
    assert [odd.total, *(d.amount for d in odd.deposits)] == [
        Decimal("372.17"),
        Decimal("186.08"),
        Decimal("186.09"),
    ]
    assert odd.balance == 0


def test_cutting_counts_what_is_cut_and_packing_all_of_it() -> None:
    works = (
        labour(Work.CUTTING, "60", per_piece="1"),
        labour(Work.PACKING, "60", per_piece="1", per_opening="1"),
    )
    cut, packed = quote(terms(labour=works)).inside.labour
    assert (cut.pieces, cut.openings, cut.minutes, cut.cost) == (
        13,
        2,
        Decimal(13),
        Decimal("13.00"),
    )
    # 7 openings of 5 pieces each.
    assert (packed.pieces, packed.openings, packed.cost) == (35, 7, Decimal("42.00"))


def test_discounts_that_come_to_nothing_are_not_shown() -> None:
    none = Discount(name="Standard kits", percent=Decimal(10), of=LineKind.STANDARD_KIT)
    quoted = price_plan(ten_doors().plan, terms(discounts=(none,)))
    assert quoted.customer.discounts == ()


@pytest.mark.parametrize("percent", ["0", "12.5", "33.333333", "99.99"])
def test_price_less_its_margin_is_the_cost(percent: str) -> None:
    priced = line(quote(terms(addition=margin(percent))), LineKind.KIT)
    left = priced.price * (1 - Decimal(percent) / 100)
    assert abs(left - priced.cost) <= Decimal("0.005")


def test_tax_classes_without_a_line_are_not_shown() -> None:
    stated: dict[str, Any] = {"tax": GOODS_AND_LABOUR, "addition": Addition()}
    assert [tax.name for tax in quote(terms(**stated)).customer.taxes] == ["goods"]


def test_prices_have_the_minor_digits_of_their_currency() -> None:
    in_yen = price_plan(replace(PLAN, currency="JPY"), terms(addition=mark_up("25"))).customer
    # Each line rounded to a whole yen: 93 + 206 + 23 + 98 + 20 + 8 + 7 + 6 + 6.
    assert in_yen.list_price == in_yen.total == Decimal("467")
    assert sum(opening.price for opening in in_yen.openings) == Decimal("467")
    assert all(opening.price == int(opening.price) for opening in in_yen.openings)
    in_dinars = price_plan(replace(PLAN, currency="KWD"), terms(addition=mark_up("25"))).customer
    assert in_dinars.list_price == Decimal("465.225")  # 372.18 × 1.25
