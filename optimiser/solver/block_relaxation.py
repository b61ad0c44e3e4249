"""Choosing first, cutting second: the block as an integer program that learns what can be cut.

The block of a program (what is bought, which switch is on) is small; the patterns are many. The
block is solved on its own, with what is known of cutting as rows. For whole multipliers π_i ≥ 0
of the covers of a group of sources, and ρ_s at least the best Σ_i π_i a_ij + S credit_s over
*every* pattern of source s, every plan keeps

    [cut]  Σ_s ρ_s bars_s(y) − Σ_i π_i need_i(y) ≥ S credit_g,
           bars_s(y) = Σ_k bars_sk y_k,   need_i(y) = at_least_i − Σ_k term_ik y_k,

with S the scale of the multipliers and credit_g what the group's drops earn, a column of its
own where there are credits. So the optimum of the block with such cuts is a bound for the whole
program: one that knows that bundles and kits are whole and that half a shipment is a shipment.

For the block's choices y the relaxation of cutting alone, in which missing bars may be had at a
price, gives a point's cost or the next cut. Where no cut is broken, only whole patterns are
still asked for: the switches of y are then fixed and the engine solves the rest; that settles
these switches, and a row keeps them from coming back.

References: J. F. Benders, "Partitioning procedures for solving mixed-variables programming
problems", Numerische Mathematik 4 (1962) 238-252.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil

from optimiser.solver.bound import Multipliers, bar_price, best_bars
from optimiser.solver.column_generation import generate_columns, starting_patterns
from optimiser.solver.master import Master
from optimiser.solver.program import Column, Pattern, Program, Row, Source
from optimiser.solver.stock import StockGroup, group_sources

SCALE = 1 << 12


class Block:
    """The block of a program with the cuts found so far, as a program without patterns.

    Its columns are those of the program, and one more per group with credits: what they earn.
    """

    def __init__(self, program: Program, groups: Sequence[StockGroup]) -> None:
        self.whole, self.groups = program, groups
        self.credit_of: dict[int, int] = {}
        columns = list(program.columns)
        for g, group in enumerate(groups):
            most = sum(
                max((credit for _, credit in program.sources[s].credits), default=0)
                * sum(max(0, c) * program.columns[k].upper for k, c in program.sources[s].bars)
                for s in group.sources
            )
            if most:
                self.credit_of[g] = len(columns)
                columns.append(Column(name=f"credit of group {g}", cost=-1, upper=most))
        self.program = replace(Program(columns=tuple(columns), rows=program.rows))

    def add_cut(self, g: int, covers: Sequence[float]) -> None:
        """Add the cut of a group for multipliers of the covers, in units of the cost."""
        pi = [0] * len(self.whole.covers)
        for i in self.groups[g].covers:
            pi[i] = max(0, round(covers[i] * SCALE))
        rho, _ = best_bars(self.whole, (self.groups[g],), pi, SCALE)
        least = 0
        terms: dict[int, int] = {}
        for i in self.groups[g].covers:
            least += pi[i] * self.whole.covers[i].at_least
            for k, c in self.whole.covers[i].terms:
                terms[k] = terms.get(k, 0) + pi[i] * c
        for s in self.groups[g].sources:
            for k, c in self.whole.sources[s].bars:
                terms[k] = terms.get(k, 0) + rho[s] * c
        if g in self.credit_of:
            terms[self.credit_of[g]] = -SCALE
        self.add_row(Row(name=f"cut of group {g}", terms=_listed(terms), lower=least))

    def add_row(self, row: Row) -> None:
        """Add a row."""
        self.program = replace(self.program, rows=(*self.program.rows, row))


def _listed(terms: dict[int, int]) -> tuple[tuple[int, int], ...]:
    return tuple((k, c) for k, c in sorted(terms.items()) if c)


@dataclass(frozen=True, slots=True)
class Short:
    """What cutting a block's choices costs at least beyond them, less credits."""

    cost: int
    covers: tuple[float, ...]


class GroupCutting:
    """Cutting alone, for one group: how much is missing where the block is settled.

    Its program has, for each source, bars that are given and bars that may be had besides; for
    each cover, the pieces needed. What is given and needed is fixed anew for each block.
    """

    def __init__(self, program: Program, group: StockGroup, patterns: Sequence[Pattern]) -> None:
        self.whole, self.group = program, group
        self.covers = sorted(group.covers)
        columns: list[Column] = []
        sources: list[Source] = []
        for s, price in zip(group.sources, extra_prices(program, group), strict=True):
            bars = ((len(columns), 1), (len(columns) + 1, 1))
            columns.append(Column(name="given", cost=0, upper=0))
            most = sum(program.covers[i].most for i in group.covers)
            columns.append(Column(name="besides", cost=price, upper=most))
            positions = tuple(range(len(self.covers)))
            sources.append(replace(program.sources[s], covers=positions, bars=bars))
        self.first_need = len(columns)
        columns.extend(Column(name="need", cost=0, upper=0) for _ in self.covers)
        self.program = Program(
            columns=tuple(columns),
            covers=tuple(
                replace(program.covers[i], at_least=0, terms=((self.first_need + n, -1),))
                for n, i in enumerate(self.covers)
            ),
            sources=tuple(sources),
        )
        self.groups = group_sources(self.program)
        self.master = Master(self.program)
        self.master.add(starting_patterns(self.groups))
        own = {s: n for n, s in enumerate(group.sources)}
        position = {i: n for n, i in enumerate(self.covers)}
        self.master.add(
            Pattern(own[p.source], tuple(sorted((position[i], count) for i, count in p.counts)))
            for p in patterns
            if p.source in own
        )

    def settle(self, block: Sequence[int]) -> Program:
        """Return the program with what a block gives and needs, and set the relaxation to it."""
        fixed: dict[int, int] = {}
        for n, s in enumerate(self.group.sources):
            fixed[2 * n] = sum(c * block[k] for k, c in self.whole.sources[s].bars)
        for n, i in enumerate(self.covers):
            cover = self.whole.covers[i]
            fixed[self.first_need + n] = cover.at_least - sum(c * block[k] for k, c in cover.terms)
        columns = list(self.program.columns)
        for k, value in fixed.items():
            columns[k] = replace(columns[k], lower=value, upper=value)
        self.master.program = replace(self.program, columns=tuple(columns))
        values = [float(value) for value in fixed.values()]
        self.master.bound_columns(list(fixed), values, values)
        return self.master.program

    def short_of(self, block: Sequence[int], stop: Callable[[], bool]) -> Short | None:
        """Return what is missing at least, with the multipliers that show it."""
        self.settle(block)
        generated = generate_columns(self.master, self.groups, stop=stop, round_up=False)
        if generated is None:
            return None
        multipliers: Multipliers = generated.bound.multipliers
        covers = [0.0] * len(self.whole.covers)
        for n, i in enumerate(self.covers):
            covers[i] = multipliers.covers[n] / multipliers.scale
        return Short(generated.bound.whole, tuple(covers))


def extra_prices(program: Program, group: StockGroup) -> list[int]:
    """Return a price for a bar of each source beyond those given: never nothing."""
    prices = [bar_price(program, s) for s in group.sources]
    rates = [p / c for p, c in zip(prices, group.capacities, strict=True) if p > 0]
    rate = min(rates, default=Fraction(1, group.longest))
    return [
        max(1, ceil(max(price, rate * capacity)))
        for price, capacity in zip(prices, group.capacities, strict=True)
    ]
