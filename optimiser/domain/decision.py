"""What the program decides, and the proof that comes with it."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """How the openings of one piece set are served; aligned with `Demand.sets`.

    `kits` pairs each kit's SKU with the number of openings that it serves; `cut` openings are
    cut from stock lengths.
    """

    kits: tuple[tuple[str, int], ...]
    cut: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingPattern:
    """How one stock length is cut, and how many bars are cut so.

    `cuts` pairs each length in nanometres with its count per bar, longest first.
    """

    sku: str
    cuts: tuple[tuple[int, int], ...]
    bars: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """What to buy and how to cut it.

    `stock_lengths` and `packs` pair each SKU with the number bought, in single lengths and
    packs. Patterns cut exactly the pieces of the openings that are cut: no surplus.
    """

    supplies: tuple[Supply, ...]
    patterns: tuple[CuttingPattern, ...]
    stock_lengths: tuple[tuple[str, int], ...]
    packs: tuple[tuple[str, int], ...]


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
    """

    bare_kits: bool = True
    kits_with_fasteners: bool = True
    cutting: bool = True
    kits_per_set: tuple[int, ...] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """A decision with its certificate."""

    decision: Decision
    certificate: Certificate
