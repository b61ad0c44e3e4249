"""Cuts that whole choices imply: what the relaxation loses by buying half a pack.

The block (kits, packs, switches, bars bought) is a small integer program of its own, Y. For any
multipliers of the covers and the bars, a plan's block costs, after what it covers,

    Σ_k c_k y_k,   c_k = cost_k − Σ_i π_i term_ik − Σ_s ρ_s bars_sk,

and no whole y in Y costs less than z, the optimum of that program. So Σ c_k y_k ≥ z holds for
every plan. It is added as a row where the relaxation's y breaks it, and the relaxation solved
again; c is rounded to whole numbers first, for which the same is true. In the end the bound is
that of the relaxation in which the block is whole and only the bars' cutting is not.

Columns that no row links, one by one or through others, are cut apart.

References: E. A. Boyd, "Fenchel cutting planes for integer programs", Operations Research 42
(1994) 53-64; the bound is that of A. M. Geoffrion, "Lagrangean relaxation for integer
programming", Mathematical Programming Study 2 (1974) 82-114.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from optimiser.solver.bound import Bound, Multipliers, best_bars, best_bound
from optimiser.solver.column_generation import smooth
from optimiser.solver.integer_program import IntegerResult, solve_over
from optimiser.solver.parts import split
from optimiser.solver.program import Program, Row
from optimiser.solver.stock import StockGroup

FINEST_COEFFICIENT = 1_000_000
NODES = 2_000
BROKEN_BY = 0.01
PARTS_OF_CUT = (0.0, 0.5, 0.75, 0.9)


KnownBlocks = dict[tuple[int, tuple[int, ...]], IntegerResult]
"""What was found of blocks, by their number and their columns' costs."""


@dataclass(frozen=True, slots=True)
class Block:
    """Columns that rows link, as a program of their own, with their positions in the whole."""

    program: Program
    columns: tuple[int, ...]


def blocks_of(program: Program) -> tuple[Block, ...]:
    """Return the blocks of a program whose choices are more than limits on single columns."""
    alone = Program(columns=program.columns, rows=program.rows)
    return tuple(
        Block(part.program, part.columns) for part in split(alone, {}) if part.program.rows
    )


def broken_cuts(
    program: Program,
    blocks: Sequence[Block],
    multipliers: Multipliers,
    block: Sequence[float],
    *,
    seconds: float | None = None,
    known: KnownBlocks | None = None,
) -> Iterator[Row]:
    """Yield the cuts for some multipliers that a relaxation's block values break.

    `known` has the blocks' optima so far, and is let have those that are found.
    """
    known = {} if known is None else known
    worth = _worth(program, multipliers)
    for number, part in enumerate(blocks):
        largest = max(abs(worth[k]) for k in part.columns)
        if largest == 0:
            continue
        measure = max(1, largest // FINEST_COEFFICIENT)
        whole = [round(worth[k] / measure) for k in part.columns]
        now = sum(c * block[k] for c, k in zip(whole, part.columns, strict=True))
        key = (number, tuple(whole))
        if key not in known:
            known[key] = _solve_block(part, whole, seconds)
        least = known[key].bound
        if least is not None and (least - now) * measure > BROKEN_BY * multipliers.scale:
            terms = tuple((k, c) for k, c in zip(part.columns, whole, strict=True) if c)
            yield Row(name=f"whole choices {number}", terms=terms, lower=least)


def whole_choices(blocks: Sequence[Block], known: KnownBlocks) -> dict[int, int]:
    """Return the values of the blocks' columns at the last costs that each was solved for."""
    values: dict[int, int] = {}
    for (number, _), result in known.items():
        if result.point is not None:
            values |= zip(blocks[number].columns, result.point.block, strict=True)
    return values


def _solve_block(part: Block, costs: Sequence[int], seconds: float | None) -> IntegerResult:
    """Return the cheapest whole point of a block at some costs, with a bound on any of them."""
    columns = tuple(
        replace(column, cost=c) for column, c in zip(part.program.columns, costs, strict=True)
    )
    program = replace(part.program, columns=columns)
    return solve_over(program, (), seconds=seconds, nodes=NODES, heuristics=False, presolve="off")


def _worth(program: Program, multipliers: Multipliers) -> list[int]:
    """Return what each column costs after what it covers, scaled as the multipliers are."""
    worth = [column.cost * multipliers.scale for column in program.columns]
    for cover, pi in zip(program.covers, multipliers.covers, strict=True):
        for k, coefficient in cover.terms:
            worth[k] -= pi * coefficient
    for source, rho in zip(program.sources, multipliers.bars, strict=True):
        for k, coefficient in source.bars:
            worth[k] -= rho * coefficient
    return worth


def bounds_between(
    program: Program, groups: Sequence[StockGroup], uncut: Bound, cut: Bound
) -> tuple[Bound, ...]:
    """Return weaker bounds between those of the relaxation without and with its cuts.

    `program` holds the cuts as its last rows. A cut leaves no reduced cost on the choices that
    it binds; the bound without it does, and limits them where it is near enough to the cost.
    """
    added = len(program.rows) - len(uncut.multipliers.rows)
    first = replace(uncut.multipliers, rows=uncut.multipliers.rows + (0,) * added)
    bounds = []
    for of_the_cut in PARTS_OF_CUT:
        between = smooth(cut.multipliers, first, of_the_cut)
        bars, _ = best_bars(program, groups, between.covers, between.scale)
        bounds.append(best_bound(program, groups, replace(between, bars=bars)))
    return tuple(bounds)
