"""The account of a plan: what its cost is made of, and which of it suppliers are paid."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


class AccountKind(StrEnum):
    """What a line of the account is for; the first ones are the kinds of purchase.

    Freight and over-length are paid. The rest is weighed, not paid to a supplier: cut charges,
    splices, the value of what is used from the rack, the credit of kept drops (below zero) and
    the preference against substitutions.
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
    PREFERENCE = "preference"


PAID = frozenset(
    {
        AccountKind.STOCK_LENGTH,
        AccountKind.KIT,
        AccountKind.FASTENER_PACK,
        AccountKind.STANDARD_KIT,
        AccountKind.FREIGHT,
        AccountKind.OVER_LENGTH,
    }
)
"""The kinds that suppliers are paid."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountLine:
    """The cost of one kind; the lines add up to the plan's total."""

    kind: AccountKind
    amount: Decimal

    @property
    def paid(self) -> bool:
        """Return whether suppliers are paid it; else it is weighed only."""
        return self.kind in PAID
