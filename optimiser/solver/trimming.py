"""Cut exactly what is needed: surplus pieces leave the patterns, with few new patterns.

The covers of the program say "at least"; the bench cuts exact numbers. For each surplus
length, pieces first leave patterns as a whole (all bars of a pattern that are no more than
the surplus), the most bars first; what remains splits one pattern in two.
"""

from optimiser.solver.program import Pattern, Point, Program


def trim_point(program: Program, point: Point) -> Point:
    """Return the point with every piece beyond the covers' need taken out of its patterns."""
    surplus = [
        sum(c * point.block[k] for k, c in cover.terms) - cover.at_least for cover in program.covers
    ]
    for pattern, bars in point.bars.items():
        for i, count in pattern.counts:
            surplus[i] += count * bars
    return Point(block=point.block, bars=trim_surplus(point.bars, dict(enumerate(surplus))))


def trim_surplus(bars: dict[Pattern, int], surplus: dict[int, int]) -> dict[Pattern, int]:
    """Return patterns that cut `surplus[i]` fewer pieces of each cover i.

    The result depends on the set of patterns alone, not on their order. A bar from which
    every piece has gone is left out.
    """
    trimmed = {pattern: count for pattern, count in sorted(bars.items()) if count}
    for i, pieces in sorted(surplus.items()):
        left_over = pieces
        while left_over > 0:
            pattern, taken, moved = _choose(trimmed, i, left_over)
            left = trimmed.pop(pattern) - moved
            if left:
                trimmed[pattern] = left
            fewer = _without(pattern, i, taken)
            if fewer.counts:
                trimmed[fewer] = trimmed.get(fewer, 0) + moved
            left_over -= taken * moved
    return dict(sorted(trimmed.items()))


def _choose(bars: dict[Pattern, int], i: int, extra: int) -> tuple[Pattern, int, int]:
    """Return a pattern, the pieces to take from each bar, and the bars to take them from."""
    holding = [
        (pattern, count, dict(pattern.counts)[i])
        for pattern, count in bars.items()
        if i in dict(pattern.counts)
    ]
    whole = [(p, count, held) for p, count, held in holding if count <= extra]
    if whole:
        # An existing pattern to fall into keeps the number of patterns down by one more.
        pattern, count, held = max(
            whole,
            key=lambda h: (
                _without(h[0], i, min(h[2], extra // h[1])) in bars,
                h[1] * min(h[2], extra // h[1]),
                h[0],
            ),
        )
        return pattern, min(held, extra // count), count
    pattern, _, _ = max(holding, key=lambda h: (_without(h[0], i, 1) in bars, -h[1], h[0]))
    return pattern, 1, extra


def _without(pattern: Pattern, i: int, taken: int) -> Pattern:
    return Pattern(
        source=pattern.source,
        counts=tuple(
            (n, count - taken * (n == i))
            for n, count in pattern.counts
            if count - taken * (n == i) > 0
        ),
    )
