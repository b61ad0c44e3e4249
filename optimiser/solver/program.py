"""The program in whole numbers that the engine solves, free of the trade's words.

Sets
    k ∈ K    block columns: choices, bars bought, packs bought, and whatever else is priced
    r ∈ R    block rows
    i ∈ I    covers: one length of one material
    s ∈ S    sources: bars of one usable capacity; a pattern belongs to one source
    j ∈ P(s) patterns of source s: counts a_ij ≤ most_i with Σ_i weight_i a_ij ≤ capacity_s

Variables
    y_k      whole (or real, where `integer` is false), lower_k ≤ y_k ≤ upper_k
    x_j      whole bars cut by pattern j

Objective
    min Σ_k cost_k y_k + Σ_s Σ_{j ∈ P(s)} (piece_cost_s Σ_i a_ij − credit_s(Σ_i weight_i a_ij)) x_j

Constraints
    [row r]    lower_r ≤ Σ_k row_rk y_k ≤ upper_r
    [cover i]  Σ_j a_ij x_j + Σ_k term_ik y_k ≥ at_least_i
    [bars s]   Σ_{j ∈ P(s)} x_j ≤ Σ_k bars_sk y_k

A weight is a piece with one kerf, and a capacity is the usable length with one kerf, so that
n pieces need n − 1 kerfs. Every number is whole: money is counted in a common measure of all
prices, lengths in a common measure of all weights.

References: P. C. Gilmore, R. E. Gomory, "A linear programming approach to the cutting-stock
problem", Operations Research 9 (1961) 849-859, for patterns as columns.
"""

from bisect import bisect_left
from dataclasses import dataclass, field

from optimiser.domain.faults import OptimiserError

Terms = tuple[tuple[int, int], ...]
"""Pairs of a position and a coefficient."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column of the block. Every column has a finite upper limit: the bound needs it.

    A `decisive` column switches a fixed charge or a price level: the relaxation says little
    until it is settled, so the search branches on it (see `block_search.py`).
    """

    name: str
    cost: int
    upper: int
    lower: int = 0
    integer: bool = True
    decisive: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A row of the block; `None` states no limit on that side."""

    name: str
    terms: Terms
    lower: int | None = None
    upper: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cover:
    """A length to be covered. `most` is the most pieces of it that any plan needs."""

    name: str
    weight: int
    most: int
    at_least: int = 0
    terms: Terms = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Bars of one capacity. `covers` names what is cut from them, `bars` the columns bought.

    `piece_cost` is paid for each piece that a pattern cuts; the engine solves programs without it
    (see `cut_charges.py`). `credits` is what a bar that is cut
    gives back: pairs of (most weight on the bar, credit), the weight rising and the credit
    falling; above the last weight there is none. A pattern without pieces counts, too.
    """

    name: str
    covers: tuple[int, ...]
    capacity: int
    bars: Terms
    piece_cost: int = 0
    credits: tuple[tuple[int, int], ...] = ()

    def credit(self, weight: int) -> int:
        """Return what a bar with so much weight cut from it gives back."""
        for most, credit in self.credits[bisect_left(self.credits, (weight, 0)) :]:
            if weight <= most:
                return credit
        return 0


@dataclass(frozen=True, slots=True, order=True)
class Pattern:
    """How one bar of a source is cut: pairs of a cover and a count, covers rising."""

    source: int
    counts: tuple[tuple[int, int], ...]

    @property
    def pieces(self) -> int:
        """Return the number of pieces on the bar."""
        return sum(count for _, count in self.counts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """A program of whole numbers over cutting patterns that are not listed."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...] = ()
    covers: tuple[Cover, ...] = ()
    sources: tuple[Source, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A solution: a value per block column, and the bars cut by each pattern used."""

    block: tuple[int, ...]
    bars: dict[Pattern, int] = field(default_factory=dict)


class ProgramInfeasible(OptimiserError):
    """No plan exists. Obstacles are looked for before the program, so this is a defect."""

    code = "program-infeasible"

    def __init__(self) -> None:
        super().__init__(
            "The purchase program has no solution: some piece set can neither be cut nor "
            "bought as a kit, or a pool of fasteners cannot be filled."
        )


def cost_of(program: Program, point: Point) -> int:
    """Return what a point costs."""
    bought = sum(
        column.cost * value for column, value in zip(program.columns, point.block, strict=True)
    )
    return bought + sum(pattern_cost(program, pattern) * n for pattern, n in point.bars.items())


def pattern_cost(program: Program, pattern: Pattern) -> int:
    """Return what one bar cut by a pattern costs beyond the bar: its cuts, less its credit."""
    source = program.sources[pattern.source]
    cost = source.piece_cost * pattern.pieces
    if source.credits:
        cost -= source.credit(weight_of(program, pattern))
    return cost


def weight_of(program: Program, pattern: Pattern) -> int:
    """Return the weight of a pattern's pieces."""
    return sum(program.covers[i].weight * count for i, count in pattern.counts)


def broken_by(program: Program, point: Point) -> str | None:
    """Return the name of a constraint that a point breaks, in exact arithmetic, or `None`."""
    block = point.block
    for column, value in zip(program.columns, block, strict=True):
        if not column.lower <= value <= column.upper:
            return column.name
    for row in program.rows:
        total = sum(coefficient * block[k] for k, coefficient in row.terms)
        if (row.lower is not None and total < row.lower) or (
            row.upper is not None and total > row.upper
        ):
            return row.name
    cut = [0] * len(program.covers)
    used = [0] * len(program.sources)
    for pattern, bars in point.bars.items():
        used[pattern.source] += bars
        for i, count in pattern.counts:
            cut[i] += count * bars
    for i, cover in enumerate(program.covers):
        if cut[i] + sum(coefficient * block[k] for k, coefficient in cover.terms) < cover.at_least:
            return cover.name
    for s, source in enumerate(program.sources):
        if used[s] > sum(coefficient * block[k] for k, coefficient in source.bars):
            return source.name
    return None
