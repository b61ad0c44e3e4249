"""Groups of sources that cut the same pieces: one knapsack serves all their capacities."""

from dataclasses import dataclass

from optimiser.solver.program import Pattern, Program


@dataclass(frozen=True, slots=True, kw_only=True)
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

    @property
    def longest(self) -> int:
        """Return the largest capacity."""
        return max(self.capacities)

    def pattern(self, source: int, counts: list[int]) -> Pattern:
        """Return the pattern with a count per item, on a source."""
        return Pattern(
            source=source,
            counts=tuple(
                sorted((i, int(c)) for i, c in zip(self.covers, counts, strict=True) if c)
            ),
        )


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
