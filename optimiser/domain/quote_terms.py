"""The terms of a quote: what is added to each cost, labour, tax, discounts, rounding, deposits."""

from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum


class LineKind(StrEnum):
    """What a line of a quote is for: the kinds of a plan's account, and labour.

    The preference against substitutions is paid by nobody, and is not among them.
    """

    STOCK_LENGTH = "stock-length"
    KIT = "kit"
    FASTENER_PACK = "fastener-pack"
    STANDARD_KIT = "standard-kit"
    FREIGHT = "freight"
    OVER_LENGTH = "over-length"
    CUT_CHARGE = "cut-charge"
    SPLICE = "splice"
    RACK = "rack"
    DROP_CREDIT = "drop-credit"
    CUTTING = "cutting"
    PACKING = "packing"
    INSTALL = "install"


CARRIAGE = frozenset({LineKind.FREIGHT, LineKind.OVER_LENGTH})
"""The kinds that are passed on or absorbed."""


class AdditionBasis(StrEnum):
    """What an addition is a percentage of: a margin of the price, a mark-up of the cost."""

    MARGIN = "margin"
    MARK_UP = "mark-up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Addition:
    """What is added to a cost, in per cent."""

    basis: AdditionBasis = AdditionBasis.MARK_UP
    percent: Decimal = Decimal(0)


class Work(StrEnum):
    """Labour that a quote may charge."""

    CUTTING = "cutting"
    PACKING = "packing"
    INSTALL = "install"


@dataclass(frozen=True, slots=True, kw_only=True)
class LabourTerms:
    """The minutes that a work takes, and what an hour of it costs the shop."""

    work: Work
    rate_per_hour: Decimal
    minutes_per_piece: Decimal = Decimal(0)
    minutes_per_opening: Decimal = Decimal(0)


class TaxRounding(StrEnum):
    """Where tax is rounded: once for each class, or on each line."""

    DOCUMENT = "document"
    LINE = "line"


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxClass:
    """A class of the rate table; `percent` is on top of the price."""

    name: str
    percent: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class TaxTerms:
    """The rate table; `by_kind` pairs kinds of lines with their class, `usual` is the others'."""

    classes: tuple[TaxClass, ...]
    usual: str
    by_kind: tuple[tuple[LineKind, str], ...] = ()
    rounding: TaxRounding = TaxRounding.DOCUMENT

    def class_of(self, kind: LineKind) -> str:
        """Return the name of the class of a kind of line."""
        return dict(self.by_kind).get(kind, self.usual)


@dataclass(frozen=True, slots=True, kw_only=True)
class Discount:
    """A discount: `percent` of the order, or of one kind of line (`of`), or a fixed `amount`."""

    name: str
    percent: Decimal | None = None
    amount: Decimal | None = None
    of: LineKind | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Deposit:
    """What is to be paid until a day: `percent` of the total, or an `amount`."""

    due: date
    percent: Decimal | None = None
    amount: Decimal | None = None


class RoundingRule(StrEnum):
    """How an amount between two steps is rounded."""

    HALF_UP = "half-up"
    HALF_EVEN = "half-even"
    UP = "up"


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundingTerms:
    """The rule, and the `step` of the net price in money; `None` is a minor unit."""

    rule: RoundingRule = RoundingRule.HALF_UP
    step: Decimal | None = None


class DropCredits(StrEnum):
    """Who has the credit of kept drops: the shop, or the customer."""

    KEPT = "kept"
    PASSED_ON = "passed-on"


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The terms of a quote; money in the currency of the plan, dates as given.

    `additions` pairs kinds of lines with what is added to them; `addition` is the others'.
    """

    issued: date
    valid_until: date
    number: str = ""
    customer: str = ""
    addition: Addition = field(default_factory=Addition)
    additions: tuple[tuple[LineKind, Addition], ...] = ()
    labour: tuple[LabourTerms, ...] = ()
    freight_passed_on_percent: Decimal = Decimal(100)
    drop_credits: DropCredits = DropCredits.KEPT
    tax: TaxTerms | None = None
    discounts: tuple[Discount, ...] = ()
    rounding: RoundingTerms = field(default_factory=RoundingTerms)
    deposits: tuple[Deposit, ...] = ()

    def addition_to(self, kind: LineKind) -> Addition:
        """Return what is added to a kind of line."""
        return dict(self.additions).get(kind, self.addition)
