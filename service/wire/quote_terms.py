"""The terms of a quote as a request states them, and the order that they stand in."""

from typing import Annotated, Any

from pydantic import Field, Strict, StringConstraints

from optimiser.domain.quote_terms import (
    AdditionBasis,
    DropCredits,
    LineKind,
    RoundingRule,
    TaxRounding,
    Work,
)
from service.wire import limits
from service.wire.base import WireModel
from service.wire.fit import OpeningFit
from service.wire.order import Order as OrderByValue
from service.wire.order_to_plan import Order
from service.wire.scalars import (
    NO_CONTROL_CHARACTERS,
    AdditionPercent,
    Minutes,
    Money,
    Name,
    Percent,
)
from service.wire.stored import Day


def _listed(most: int) -> Any:
    return Field(max_length=most, json_schema_extra={"default": []})


Title = Annotated[
    str,
    StringConstraints(pattern=NO_CONTROL_CHARACTERS, max_length=limits.REFERENCE_CHARACTERS),
]


class QuoteAddition(WireModel):
    """What is added to a cost: a margin, in per cent of the price, or a mark-up of the cost."""

    basis: Annotated[AdditionBasis, Strict(False)] = AdditionBasis.MARK_UP
    percent: AdditionPercent
    """Of the price for a margin, which must be below 100; of the cost for a mark-up."""


class QuoteAdditionToKind(QuoteAddition):
    """What is added to one kind of line, in the place of the usual addition."""

    kind: Annotated[LineKind, Strict(False)]


class QuoteLabour(WireModel):
    """A work that is charged: its minutes, and what an hour of it costs the shop."""

    work: Annotated[Work, Strict(False)]
    """Cutting counts the pieces and openings that are cut at the bench, the others all."""
    rate_per_hour: Money
    minutes_per_piece: Minutes = 0
    minutes_per_opening: Minutes = 0


class QuoteTaxClass(WireModel):
    """A class of the rate table."""

    name: Name
    percent: Percent
    """On top of the price."""


class QuoteTaxOfKind(WireModel):
    """The tax class of one kind of line."""

    kind: Annotated[LineKind, Strict(False)]
    tax_class: Name


class QuoteTaxTerms(WireModel):
    """The rate table, and which kind of line is in which class. Prices are without tax."""

    classes: Annotated[list[QuoteTaxClass], Field(min_length=1, max_length=limits.TAX_CLASSES)]
    usual: Name
    """The class of the kinds that `by_kind` does not name."""
    by_kind: Annotated[list[QuoteTaxOfKind], _listed(len(LineKind))] = Field(default_factory=list)
    rounding: Annotated[TaxRounding, Strict(False)] = TaxRounding.DOCUMENT
    """Whether the tax of a class is rounded once, or on each line."""


class QuoteDiscountTerms(WireModel):
    """A discount: a percentage of the order or of one kind of line, or a fixed amount.

    Taken in this order: those of one kind, percentages of the order, fixed amounts.
    """

    name: Name
    """What the customer reads."""
    percent: Percent | None = None
    amount: Money | None = None
    of: Annotated[LineKind, Strict(False)] | None = None
    """The kind of line that a percentage is of; null for the order."""


class QuoteRounding(WireModel):
    """How prices are rounded: by a rule, and the net price to a step."""

    rule: Annotated[RoundingRule, Strict(False)] = RoundingRule.HALF_UP
    """Half-up: half a step goes away from zero. Half-even: to the even multiple. Up: to the next
    step above."""
    step: Annotated[Money | None, Field(examples=["0.05", "1.00"])] = None
    """What the net price is a multiple of, in whole minor units. Null: a minor unit."""


class QuoteDepositTerms(WireModel):
    """What is to be paid until a day: a percentage of the total, or an amount."""

    due: Day
    percent: Percent | None = None
    amount: Money | None = None


class QuoteTerms(WireModel):
    """The terms of a quote. Money is in the currency of the catalogues."""

    issued: Day
    valid_until: Day
    number: Title = ""
    """The number of the quote, as you count them."""
    customer: Title = ""
    """Whom the quote is for."""
    addition: QuoteAddition = Field(default=QuoteAddition(percent=0))
    """What is added to every kind of line that `additions` does not name."""
    additions: Annotated[list[QuoteAdditionToKind], _listed(len(LineKind))] = Field(
        default_factory=list
    )
    labour: Annotated[list[QuoteLabour], _listed(len(Work))] = Field(default_factory=list)
    freight_passed_on_percent: Percent = 100
    """How much of freight and over-length the customer pays; the rest is absorbed."""
    drop_credits: Annotated[DropCredits, Strict(False)] = DropCredits.KEPT
    """Whether the credit of kept drops stays in the shop or lowers the price."""
    tax: QuoteTaxTerms | None = None
    discounts: Annotated[list[QuoteDiscountTerms], _listed(limits.DISCOUNTS)] = Field(
        default_factory=list
    )
    rounding: QuoteRounding = Field(default_factory=QuoteRounding)
    deposits: Annotated[list[QuoteDepositTerms], _listed(limits.DEPOSITS)] = Field(
        default_factory=list
    )


class QuoteOrder(Order):
    """A batch of openings to quote: an order as for a plan, and the terms of the quote."""

    terms: QuoteTerms


class QuoteOrderByValue(OrderByValue):
    """An order to quote when what is kept has been put in."""

    terms: QuoteTerms


class DocumentOrder(Order):
    """A batch of openings that a document is about: an order as for a plan."""

    terms: QuoteTerms | None = None
    """The terms of the quote, which `quote` and `quote-inside` need; no other document uses
    them."""
    fits: Annotated[
        list[OpeningFit], Field(max_length=limits.FITS, json_schema_extra={"default": []})
    ] = Field(default_factory=list)
    """What is cut into which leaves, each mark once, and which clearances are asked for:
    `install-sheets` show it; no other document uses it."""


class DocumentOrderByValue(OrderByValue):
    """An order that a document is about when what is kept has been put in."""

    terms: QuoteTerms | None = None
    fits: Annotated[
        list[OpeningFit], Field(max_length=limits.FITS, json_schema_extra={"default": []})
    ] = Field(default_factory=list)


class QuoteDifferenceOrder(QuoteOrder):
    """An order as it was quoted, with its terms, and what changes in it."""

    change: dict[str, Any]
    """A JSON Merge Patch (RFC 7396) on the order: members to replace, null to remove. An array,
    such as `openings`, is replaced as a whole. The terms stay as they are. What it brings stands by
    value."""
