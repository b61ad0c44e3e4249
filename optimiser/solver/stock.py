"""Groups of sources that cut the same pieces: one knapsack serves all their capacities."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from optimiser.solver.knapsack import Suffixes, best_by_suffix
from optimiser.solver.program import Pattern, Program


@dataclass(frozen=True, kw_only=True)
class StockGroup:
    """Sources with the same covers. Items are sorted by falling weight.

    `covers[n]`, `weights[n]` and `bounds[n]` describe item n; `bounds` is the most of it that
    fits the longest bar and that any plan needs. `capacities` and `credits` align with `sources`.
    """

    sources: tuple[int, ...]
    capacities: tuple[int, ...]
    credits: tuple[tuple[tuple[int, int], ...], ...]
    covers: tuple[int, ...]
    weights: tuple[int, ...]
    bounds: tuple[int, ...]

    def only_full(self, position: int) -> bool:
        """Return whether a pattern with room for one more piece is of no use on a source."""
        return not self.credits[position]

    @cached_property
    def longest(self) -> int:
        """Return the largest capacity."""
        return max(self.capacities)

    @cached_property
    def fills(self) -> Suffixes:
        """Return, for each item n and one past the end, how far items n, n + 1, … fill a bar."""
        return best_by_suffix(self.weights, self.bounds, self.weights, self.longest)

    @cached_property
    def _by_cover(self) -> tuple[tuple[int, int], ...]:
        return tuple(sorted((i, n) for n, i in enumerate(self.covers)))

    def pattern(self, source: int, counts: Sequence[int]) -> Pattern:
        """Return the pattern with a count per item, on a source."""
        return Pattern(source, tuple([(i, counts[n]) for i, n in self._by_cover if counts[n]]))


def group_sources(program: Program) -> tuple[StockGroup, ...]:
    """Return the sources of a program by what they cut."""
    by_covers: dict[tuple[int, ...], list[int]] = {}
    for s, source in enumerate(program.sources):
        by_covers.setdefault(tuple(sorted(source.covers)), []).append(s)
    groups = []
    for covers, sources in by_covers.items():
        longest = max(program.sources[s].capacity for s in sources)
        items = sorted(
            (
                i
                for i in covers
                if program.covers[i].weight <= longest and program.covers[i].most > 0
            ),
            key=lambda i: (-program.covers[i].weight, i),
        )
        if not items:
            continue
        lightest = program.covers[items[-1]].weight
        fitting = [s for s in sources if program.sources[s].capacity >= lightest]
        weights = tuple(program.covers[i].weight for i in items)
        groups.append(
            StockGroup(
                sources=tuple(fitting),
                capacities=tuple(program.sources[s].capacity for s in fitting),
                credits=tuple(program.sources[s].credits for s in fitting),
                covers=tuple(items),
                weights=weights,
                bounds=tuple(
                    min(program.covers[i].most, longest // weight)
                    for i, weight in zip(items, weights, strict=True)
                ),
            )
        )
    return tuple(groups)
