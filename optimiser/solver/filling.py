"""Filling bars one after another, each as full as it goes: a quick plan for cutting alone.

Each bar takes the longest piece left and then the pieces that fill the rest best, by a subset
sum over whole numbers held as bits: bit w of a number says that some pieces add up to weight w.
Of several sources the one with the least price for what it holds is taken. The pattern is
repeated as often as the pieces allow.

References: K. Fleszar, K. S. Hindi, "New heuristics for one-dimensional bin-packing", Computers
and Operations Research 29 (2002) 821-839 (the least slack per bin, largest piece first).
"""

from collections.abc import Sequence
from fractions import Fraction

from optimiser.solver.bound import bar_price
from optimiser.solver.knapsack import binary_parts
from optimiser.solver.program import Pattern, Point, Program
from optimiser.solver.stock import StockGroup


def fill_bars(
    group: StockGroup, left: Sequence[int], prices: Sequence[Fraction]
) -> dict[Pattern, int] | None:
    """Return patterns that cut at least the pieces left of a group's covers.

    `left` gives the pieces per cover of the program and `prices` the price of one bar per
    source of the group. `None` where some piece fits no bar.
    """
    counts = [max(0, left[i]) for i in group.covers]
    bars: dict[Pattern, int] = {}
    while any(counts):
        first = next(n for n, count in enumerate(counts) if count)
        filling = _fill_one(group, counts, first, prices)
        if filling is None:
            return None
        position, taken = filling
        times = min(counts[n] // c for n, c in enumerate(taken) if c)
        pattern = group.pattern(group.sources[position], taken)
        bars[pattern] = bars.get(pattern, 0) + times
        counts = [count - times * c for count, c in zip(counts, taken, strict=True)]
    return bars


def _fill_one(
    group: StockGroup, counts: Sequence[int], first: int, prices: Sequence[Fraction]
) -> tuple[int, list[int]] | None:
    """Return the position of a source and the counts of a bar with the piece `first` on it."""
    longest = group.longest - group.weights[first]
    if longest < 0:
        return None
    mask = (1 << (longest + 1)) - 1
    parts: list[tuple[int, int, int]] = []
    sums = [1]
    for n in range(first, len(counts)):
        weight = group.weights[n]
        available = min(counts[n] - (n == first), longest // weight)
        for copies in binary_parts(available):
            parts.append((n, copies, copies * weight))
            sums.append((sums[-1] | (sums[-1] << (copies * weight))) & mask)
    best: tuple[Fraction, int, int] | None = None
    for position, capacity in enumerate(group.capacities):
        room = capacity - group.weights[first]
        if room < 0:
            continue
        within = sums[-1] & ((1 << (room + 1)) - 1)
        filled = within.bit_length() - 1
        entry = (prices[position] / (filled + group.weights[first]), position, filled)
        if best is None or entry < best:
            best = entry
    if best is None:
        return None
    _, position, to_fill = best
    taken = [0] * len(counts)
    taken[first] = 1
    for p in range(len(parts) - 1, -1, -1):
        # A sum that is reached without the part is: longer pieces are used up first.
        if not (sums[p] >> to_fill) & 1:
            n, copies, weight = parts[p]
            taken[n] += copies
            to_fill -= weight
    return position, taken


def bar_prices(program: Program, group: StockGroup) -> list[Fraction]:
    """Return the least price of one bar of each source of a group."""
    return [bar_price(program, source) for source in group.sources]


def fill_program(program: Program, groups: Sequence[StockGroup]) -> Point:
    """Return the point that filling bars gives; it may break constraints of the block."""
    bars: dict[Pattern, int] = {}
    left = [cover.at_least for cover in program.covers]
    for group in groups:
        bars |= fill_bars(group, left, bar_prices(program, group)) or {}
    block = [column.lower for column in program.columns]
    buy_enough(program, bars, block)
    return Point(block=tuple(block), bars=bars)


def buy_enough(program: Program, bars: dict[Pattern, int], block: list[int]) -> None:
    """Raise the bars bought, in place, to what the patterns use, cheapest column first."""
    used = [0] * len(program.sources)
    for pattern, count in bars.items():
        used[pattern.source] += count
    for source, count in zip(program.sources, used, strict=True):
        missing = count - sum(coefficient * block[k] for k, coefficient in source.bars)
        by_price = sorted(
            (program.columns[k].cost / coefficient, k, coefficient)
            for k, coefficient in source.bars
        )
        for _, k, coefficient in by_price:
            if missing <= 0:
                break
            added = min(-(-missing // coefficient), program.columns[k].upper - block[k])
            block[k] += added
            missing -= added * coefficient
