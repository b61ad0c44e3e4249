"""An order: openings, catalogue and policy."""

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.opening import Opening
from optimiser.units.lengths import LengthUnit


class FastenerCounting(StrEnum):
    """The rule by which fasteners are counted."""

    RUNNING_LENGTH = "running-length"
    PER_PIECE = "per-piece"


@dataclass(frozen=True, slots=True, kw_only=True)
class Policy:
    """How the user wants the order counted, cut and bought.

    `kerf_nm` is lost at each cut between two pieces. `end_trim_nm` is taken off each end of a
    stock length before use. `end_distance_nm` is kept from a piece's end to its first
    fastener when fasteners are counted per piece.
    """

    kerf_nm: int = 0
    end_trim_nm: int = 0
    fastener_counting: FastenerCounting = FastenerCounting.RUNNING_LENGTH
    end_distance_nm: int = 25_400_000
    fastener_spacing_nm: int | None = None
    fastener_allowance_percent: Decimal = Decimal(0)
    spare_fasteners: int = 0
    fasteners_match_finish: bool = False
    allow_kits: bool = True
    allow_cutting: bool = True
    alternatives: bool = True
    time_limit_seconds: float = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A batch of openings, the catalogue to buy from and the policy."""

    openings: tuple[Opening, ...]
    catalogue: Catalogue
    policy: Policy = field(default_factory=Policy)
    reference: str = ""
    unit: LengthUnit = LengthUnit.INCH
