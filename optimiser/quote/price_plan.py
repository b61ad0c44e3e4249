"""Assemble a quote: price lines, reduce, tax, allot to openings; two parts come out."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import floor

from optimiser.domain.faults import Fault, QuoteRejected
from optimiser.domain.plan import Plan
from optimiser.domain.quote import (
    AskedDeposit,
    ChargedTax,
    CustomerQuote,
    InsideLine,
    InsideOpening,
    InsideQuote,
    Quote,
)
from optimiser.domain.quote_terms import RoundingRule, Terms
from optimiser.quote.discounts import NetPrice, find_discount_faults, reduce_price
from optimiser.quote.labour import LabourCost, cost_labour
from optimiser.quote.lines import PricedLine, absorbed, price_lines
from optimiser.quote.openings import quote_openings, share_prices
from optimiser.quote.rounding import minor_unit, round_to_step, to_decimal
from optimiser.quote.shares import left_out
from optimiser.quote.tax import charge_tax
from optimiser.quote.terms_faults import find_terms_faults
from optimiser.units.money import format_money, minor_digits


def price_plan(plan: Plan, terms: Terms) -> Quote:
    """Return the customer's quote for a plan, and what stays inside.

    Raises:
        QuoteRejected: the terms are wrong, or ask for more than the price; every fault is named.
    """
    faults = find_terms_faults(terms, plan.currency)
    if faults:
        raise QuoteRejected(faults)
    labour = cost_labour(plan, terms)
    lines = price_lines(plan, terms, labour)
    too_much = (*_price_faults(lines, plan), *find_discount_faults(lines, terms, plan.currency))
    if too_much:
        raise QuoteRejected(too_much)
    net = reduce_price(lines, terms, plan.currency)
    taxes = charge_tax(
        zip((line.kind for line in lines), net.by_line, strict=True),
        terms.tax,
        minor_unit(plan.currency),
        terms.rounding.rule,
    )
    total = net.net_price + sum((tax.amount for tax in taxes), Decimal(0))
    priced = _Priced(
        lines=lines,
        labour=labour,
        net=net,
        taxes=taxes,
        total=total,
        deposits=_ask_deposits(terms, total, plan.currency),
        openings=share_prices(plan, lines),
    )
    return Quote(customer=_customer(plan, terms, priced), inside=_inside(plan, terms, priced))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Priced:
    """Everything worked out, of which each part of a quote shows its own."""

    lines: tuple[PricedLine, ...]
    labour: tuple[LabourCost, ...]
    net: NetPrice
    taxes: tuple[ChargedTax, ...]
    total: Decimal
    deposits: tuple[AskedDeposit, ...]
    openings: tuple[InsideOpening, ...]

    @property
    def list_price(self) -> Decimal:
        """Return the sum of the lines' prices."""
        return sum((line.price for line in self.lines), Decimal(0))

    @property
    def cost(self) -> Decimal:
        """Return the sum of the lines' costs."""
        return sum((line.cost for line in self.lines), Decimal(0))


def _price_faults(lines: tuple[PricedLine, ...], plan: Plan) -> tuple[Fault, ...]:
    price = sum((line.price for line in lines), Decimal(0))
    if price >= 0:
        return ()
    return (
        Fault(
            ("drop_credits",),
            "price-below-zero",
            f"The credit of kept drops is passed on and is more than all prices: the list price is "
            f"{format_money(price, plan.currency)}; keep the credit in the shop.",
        ),
    )


def _ask_deposits(terms: Terms, total: Decimal, currency: str) -> tuple[AskedDeposit, ...]:
    digits = minor_digits(currency)
    deposits: list[AskedDeposit] = []
    percent = Fraction(0)
    for stated in terms.deposits:
        amount = stated.amount
        if amount is None:
            # Of the sum so far, so that percentages that come to 100 ask for the whole total.
            before, percent = percent, percent + Fraction(stated.percent or 0)
            parts = [floor(Fraction(total) * part / 100 * 10**digits) for part in (before, percent)]
            amount = to_decimal(Fraction(parts[1] - parts[0], 10**digits), digits)
        deposits.append(AskedDeposit(due=stated.due, amount=amount))
    asked = sum((deposit.amount for deposit in deposits), Decimal(0))
    if asked > total:
        fault = Fault(
            ("deposits",),
            "deposits-over-total",
            f"The deposits come to {format_money(asked, currency)}, and the total is "
            f"{format_money(total, currency)}; lower them.",
        )
        raise QuoteRejected((fault,))
    return tuple(deposits)


def _customer(plan: Plan, terms: Terms, priced: _Priced) -> CustomerQuote:
    asked = sum((deposit.amount for deposit in priced.deposits), Decimal(0))
    return CustomerQuote(
        number=terms.number,
        customer=terms.customer,
        reference=plan.reference,
        currency=plan.currency,
        unit=plan.unit,
        issued=terms.issued,
        valid_until=terms.valid_until,
        openings=quote_openings(plan, priced.openings),
        list_price=priced.list_price,
        discounts=priced.net.given,
        rounding=priced.net.rounding,
        net_price=priced.net.net_price,
        taxes=priced.taxes,
        total=priced.total,
        deposits=priced.deposits,
        balance=priced.total - asked,
        cautions=plan.cautions,
    )


def _inside(plan: Plan, terms: Terms, priced: _Priced) -> InsideQuote:
    net_price, cost = priced.net.net_price, priced.cost
    earned = net_price - cost
    hundredth = Fraction(earned) / Fraction(net_price) * 100 if net_price else None
    return InsideQuote(
        number=terms.number,
        reference=plan.reference,
        currency=plan.currency,
        lines=tuple(
            InsideLine(
                kind=line.kind,
                cost=line.cost,
                added=line.price - line.cost,
                price=line.price,
                net=net,
                addition=line.addition,
                tax_class="" if terms.tax is None else terms.tax.class_of(line.kind),
            )
            for line, net in zip(priced.lines, priced.net.by_line, strict=True)
        ),
        openings=priced.openings,
        labour=tuple(item.labour for item in priced.labour),
        cost=cost,
        list_price=priced.list_price,
        net_price=net_price,
        earned=earned,
        earned_percent=None
        if hundredth is None
        else round_to_step(hundredth, Decimal("0.01"), RoundingRule.HALF_UP),
        absorbed=absorbed(priced.lines, terms),
        plan_total=plan.total,
        left_out=sum(left_out(plan).values(), Decimal(0)),
        rounding_rule=terms.rounding.rule,
        rounding_step=terms.rounding.step or minor_unit(plan.currency),
        tax_rounding=None if terms.tax is None else terms.tax.rounding,
    )
