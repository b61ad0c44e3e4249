"""The answer of a quote difference: two quotes side by side, in two parts."""

from typing import Annotated

from pydantic import Field

from optimiser.domain.quote_terms import LineKind
from service.wire.base import WireModel
from service.wire.quote import Quote
from service.wire.shown import Amount, Count


class AmountChange(WireModel):
    """An amount before and after; the difference is below zero where it fell."""

    before: Amount
    after: Amount
    difference: Amount


class NamedAmountChange(WireModel):
    """A discount or the tax of a class before and after."""

    name: str
    amount: AmountChange


class QuotedOpeningChange(WireModel):
    """The openings of one mark before and after; a mark that is not there has none, at zero."""

    mark: str
    quantity_before: Count
    quantity_after: Count
    price: AmountChange


class CustomerQuoteDifference(WireModel):
    """What the customer sees of a change: no cost, no addition, no supplier, no SKU.

    Differences add up as the amounts do: openings to `list_price`; less the discounts and plus
    `rounding` to `net_price`; with the taxes to `total`.
    """

    number: str
    customer: str
    reference: str
    currency: Annotated[str, Field(examples=["USD"])]
    openings: list[QuotedOpeningChange]
    list_price: AmountChange
    discounts: list[NamedAmountChange]
    rounding: AmountChange
    net_price: AmountChange
    taxes: list[NamedAmountChange]
    total: AmountChange


class InsideLineChange(WireModel):
    """A kind of line before and after; a kind that is not there is at zero."""

    kind: LineKind
    cost: AmountChange
    price: AmountChange
    net: AmountChange


class InsideOpeningChange(WireModel):
    """The cost of a mark's openings before and after."""

    mark: str
    cost: AmountChange


class InsideQuoteDifference(WireModel):
    """What stays inside of a change: lines and openings add up to `cost`."""

    currency: Annotated[str, Field(examples=["USD"])]
    lines: list[InsideLineChange]
    openings: list[InsideOpeningChange]
    cost: AmountChange
    list_price: AmountChange
    net_price: AmountChange
    earned: AmountChange


class QuoteDifference(WireModel):
    """Two quotes side by side, and the later one as a whole."""

    customer: CustomerQuoteDifference
    inside: InsideQuoteDifference
    quote: Quote
    """The quote of the changed order."""
