"""What is on hand before anything is bought, and what is kept for the next time."""

from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.catalogue import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Offcut:
    """`quantity` offcuts of one length. `value` is what using one of them is counted at.

    No end trim is taken off an offcut. `id` names it among all SKUs and offcuts of the order.
    """

    id: str
    material: Material
    length_nm: int
    quantity: int = 1
    value: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenersOnHand:
    """`count` loose fasteners on hand. `value` is what using one of them is counted at."""

    fastener: str
    finish: str | None = None
    count: int
    value: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Rack:
    """All that is on hand."""

    offcuts: tuple[Offcut, ...] = ()
    fasteners: tuple[FastenersOnHand, ...] = ()
