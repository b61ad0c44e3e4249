"""A change of an accepted order: what is held, what it still serves, and what it comes to."""

from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.catalogue import Material
from optimiser.domain.order import Order
from optimiser.domain.plan import PurchaseLine, SetSupply
from optimiser.domain.rack import Offcut
from optimiser.domain.returns import ReturnCredit
from optimiser.domain.shipment import Shipment
from optimiser.domain.takeoff import FastenerPool
from optimiser.units.lengths import LengthUnit

ALREADY_BOUGHT = "Already bought"
"""The supplier of what is held, in the order of a difference. No other may have this name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldBars:
    """`bars` whole bars of one SKU, arrived or on order."""

    supplier: str
    sku: str
    material: Material
    length_nm: int
    bars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldKits:
    """`kits` kits of one SKU and one set of lengths; `to_measure` unless it is a standard kit."""

    supplier: str
    sku: str
    material: Material
    lengths: tuple[tuple[int, int], ...]
    kits: int
    to_measure: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class MadePieces:
    """`pieces` pieces of one length that are cut already."""

    material: Material
    length_nm: int
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldFasteners:
    """`count` fasteners of one pool: in packs and in kits, counted at the packs' low end."""

    pool: FastenerPool
    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CutOpenings:
    """`openings` openings whose pieces of a material, all of these `lengths`, the plan cuts."""

    material: Material
    lengths: tuple[tuple[int, int], ...]
    openings: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Holdings:
    """All that is bought, taken from the rack or cut for an order, and not given back.

    `cut_openings` says for what pieces are cut.

    `offcuts` are those that the plan takes from the rack and that are not cut yet. A count of
    fasteners below zero says how many of a pool are lacking.
    """

    bars: tuple[HeldBars, ...] = ()
    kits: tuple[HeldKits, ...] = ()
    pieces: tuple[MadePieces, ...] = ()
    fasteners: tuple[HeldFasteners, ...] = ()
    offcuts: tuple[Offcut, ...] = ()
    cut_openings: tuple[CutOpenings, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptOpenings:
    """`quantity` openings of a mark that are served as they stand.

    Of each supply `kits` are made-to-measure kits that are bought, and `cut` openings have all
    their pieces of the material cut already.
    """

    mark: str
    quantity: int
    supplies: tuple[SetSupply, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Difference:
    """A changed order: what is kept, and the order for the rest.

    `order` asks for the openings that are not kept, with what is `left` of the holdings as goods
    of the supplier `ALREADY_BOUGHT`; it is `None` where nothing is left to plan. `unchanged` says
    that the accepted plan serves the openings as it stands.
    """

    openings: int
    holdings: Holdings
    left: Holdings
    kept: tuple[KeptOpenings, ...]
    order: Order | None
    unchanged: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class DifferenceAccount:
    """What a change comes to, in what suppliers are paid.

    `additional` = the shipments, freight with them; `surplus` is what no opening of the changed
    order needs, `credit` what suppliers would credit for what may be returned of it.
    """

    currency: str
    unit: LengthUnit
    accepted: Decimal
    additional: Decimal
    purchases: tuple[PurchaseLine, ...]
    shipments: tuple[Shipment, ...]
    surplus: Holdings
    credit: ReturnCredit
    openings: int
    kept: tuple[KeptOpenings, ...]
    unchanged: bool = False

    @property
    def net(self) -> Decimal:
        """Return accepted + additional − possible credit."""
        return self.accepted + self.additional - self.credit.total
