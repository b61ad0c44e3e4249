"""What is on order, what of it has arrived, what has gone back, and what is cut."""

from dataclasses import dataclass
from enum import StrEnum

from optimiser.domain.plan import PurchaseKind


class Receipt(StrEnum):
    """How much of a purchase has arrived."""

    NOTHING = "nothing"
    PARTLY = "partly"
    WHOLLY = "wholly"


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenLine:
    """What is bought of one SKU of one supplier, in units as sold, whatever its prices.

    A made-to-measure kit has a line for each piece set: `made_for` holds the marks that it is
    made for, which tell it from the other lines of its SKU, and `lengths` its pieces. `returned`
    of the `received` units have gone back.
    """

    kind: PurchaseKind
    supplier: str
    sku: str
    ordered: int
    received: int = 0
    returned: int = 0
    made_for: tuple[str, ...] = ()
    lengths: tuple[tuple[int, int], ...] = ()

    @property
    def open(self) -> int:
        """Return the units that have not arrived."""
        return self.ordered - self.received

    @property
    def held(self) -> int:
        """Return the units that are bought and have not gone back, arrived or not."""
        return self.ordered - self.returned


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenPurchase:
    """All that is bought for an order, line by line."""

    lines: tuple[OpenLine, ...]

    @property
    def state(self) -> Receipt:
        """Return how much has arrived; a purchase of nothing has wholly arrived."""
        if not any(line.open for line in self.lines):
            return Receipt.WHOLLY
        if not any(line.received for line in self.lines):
            return Receipt.NOTHING
        return Receipt.PARTLY


@dataclass(frozen=True, slots=True, kw_only=True)
class Units:
    """`quantity` units of a SKU, in units as sold: delivered, used or to go back.

    `mark` is one of the marks that a made-to-measure kit is made for; it may be left out where
    the SKU has one line.
    """

    supplier: str
    sku: str
    quantity: int
    mark: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CutBars:
    """`bars` bars that are cut by a pattern of the plan."""

    pattern: str
    bars: int
