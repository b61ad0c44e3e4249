"""The purchase plan: what is bought, how it is cut, what supplies each opening, and why."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from optimiser.domain.account import AccountLine
from optimiser.domain.catalogue import Material
from optimiser.domain.decision import Certificate, Decision
from optimiser.domain.opening import Edge
from optimiser.domain.reasons import Caution, Notice, Reason
from optimiser.domain.shipment import Shipment
from optimiser.domain.takeoff import FastenerNeed, FastenerPool, LiesOn, OpeningTakeoff
from optimiser.domain.trimming import TrimLine
from optimiser.units.lengths import LengthUnit


class PurchaseKind(StrEnum):
    """What a purchase line buys."""

    STOCK_LENGTH = "stock-length"
    KIT = "kit"
    FASTENER_PACK = "fastener-pack"
    STANDARD_KIT = "standard-kit"


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseLine:
    """One line to order: `amount` = `quantity` × `unit_price`, exactly.

    Stock lengths, packs and standard kits have one line per SKU; with incremental price breaks
    one per SKU and price. A made-to-measure kit has one line per SKU and piece set, since its
    price follows its size: `made_for` holds the marks, and `lengths` each piece's length in
    nanometres with its count per kit. A stock length's unit holds `bars_per_unit` bars.
    """

    kind: PurchaseKind
    sku: str
    quantity: int
    unit_price: Decimal
    amount: Decimal
    material: Material | None = None
    length_nm: int | None = None
    fastener: str | None = None
    packs_per_kit: int | None = None
    lengths: tuple[tuple[int, int], ...] = ()
    made_for: tuple[str, ...] = ()
    supplier: str = ""
    bars_per_unit: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SetSupply:
    """What supplies the piece set of one material to the openings of one mark.

    `kits` pairs each kit's SKU with the openings that it serves, `standard_kits` each standard
    kit's; `cut` openings are cut, `cut_instead` ones from another material.
    """

    material: Material
    kits: tuple[tuple[str, int], ...]
    cut: int
    standard_kits: tuple[tuple[str, int], ...] = ()
    cut_instead: tuple[tuple[Material, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CutListLine:
    """Pieces of one mark to cut at the bench, with their label.

    `pieces` is the number to cut over all cut openings of the mark; `from_patterns` pairs the
    name of each pattern with the pieces taken from its bars, and adds up to `pieces`. `material`
    is the one that is cut. The two segments of a spliced piece have a line each, with
    `segment_of_nm` the length of the piece that they make.
    """

    label: str
    edge: Edge
    member: str
    lies_on: LiesOn
    material: Material
    length_nm: int
    pieces: int
    from_patterns: tuple[tuple[str, int], ...]
    segment_of_nm: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OpeningPlan:
    """One mark: its takeoff, what supplies it, what is cut for it, what is trimmed on site."""

    takeoff: OpeningTakeoff
    supplies: tuple[SetSupply, ...]
    cut_list: tuple[CutListLine, ...]
    trim_list: tuple[TrimLine, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PatternSheet:
    """One cutting pattern, named, with its account of length per bar.

    `stock_nm` = pieces + `kerf_nm` + `end_trim_nm` + `drop_nm`, exactly. `kerf_nm` is what the
    saw takes; `end_trim_nm` is taken off both ends together. A sheet `from_rack` cuts an offcut,
    whose id stands as `sku`. `credit` is what one bar's drop is credited at.
    """

    name: str
    sku: str
    material: Material
    bars: int
    stock_nm: int
    cuts: tuple[tuple[int, int], ...]
    kerf_nm: int
    end_trim_nm: int
    drop_nm: int
    from_rack: bool = False
    credit: Decimal = Decimal(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenerSupply:
    """How one pool of fasteners is supplied. Counts are at the packs' low end.

    `kits` (standard kits among them) and `packs` pair each SKU with its quantity and the
    fasteners that one of them brings; `on_hand` come from the rack. `spare` is what is left
    after `need.needed`.
    """

    pool: FastenerPool
    need: FastenerNeed
    kits: tuple[tuple[str, int, int], ...]
    packs: tuple[tuple[str, int, int], ...]
    on_hand: int = 0

    @property
    def supplied(self) -> int:
        """Return the fasteners that arrive or are on hand, at the packs' low end."""
        arriving = sum(quantity * each for _, quantity, each in (*self.kits, *self.packs))
        return arriving + self.on_hand

    @property
    def spare(self) -> int:
        """Return the fasteners left over: allowance and spares are not counted as left over."""
        return self.supplied - self.need.needed


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedOffcut:
    """`used` offcuts of one id, at `value` each."""

    id: str
    material: Material
    length_nm: int
    used: int
    value: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class UsedFasteners:
    """`used` fasteners on hand of one type and finish, at `value` each."""

    fastener: str
    finish: str | None
    used: int
    value: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class NextFasteners:
    """`count` fasteners on hand of one type and finish that are not used."""

    fastener: str
    finish: str | None
    count: int


class RackSource(StrEnum):
    """Where a length on the next rack comes from."""

    DROP = "drop"
    WHOLE_BAR = "whole-bar"
    NOT_USED = "not-used"


@dataclass(frozen=True, slots=True, kw_only=True)
class NextOffcut:
    """What is on the rack next time: `quantity` lengths, credited at `credit` each.

    `source` names, as `kind` says, the pattern whose drop it is, the SKU of which bars are left
    whole, or the id of an offcut that is not used.
    """

    kind: RackSource
    source: str
    material: Material
    length_nm: int
    quantity: int
    credit: Decimal = Decimal(0)


class AlternativeOutcome(StrEnum):
    """What came of an alternative."""

    PRICED = "priced"
    SAME_AS_PLAN = "same-as-plan"
    NOT_POSSIBLE = "not-possible"
    NOT_SOLVED_IN_TIME = "not-solved-in-time"


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternative:
    """The plan with one choice changed, priced anew.

    `cost` and `extra_cost` are `None` unless the outcome has a price. `proved` says that no
    cheaper plan exists under the changed choice. `supplier` is the only one bought from, where
    that is the choice.
    """

    code: str
    outcome: AlternativeOutcome
    cost: Decimal | None = None
    extra_cost: Decimal | None = None
    proved: bool = False
    obstacles: tuple[str, ...] = ()
    supplier: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A purchase plan that has passed its re-proof.

    `total` is the cost that was made least: what suppliers are paid, `payable`, and what is
    weighed beside it (see `AccountKind`).
    """

    reference: str
    supplier: str
    currency: str
    unit: LengthUnit
    purchases: tuple[PurchaseLine, ...]
    openings: tuple[OpeningPlan, ...]
    patterns: tuple[PatternSheet, ...]
    fasteners: tuple[FastenerSupply, ...]
    account: tuple[AccountLine, ...]
    total: Decimal
    certificate: Certificate
    decision: Decision
    alternatives: tuple[Alternative, ...]
    reasons: tuple[Reason, ...]
    notices: tuple[Notice, ...]
    cautions: tuple[Caution, ...]
    payable: Decimal = Decimal(0)
    shipments: tuple[Shipment, ...] = ()
    offcuts_used: tuple[UsedOffcut, ...] = ()
    fasteners_used: tuple[UsedFasteners, ...] = ()
    next_rack: tuple[NextOffcut, ...] = ()
    next_fasteners: tuple[NextFasteners, ...] = ()
