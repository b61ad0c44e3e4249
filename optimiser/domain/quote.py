"""A quote: what the customer sees, and apart from it what stays inside.

The two share no type but the words of the trade: nothing of the customer's part holds a cost, an
addition, a supplier or a SKU.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from optimiser.domain.opening import Opening
from optimiser.domain.quote_terms import Addition, LineKind, RoundingRule, TaxRounding, Work
from optimiser.domain.reasons import Caution
from optimiser.units.lengths import LengthUnit


@dataclass(frozen=True, slots=True, kw_only=True)
class QuotedOpening:
    """The openings of one mark and their price together, before discounts and tax.

    `each` pairs a price of one opening with how many have it: more than one pair where the price
    does not divide evenly.
    """

    opening: Opening
    price: Decimal
    each: tuple[tuple[Decimal, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenDiscount:
    """A discount by its name; `amount` is above zero where the price falls."""

    name: str
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargedTax:
    """The tax of one class: `amount` on top of `taxable`."""

    name: str
    percent: Decimal
    taxable: Decimal
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedDeposit:
    """What is to be paid until a day."""

    due: date
    amount: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerQuote:
    """What the customer sees.

    `list_price` is the sum of the openings' prices; less the discounts and plus `rounding` it is
    `net_price`; with the taxes it is `total`; less the deposits it is `balance`; all exactly.
    """

    number: str
    customer: str
    reference: str
    currency: str
    unit: LengthUnit
    issued: date
    valid_until: date
    openings: tuple[QuotedOpening, ...]
    list_price: Decimal
    discounts: tuple[GivenDiscount, ...]
    rounding: Decimal
    net_price: Decimal
    taxes: tuple[ChargedTax, ...]
    total: Decimal
    deposits: tuple[AskedDeposit, ...]
    balance: Decimal
    cautions: tuple[Caution, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideLine:
    """A line of the quote's account: `cost` + `added` = `price`, exactly.

    `net` is the line's part of the net price: its price less its part of discounts, with its part
    of the rounding. `tax_class` is empty without tax. `addition` is `None` where none is made: a
    credit, or what is absorbed whole.
    """

    kind: LineKind
    cost: Decimal
    added: Decimal
    price: Decimal
    net: Decimal
    addition: Addition | None
    tax_class: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideOpening:
    """The openings of one mark: their part of the cost and of the list price."""

    mark: str
    quantity: int
    cost: Decimal
    price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideLabour:
    """The labour of one work: what is counted, the minutes and what they cost."""

    work: Work
    pieces: int
    openings: int
    minutes: Decimal
    rate_per_hour: Decimal
    cost: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideQuote:
    """What stays inside: cost, what was added, labour.

    `cost` and `list_price` are the sums of the lines and of the openings; `net_price` is the
    customer's; `earned` = `net_price` − `cost`. `plan_total` = cost without labour + `left_out`,
    what the plan holds and nobody pays. `absorbed` is the part of freight and
    over-length that is not passed on. `earned_percent` is of the net price, rounded half up to a
    hundredth; `None` where the net price is zero.
    """

    number: str
    reference: str
    currency: str
    lines: tuple[InsideLine, ...]
    openings: tuple[InsideOpening, ...]
    labour: tuple[InsideLabour, ...]
    cost: Decimal
    list_price: Decimal
    net_price: Decimal
    earned: Decimal
    earned_percent: Decimal | None
    absorbed: Decimal
    plan_total: Decimal
    left_out: Decimal
    rounding_rule: RoundingRule
    rounding_step: Decimal
    tax_rounding: TaxRounding | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Quote:
    """A quote: the customer's part, and the one that stays inside."""

    customer: CustomerQuote
    inside: InsideQuote
