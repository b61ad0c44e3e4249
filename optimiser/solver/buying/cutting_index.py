"""What the covers, the sources and the splices of a program stand for."""

from dataclasses import dataclass, field
from decimal import Decimal

from optimiser.domain.catalogue import Material, StockLength
from optimiser.domain.rack import Offcut
from optimiser.solver.buying.articles import Bought
from optimiser.solver.program import Cover, Source

Key = tuple[Material, int]
"""A material and a length in nanometres."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Spliced:
    """A column that makes one piece of `length_nm` of two segments, the longer one first."""

    column: int
    material: Material
    length_nm: int
    segments_nm: tuple[int, int]


@dataclass(slots=True, kw_only=True)
class Cutting:
    """Covers and sources, and what they stand for.

    `articles` and `offcuts` align with `sources`: what the bars of each are bought as. `credits`
    holds, per source, (most weight on the bar, credit in money) with rising weight.
    """

    covers: list[Cover] = field(default_factory=list)
    lengths: list[Key] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    source_lengths_nm: list[int] = field(default_factory=list)
    credits: list[tuple[tuple[int, Decimal], ...]] = field(default_factory=list)
    articles: list[tuple[StockLength, ...]] = field(default_factory=list)
    offcuts: list[tuple[Offcut, ...]] = field(default_factory=list)
    bought: dict[str, Bought] = field(default_factory=dict)
    used: dict[str, int] = field(default_factory=dict)
    splices: list[Spliced] = field(default_factory=list)
