"""What the program decides, and the proof that comes with it."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from optimiser.domain.catalogue import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """How the openings of one piece set are served; aligned with `Demand.sets`.

    `kits` pairs the SKU of each made-to-measure kit with the number of openings that it serves,
    `standard_kits` that of each standard kit; `cut` openings are cut from stock lengths and
    offcuts of their own material, `cut_instead` from those of another one.
    """

    kits: tuple[tuple[str, int], ...]
    cut: int
    standard_kits: tuple[tuple[str, int], ...] = ()
    cut_instead: tuple[tuple[Material, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingPattern:
    """How one stock length or offcut is cut, and how many bars are cut so.

    `sku` is the offcut's id where it comes from the rack. `cuts` pairs each length in nanometres
    with its count per bar, longest first.
    """

    sku: str
    cuts: tuple[tuple[int, int], ...]
    bars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Splice:
    """`pieces` of one length that are each made of two segments; the longer one first."""

    material: Material
    length_nm: int
    segments_nm: tuple[int, int]
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What to buy and how to cut it.

    `stock_lengths`, `packs` and `standard_kits` pair each SKU with the number bought, in units
    as sold. `offcuts` pairs the id of each offcut with the number cut; `fasteners_on_hand` holds
    fastener, finish and the number used. Patterns cut exactly the pieces, and the segments of
    spliced pieces, of the openings that are cut: no surplus.
    """

    supplies: tuple[Supply, ...]
    patterns: tuple[CuttingPattern, ...]
    stock_lengths: tuple[tuple[str, int], ...]
    packs: tuple[tuple[str, int], ...]
    standard_kits: tuple[tuple[str, int], ...] = ()
    offcuts: tuple[tuple[str, int], ...] = ()
    fasteners_on_hand: tuple[tuple[str, str | None, int], ...] = ()
    splices: tuple[Splice, ...] = ()


class Aim(StrEnum):
    """What the program makes small, in this order."""

    COST = "cost"
    DROP = "drop"
    PATTERNS = "patterns"


class Method(StrEnum):
    """How the bound on the cost was obtained."""

    ALL_PATTERNS = "all-patterns"
    COLUMN_GENERATION = "column-generation"
    PATTERNS_UNDER_GAP = "patterns-under-gap"


@dataclass(frozen=True, slots=True, kw_only=True)
class AimProof:
    """Whether an aim was proved to be at its best, given the aims before it."""

    aim: Aim
    proved: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """The proof of a decision.

    `lower_bound` holds for the whole problem, over every pattern that fits and every choice
    that is allowed: no plan costs less. The cost is proved where the bound meets it.
    """

    cost: Decimal
    lower_bound: Decimal
    method: Method
    patterns_considered: int
    aims: tuple[AimProof, ...]

    @property
    def gap(self) -> Decimal:
        """Return cost less lower bound, in money."""
        return self.cost - self.lower_bound

    @property
    def proved(self) -> bool:
        """Return whether the bound meets the cost."""
        return self.cost == self.lower_bound


@dataclass(frozen=True, slots=True, kw_only=True)
class Restriction:
    """What a re-solve may not do, beyond the policy. Used for alternatives.

    `kits_per_set`, aligned with `Demand.sets`, fixes the number of openings served by kits.
    `only_supplier` names the one supplier who may be bought from.
    """

    bare_kits: bool = True
    kits_with_fasteners: bool = True
    cutting: bool = True
    kits_per_set: tuple[int, ...] | None = None
    only_supplier: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """A decision with its certificate."""

    decision: Decision
    certificate: Certificate
