"""The answer of a quote: the customer's part, and the one that stays inside."""

from typing import Annotated

from pydantic import Field

from optimiser.domain.opening import OpeningKind, SizeOf
from optimiser.domain.quote_terms import (
    AdditionBasis,
    LineKind,
    RoundingRule,
    TaxRounding,
    Work,
)
from optimiser.units.lengths import LengthUnit
from service.wire.base import WireModel
from service.wire.plan import Caution
from service.wire.shown import Amount, Count, DecimalText, ShownLength
from service.wire.stored import Day


class QuotedEach(WireModel):
    """Openings of one mark that have the same price."""

    price: Amount
    openings: Count


class QuotedOpening(WireModel):
    """The openings of one mark and their price together, before discounts and tax."""

    mark: str
    kind: OpeningKind
    width: ShownLength
    height: ShownLength
    size_of: SizeOf
    lower_height: ShownLength | None
    inactive_leaf_width: ShownLength | None
    quantity: Count
    finish: str
    price: Amount
    each: list[QuotedEach]
    """The price of one opening. Two entries, a minor unit apart, where it does not divide
    evenly."""


class QuoteDiscount(WireModel):
    """A discount by its name; the amount is taken off."""

    name: str
    amount: Amount


class QuoteTax(WireModel):
    """The tax of one class, on top of what is taxable."""

    name: str
    percent: DecimalText
    taxable: Amount
    amount: Amount


class QuoteDeposit(WireModel):
    """What is to be paid until a day."""

    due: Day
    amount: Amount


class CustomerQuote(WireModel):
    """What the customer sees: no cost, no addition, no supplier, no SKU.

    The openings' prices add up to `list_price`; less the discounts and plus `rounding` it is
    `net_price`; with the taxes `total`; less the deposits `balance`. All exactly.
    """

    number: str
    customer: str
    reference: str
    currency: Annotated[str, Field(examples=["USD"])]
    unit: LengthUnit
    issued: Day
    valid_until: Day
    openings: list[QuotedOpening]
    list_price: Amount
    discounts: list[QuoteDiscount]
    rounding: Amount
    net_price: Amount
    taxes: list[QuoteTax]
    total: Amount
    deposits: list[QuoteDeposit]
    balance: Amount
    cautions: list[Caution]


class QuoteAdditionShown(WireModel):
    """What was added to a cost."""

    basis: AdditionBasis
    percent: DecimalText


class InsideLine(WireModel):
    """A line of the account: cost + added = price."""

    kind: LineKind
    cost: Amount
    added: Amount
    price: Amount
    net: Amount
    """Its part of the net price: after discounts and rounding."""
    addition: QuoteAdditionShown | None
    """Null where none is made: a credit, or what is absorbed whole."""
    tax_class: str
    """Empty without tax."""


class InsideOpening(WireModel):
    """The openings of one mark: their part of the cost and of the list price."""

    mark: str
    quantity: Count
    cost: Amount
    price: Amount


class InsideLabour(WireModel):
    """The labour of one work: what is counted, the minutes and what they cost."""

    work: Work
    pieces: Count
    openings: Count
    minutes: DecimalText
    rate_per_hour: Amount
    cost: Amount


class InsideQuote(WireModel):
    """What stays inside: cost, what was added, labour.

    `cost` is the sum of the lines and of the openings. Without labour and with `left_out` it is
    the cost of the plan, `plan_total`.
    """

    number: str
    reference: str
    currency: Annotated[str, Field(examples=["USD"])]
    lines: list[InsideLine]
    openings: list[InsideOpening]
    labour: list[InsideLabour]
    cost: Amount
    list_price: Amount
    net_price: Amount
    earned: Amount
    """Net price less cost."""
    earned_percent: Annotated[str | None, Field(pattern=r"^-?[0-9]+(\.[0-9]+)?$")]
    """Of the net price, to a hundredth; null where that is zero."""
    absorbed: Amount
    """The cost of freight and over-length that is not passed on."""
    plan_total: Amount
    left_out: Amount
    """What the plan's cost holds and nobody pays: the preference against substitutions, and in the
    plan for a changed order what is already bought."""
    rounding_rule: RoundingRule
    rounding_step: Amount
    tax_rounding: TaxRounding | None
    """Null without tax."""


class Quote(WireModel):
    """A quote: the part for the customer, and the one that stays inside."""

    customer: CustomerQuote
    inside: InsideQuote
