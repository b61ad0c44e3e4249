"""Splitting a program into parts that share nothing, once some columns are fixed.

Two things belong to one part where a constraint names both: columns through rows, covers and
bars; covers through the sources that cut them. Parts are solved on their own; their costs and
their bounds add up.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from optimiser.solver.program import Pattern, Point, Program, Terms


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A program of its own, with the positions in the whole that its own positions stand for."""

    program: Program
    columns: tuple[int, ...]
    covers: tuple[int, ...]
    sources: tuple[int, ...]


class _Links:
    """Sets that grow together (union-find)."""

    def __init__(self) -> None:
        self._above: dict[tuple[str, int], tuple[str, int]] = {}

    def top(self, thing: tuple[str, int]) -> tuple[str, int]:
        above = self._above.setdefault(thing, thing)
        while above != self._above[above]:
            self._above[above] = self._above[self._above[above]]
            above = self._above[above]
        self._above[thing] = above
        return above

    def join(self, things: Sequence[tuple[str, int]]) -> None:
        for thing in things[1:]:
            self._above[self.top(thing)] = self.top(things[0])


def split(program: Program, fixed: Mapping[int, int]) -> tuple[Part, ...]:
    """Return the parts of a program whose `fixed` columns keep their values."""
    # Bars that are bought whatever else is decided stay columns: a source counts them.
    bars = {k for source in program.sources for k, _ in source.bars}
    held = {
        k: column.lower
        for k, column in enumerate(program.columns)
        if column.lower == column.upper and (column.lower == 0 or k not in bars)
    } | dict(fixed)
    links = _Links()
    for k in range(len(program.columns)):
        if k not in held:
            links.top(("column", k))
    for r, row in enumerate(program.rows):
        links.join([("row", r), *(("column", k) for k, _ in row.terms if k not in held)])
    for i, cover in enumerate(program.covers):
        links.join([("cover", i), *(("column", k) for k, _ in cover.terms if k not in held)])
    for s, source in enumerate(program.sources):
        links.join(
            [
                ("source", s),
                *(("column", k) for k, _ in source.bars if k not in held),
                *(("cover", i) for i in source.covers),
            ]
        )
    members: dict[tuple[str, int], dict[str, list[int]]] = {}
    for kind, size in (
        ("column", len(program.columns)),
        ("row", len(program.rows)),
        ("cover", len(program.covers)),
        ("source", len(program.sources)),
    ):
        for n in range(size):
            if kind == "column" and n in held:
                continue
            of = members.setdefault(links.top((kind, n)), {})
            of.setdefault(kind, []).append(n)
    return tuple(_cut_out(program, held, of) for of in sorted(members.values(), key=sorted_key))


def sorted_key(of: Mapping[str, Sequence[int]]) -> list[tuple[str, int]]:
    """Return a key that orders parts by what they hold."""
    return [(kind, members[0]) for kind, members in sorted(of.items())]


def _cut_out(program: Program, held: Mapping[int, int], of: Mapping[str, Sequence[int]]) -> Part:
    columns, covers = tuple(of.get("column", ())), tuple(of.get("cover", ()))
    sources = tuple(of.get("source", ()))
    new_column = {k: n for n, k in enumerate(columns)}
    new_cover = {i: n for n, i in enumerate(covers)}

    def free(terms: Terms) -> Terms:
        return tuple((new_column[k], c) for k, c in terms if k in new_column)

    def constant(terms: Terms) -> int:
        return sum(c * held[k] for k, c in terms if k in held)

    new_covers = []
    for i in covers:
        cover = program.covers[i]
        terms, needed = free(cover.terms), cover.at_least - constant(cover.terms)
        most = min(cover.most, max(0, needed)) if not terms else cover.most
        new_covers.append(replace(cover, terms=terms, at_least=needed, most=most))
    return Part(
        program=Program(
            columns=tuple(program.columns[k] for k in columns),
            rows=tuple(
                replace(
                    row,
                    terms=free(row.terms),
                    lower=None if row.lower is None else row.lower - constant(row.terms),
                    upper=None if row.upper is None else row.upper - constant(row.terms),
                )
                for row in (program.rows[r] for r in of.get("row", ()))
            ),
            covers=tuple(new_covers),
            sources=tuple(
                replace(
                    program.sources[s],
                    covers=tuple(new_cover[i] for i in program.sources[s].covers),
                    bars=free(program.sources[s].bars),
                )
                for s in sources
            ),
        ),
        columns=columns,
        covers=covers,
        sources=sources,
    )


def join_points(
    program: Program, fixed: Mapping[int, int], parts: Sequence[Part], points: Sequence[Point]
) -> Point:
    """Return the point of the whole that the points of its parts make up."""
    block = [column.lower for column in program.columns]
    for k, value in fixed.items():
        block[k] = value
    bars: dict[Pattern, int] = {}
    for part, point in zip(parts, points, strict=True):
        for k, value in zip(part.columns, point.block, strict=True):
            block[k] = value
        for pattern, count in point.bars.items():
            bars[widen(part, pattern)] = count
    return Point(block=tuple(block), bars=bars)


def narrow(part: Part, point: Point) -> Point:
    """Return a part's share of a point of the whole."""
    source = {s: n for n, s in enumerate(part.sources)}
    cover = {i: n for n, i in enumerate(part.covers)}
    return Point(
        block=tuple(point.block[k] for k in part.columns),
        bars={
            Pattern(
                source=source[pattern.source],
                counts=tuple(sorted((cover[i], count) for i, count in pattern.counts)),
            ): bars
            for pattern, bars in point.bars.items()
            if pattern.source in source
        },
    )


def narrow_patterns(part: Part, patterns: Iterable[Pattern]) -> tuple[Pattern, ...]:
    """Return the whole's patterns as a part's own, with no more of a length than it needs."""
    source = {s: n for n, s in enumerate(part.sources)}
    cover = {i: (n, part.program.covers[n].most) for n, i in enumerate(part.covers)}
    narrowed: dict[Pattern, None] = {}
    for pattern in patterns:
        if pattern.source in source:
            counts = [(*cover[i], count) for i, count in pattern.counts]
            own = tuple([(n, min(count, most)) for n, most, count in counts if most])
            narrowed.setdefault(Pattern(source[pattern.source], own))
    return tuple(narrowed)


def widen(part: Part, pattern: Pattern) -> Pattern:
    """Return a part's pattern as one of the whole."""
    return Pattern(
        source=part.sources[pattern.source],
        counts=tuple(sorted((part.covers[i], count) for i, count in pattern.counts)),
    )
