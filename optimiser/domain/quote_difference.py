"""Two quotes side by side: for the customer, and apart from it what stays inside."""

from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.quote_terms import LineKind
from optimiser.units.lengths import LengthUnit


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """An amount before and after."""

    before: Decimal
    after: Decimal

    @property
    def difference(self) -> Decimal:
        """Return what the amount grew by: below zero where it fell."""
        return self.after - self.before


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedChange:
    """An amount with a name, such as that of a discount or a tax class, before and after."""

    name: str
    amount: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningChange:
    """The openings of one mark before and after; a mark that is not there has none, at zero."""

    mark: str
    quantity_before: int
    quantity_after: int
    price: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerDifference:
    """What the customer sees of a change.

    The differences add up as the amounts do: openings to `list_price`; less the discounts and plus
    `rounding` to `net_price`; with the taxes to `total`.
    """

    number: str
    customer: str
    reference: str
    currency: str
    unit: LengthUnit
    openings: tuple[OpeningChange, ...]
    list_price: Change
    discounts: tuple[NamedChange, ...]
    rounding: Change
    net_price: Change
    taxes: tuple[NamedChange, ...]
    total: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideLineChange:
    """A kind of line before and after; a kind that is not there is at zero."""

    kind: LineKind
    cost: Change
    price: Change
    net: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideOpeningChange:
    """The cost of a mark's openings before and after."""

    mark: str
    cost: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class InsideDifference:
    """What stays inside of a change: the lines and the openings add up to `cost`."""

    currency: str
    lines: tuple[InsideLineChange, ...]
    openings: tuple[InsideOpeningChange, ...]
    cost: Change
    list_price: Change
    net_price: Change
    earned: Change


@dataclass(frozen=True, slots=True, kw_only=True)
class QuoteDifference:
    """Two quotes side by side: the customer's part, and the one that stays inside."""

    customer: CustomerDifference
    inside: InsideDifference
