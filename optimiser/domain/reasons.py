"""Typed reasons: why a number is what it is. They are worded in `explain.wording` alone.

Every class has a stable `code` and typed fields; a field whose name ends in `_nm` is a length
in nanometres. `marks` names the openings that a reason speaks of; empty means the whole order.
Notices, which the reader should know before ordering, are in `domain.notices`.
"""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import ClassVar

from optimiser.domain.account import AccountLine
from optimiser.domain.catalogue import Material, PackRounding
from optimiser.domain.decision import Aim, Method
from optimiser.domain.order import FastenerCounting


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Root of the reasons."""

    code: ClassVar[str] = "reason"
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleFired(Reason):
    """A takeoff rule gave pieces.

    `length_nm` is the sum of `inputs_nm`, divided by `divided_by` and rounded up to a whole
    nanometre, and then `adjusted_nm` added. What is deducted is negative. `count` is per
    opening.
    """

    code: ClassVar[str] = "rule-fired"
    rule_id: str
    statement: str
    source: str
    inputs_nm: tuple[tuple[str, int], ...]
    divided_by: int
    length_nm: int
    count: int
    adjusted_nm: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenersCounted(Reason):
    """The fasteners of one pool that one opening takes, by both rules.

    `pieces` holds, for each length in nanometres, the pieces of it and the fasteners that the
    per-piece rule gives to each: `least_fasteners` at the fewest. `bought_by` is the rule that
    the policy names.
    """

    code: ClassVar[str] = "fasteners-counted"
    fastener: str
    finish: str | None
    spacing_nm: int
    end_distance_nm: int
    least_fasteners: int
    running_length_nm: int
    by_running_length: int
    per_piece: int
    pieces: tuple[tuple[int, int, int], ...]
    bought_by: FastenerCounting


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenersNeeded(Reason):
    """The fasteners of one pool over the order: counted + allowance + spares = needed."""

    code: ClassVar[str] = "fasteners-needed"
    fastener: str
    finish: str | None
    by_running_length: int
    per_piece: int
    bought_by: FastenerCounting
    counted: int
    allowance_percent: Decimal
    allowance: int
    spares: int
    needed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SetServed(Reason):
    """What serves the openings that need the same pieces of one material.

    `openings` = `kits_with_fasteners` + `bare_kits` + `standard_kits` + `cut` + `cut_instead`.
    `lengths` pairs each length in nanometres with its count per opening.
    """

    code: ClassVar[str] = "set-served"
    material: Material
    lengths: tuple[tuple[int, int], ...]
    openings: int
    kits_with_fasteners: int
    bare_kits: int
    cut: int
    standard_kits: int = 0
    cut_instead: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class KitFastenersCounted(Reason):
    """The fasteners that a kit's supplier puts into a kit.

    `nailed_nm` ÷ `spacing_nm`, rounded up, is `fasteners`; that ÷ `per_pack`, rounded as
    `rounding` says, is `packs`. `counted_on` is what one kit brings at the low end of its
    packs' contents.
    """

    code: ClassVar[str] = "kit-fasteners-counted"
    sku: str
    fastener: str
    nailed_nm: int
    spacing_nm: int
    fasteners: int
    per_pack: Fraction
    tolerance_percent: Decimal
    rounding: PackRounding
    packs: int
    counted_on: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KitPriced(Reason):
    """The price of one made-to-measure kit.

    base + `per_length` × `running_length_nm` ÷ `per_length_nm` + `per_piece` × `pieces` +
    `per_pack` × `packs` = `unit_price`, rounded to the currency's minor unit.
    """

    code: ClassVar[str] = "kit-priced"
    sku: str
    base: Decimal
    per_length: Decimal
    per_length_nm: int
    running_length_nm: int
    per_piece: Decimal
    pieces: int
    per_pack: Decimal
    packs: int
    unit_price: Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class KitFastenersPriced(Reason):
    """What fasteners cost when they come in a kit, beside the same packs bought loose.

    `extra` is the kit's price above the cheapest bare kit for the same pieces; it buys
    `packs`, which bring `counted_on` fasteners. `loose` is the cheapest loose pack: its SKU,
    its price and the fasteners that it brings; `None` where no loose pack is offered.
    """

    code: ClassVar[str] = "kit-fasteners-priced"
    sku: str
    bare_sku: str
    extra: Decimal
    packs: int
    counted_on: int
    loose: tuple[str, Decimal, int] | None


@dataclass(frozen=True, slots=True, kw_only=True)
class FastenersSupplied(Reason):
    """How the fasteners of one pool arrive, and how much is left over.

    `kits` and `packs` hold each SKU, its quantity, and the fasteners that one of them brings.
    `on_hand` are taken from the rack, `left_on_hand` stay there. `least_percent` is the least
    share of its stated count that every pack may hold while there is still enough, with all
    that is on hand. `least_per_pack` is that as a count, where every pack states the same
    count, `stated_per_pack`; both are `None` otherwise.
    """

    code: ClassVar[str] = "fasteners-supplied"
    fastener: str
    finish: str | None
    needed: int
    kits: tuple[tuple[str, int, int], ...]
    packs: tuple[tuple[str, int, int], ...]
    supplied: int
    spare: int
    least_percent: Decimal
    least_per_pack: int | None
    stated_per_pack: Fraction | None
    on_hand: int = 0
    left_on_hand: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class LengthAccounted(Reason):
    """Where the length of one stock length goes, over all its bars that are cut.

    `bars` × `stock_nm` = `pieces_nm` + `kerf_nm` + `end_trim_nm` + `drop_nm`. Where it is cut
    `from_rack`, `sku` is the id of an offcut and `bars` are so many of it.
    """

    code: ClassVar[str] = "length-accounted"
    sku: str
    material: Material
    stock_nm: int
    bars: int
    pieces: int
    pieces_nm: int
    kerf_nm: int
    end_trim_nm: int
    drop_nm: int
    from_rack: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CostAccounted(Reason):
    """The total as the sum of its parts: stock lengths + kits + loose packs + others.

    `others` are the other lines of the account, a credit below zero. `payable` is what suppliers
    are paid.
    """

    code: ClassVar[str] = "cost-accounted"
    stock_lengths: Decimal
    kits: Decimal
    fastener_packs: Decimal
    total: Decimal
    payable: Decimal
    others: tuple[AccountLine, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CostBounded(Reason):
    """How far the cost is proved. `aims` pairs each aim with whether it was proved."""

    code: ClassVar[str] = "cost-bounded"
    cost: Decimal
    lower_bound: Decimal
    gap: Decimal
    method: Method
    patterns_considered: int
    aims: tuple[tuple[Aim, bool], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Notice(Reason):
    """Something that the reader should know before ordering; not an error."""

    code: ClassVar[str] = "notice"


@dataclass(frozen=True, slots=True, kw_only=True)
class MeetingStilesByOthers(Notice):
    """The meeting stiles of a pair are not in this order.

    `offered` says whether a rule set that is named has members for them.
    """

    code: ClassVar[str] = "meeting-stiles-by-others"
    height_nm: int
    offered: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AstragalByOthers(Notice):
    """The meeting stiles of a pair are closed by an astragal, which is not in this order."""

    code: ClassVar[str] = "astragal-by-others"
    height_nm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class MeetingRailByOthers(Notice):
    """The gap between the two leaves of a Dutch door is not closed by this order."""

    code: ClassVar[str] = "meeting-rail-by-others"
    width_nm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A warning that applies to the work itself, with its source. `marks`: where it applies."""

    code: str
    sentence: str
    source: str
    marks: tuple[str, ...] = ()
