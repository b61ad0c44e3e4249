"""Closing the gap of a standing: first over the patterns nearest to the bound, then over all.

See `gap_closing.py` for why the patterns under the gap are enough.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from optimiser.domain.decision import Method
from optimiser.solver.bound import Bound
from optimiser.solver.gap_closing import Near, nearest_patterns, patterns_within
from optimiser.solver.integer_program import solve_over
from optimiser.solver.program import Pattern
from optimiser.solver.standing import Standing

NEAR_PATTERNS, MORE_PATTERNS = (100, 350), (1_000, 3_000, 9_000)
FEW_WITHIN, MANY_WITHIN, MOST_WITHIN = 500, 1_500, 12_000
FEW_NODES, NEAR_NODES, MANY_NODES = 2_000, 500, 50_000


@dataclass(frozen=True, slots=True)
class _Tried:
    """Patterns that were solved over to the end, with columns limited to plans of `up_to`.

    `up_to` is `None` where HiGHS's bound does not say that what it found is the least.
    """

    patterns: frozenset[Pattern]
    up_to: int | None

    def holds(self, patterns: Sequence[Pattern]) -> bool:
        """Return whether these patterns are among them."""
        return self.patterns.issuperset(patterns)

    def settles(self, patterns: Sequence[Pattern], ceiling: int) -> bool:
        """Return whether no plan up to a ceiling is left that uses these patterns alone."""
        return self.up_to is not None and ceiling <= self.up_to and self.holds(patterns)


def close_gap(standing: Standing, bound: Bound, *, thorough: bool) -> None:
    """Solve over all patterns under the gap, once they are few or nothing else helps.

    Where they are many, those nearest to the bound are solved over first, to bring the cost
    down; a standing that started from a point has done so before. Where they are too many,
    more of the nearest are solved over, as long as there is time. Without `thorough` only a
    few patterns are closed over.
    """
    tried: list[_Tried] = []
    while not standing.done and standing.point is not None:
        ceiling = standing.cost - 1
        near = nearest_patterns(standing.groups, bound, ceiling, FEW_WITHIN)
        if near.complete and any(one.settles(near.patterns, ceiling) for one in tried):
            # What was found over more patterns is the least, or there is nothing below the cost.
            _keep_bound(standing, near.patterns, ceiling + 1)
            return
        if near.complete:
            _solve_within(standing, bound, near.patterns, ceiling, thorough=thorough)
            return
        if thorough and standing.started:
            within = patterns_within(standing.groups, bound, ceiling, MANY_WITHIN)
            if within is not None:
                _solve_within(standing, bound, within, ceiling, thorough=True)
                return
        if _come_nearer(standing, bound, near, NEAR_PATTERNS, tried):
            continue
        if not thorough or standing.done:
            return
        within = patterns_within(standing.groups, bound, ceiling, MOST_WITHIN)
        if within is not None:
            _solve_within(standing, bound, within, ceiling, thorough=True)
            return
        near = nearest_patterns(standing.groups, bound, ceiling, max(MORE_PATTERNS))
        if not _come_nearer(standing, bound, near, MORE_PATTERNS, tried):
            return


def _solve_within(
    standing: Standing, bound: Bound, within: Sequence[Pattern], ceiling: int, *, thorough: bool
) -> None:
    result = solve_over(
        standing.limited(bound, ceiling),
        within,
        ceiling=ceiling,
        target=standing.bound,
        seconds=standing.budget.seconds_left,
        nodes=MANY_NODES if thorough else FEW_NODES,
        # At the bound itself there is nothing to close: a point is looked for, if there is one.
        heuristics=ceiling == standing.bound,
    )
    cost = standing.cost
    standing.take(result.point)
    _keep_bound(standing, within, cost if result.bound is None else min(result.bound, cost))


def _keep_bound(standing: Standing, within: Sequence[Pattern], proved: int) -> None:
    if standing.bound is None or proved > standing.bound:
        standing.method = Method.PATTERNS_UNDER_GAP
        if not standing.complete:
            standing.patterns = within
        standing.raise_bound(proved)


def _come_nearer(
    standing: Standing,
    bound: Bound,
    near: Near,
    sizes: Sequence[int],
    tried: list[_Tried],
) -> bool:
    """Solve over the patterns nearest to the bound; return whether that cost less."""
    improved, patterns = False, list[Pattern]()
    for most in sizes:
        if patterns and len(patterns) == len(near.patterns):
            break
        patterns = near.patterns[:most]
        if not patterns or any(one.holds(patterns) for one in tried):
            continue
        reach = 2 * near.beyond[len(patterns) - 1] // bound.multipliers.scale
        up_to = min(standing.cost - 1, bound.whole + reach)
        result = solve_over(
            standing.limited(bound, up_to),
            patterns,
            target=standing.bound,
            ceiling=standing.cost - 1,
            seconds=standing.budget.share(0.3).seconds_left,
            nodes=NEAR_NODES,
            heuristics=False,
        )
        if result.finished:
            settled = result.bound is None or result.bound >= result.cost
            tried.append(_Tried(frozenset(patterns), up_to if settled else None))
        improved |= standing.take(result.point)
        if standing.done or (improved and most > NEAR_PATTERNS[-1]):
            break
    return improved
