"""What goes back to suppliers, on which terms, and what is credited for it."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnTerms:
    """What a supplier asks for goods that come back; all of it is the user's own figure.

    With a `sku` it holds for that SKU alone and goes before that of the supplier. The charge is
    `percent` of the credit and `amount` beside it: for a SKU on each return of it, for a supplier
    once on each return. `returnable` overrides the usual rule; `None` leaves it.
    """

    supplier: str
    sku: str | None = None
    percent: Decimal = Decimal(0)
    amount: Decimal = Decimal(0)
    returnable: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnedLine:
    """`quantity` units of one SKU that go back; kits are `made_for` these marks.

    `paid_before` is what the units of the SKU cost that were bought and had not gone back,
    `paid_after` what those that stay cost. `credit` is the difference, never below zero;
    `charge` is what is kept of it by terms for the SKU.
    """

    supplier: str
    sku: str
    quantity: int
    paid_before: Decimal
    paid_after: Decimal
    credit: Decimal
    charge: Decimal
    made_for: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierCredit:
    """What one supplier credits: `credit` and `charge` over all lines; `charge` is at most it."""

    supplier: str
    credit: Decimal
    charge: Decimal

    @property
    def total(self) -> Decimal:
        """Return the credit less the charge."""
        return self.credit - self.charge


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnCredit:
    """What goes back, line by line, and what each supplier credits for it."""

    currency: str
    lines: tuple[ReturnedLine, ...]
    suppliers: tuple[SupplierCredit, ...]

    @property
    def total(self) -> Decimal:
        """Return what is credited in all, less all charges."""
        return sum((supplier.total for supplier in self.suppliers), Decimal(0))
