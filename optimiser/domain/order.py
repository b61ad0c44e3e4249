"""An order: openings, catalogues, what is on the rack, and policy."""

from dataclasses import dataclass, field
from decimal import Decimal
from enum import StrEnum

from optimiser.domain.buying import KeptDrops
from optimiser.domain.catalogue import Catalogue, FastenerPack, Kit, StandardKit, StockLength
from optimiser.domain.clearances import Clearances
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.domain.opening import Opening
from optimiser.domain.rack import Rack
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
    fastener when fasteners are counted per piece. `clearances` turn the stated sizes into
    those of leaf and opening. `rule_settings` pairs a setting of a rule set, named as
    `threshold.jamb-notch`, with a length in nanometres that goes before the rule set's own.
    """

    kerf_nm: int = 0
    end_trim_nm: int = 0
    fastener_counting: FastenerCounting = FastenerCounting.RUNNING_LENGTH
    end_distance_nm: int = 25_400_000
    fastener_spacing_nm: int | None = None
    fastener_allowance_percent: Decimal = Decimal(0)
    spare_fasteners: int = 0
    fasteners_match_finish: bool = False
    clearances: Clearances = field(default_factory=Clearances)
    rule_settings: tuple[tuple[str, int], ...] = ()
    allow_kits: bool = True
    allow_cutting: bool = True
    cut_charge: Decimal = Decimal(0)
    keep_drops: KeptDrops | None = None
    splices: tuple[SpliceRule, ...] = ()
    substitutions: tuple[Substitution, ...] = ()
    alternatives: bool = True
    time_limit_seconds: float = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """A batch of openings, the catalogues to buy from, one per supplier, and the policy.

    `catalogue` is derived: the articles of all catalogues together, without the terms that are
    each supplier's own (freight, least order).
    """

    openings: tuple[Opening, ...]
    catalogues: tuple[Catalogue, ...]
    policy: Policy = field(default_factory=Policy)
    reference: str = ""
    unit: LengthUnit = LengthUnit.INCH
    rack: Rack = field(default_factory=Rack)
    catalogue: Catalogue = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "catalogue", merge_catalogues(self.catalogues))

    def supplier_of(self, sku: str) -> str:
        """Return the supplier whose catalogue holds a SKU.

        Raises:
            KeyError: no catalogue holds it.
        """
        for catalogue in self.catalogues:
            if any(article.sku == sku for article in articles_of(catalogue)):
                return catalogue.supplier
        raise KeyError(sku)


def articles_of(
    catalogue: Catalogue,
) -> tuple[StockLength | Kit | FastenerPack | StandardKit, ...]:
    """Return every article of a catalogue."""
    return (
        *catalogue.stock_lengths,
        *catalogue.kits,
        *catalogue.fastener_packs,
        *catalogue.standard_kits,
    )


def merge_catalogues(catalogues: tuple[Catalogue, ...]) -> Catalogue:
    """Return the articles of all catalogues as one, in the first one's currency."""
    return Catalogue(
        supplier=" and ".join(catalogue.supplier for catalogue in catalogues),
        currency=catalogues[0].currency if catalogues else "",
        stock_lengths=tuple(item for c in catalogues for item in c.stock_lengths),
        kits=tuple(item for c in catalogues for item in c.kits),
        fastener_packs=tuple(item for c in catalogues for item in c.fastener_packs),
        standard_kits=tuple(item for c in catalogues for item in c.standard_kits),
    )
