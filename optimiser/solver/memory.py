"""What is remembered from one program to the next: points, bounds and patterns.

Programs of one family have the same constraints and differ in their costs and in the limits of
their columns. Of a family every point that was found may do for another, and every bound counts
(see `neighbours.py`). Patterns do for all programs that cut the same lengths from the same bars,
whatever else is in them.
"""

from collections.abc import Hashable
from dataclasses import dataclass, field, replace
from fractions import Fraction

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.decision import Restriction
from optimiser.domain.order import Policy
from optimiser.domain.takeoff import Demand
from optimiser.solver.formulated import Formulation
from optimiser.solver.formulation import formulate
from optimiser.solver.known import SharedParts
from optimiser.solver.neighbours import Neighbour, ask_neighbours
from optimiser.solver.parts import split
from optimiser.solver.program import Pattern, Point, Program, broken_by, cost_of
from optimiser.solver.solved import Hint, Solved

MOST_PATTERNS = 600
"""The most patterns that a search begins from."""

MOST_FORMULATIONS = 64
"""Formulations that are kept: those of points that are looked at before they are solved."""

_Limits = tuple[tuple[int, int], ...]


@dataclass(slots=True)
class _Family:
    entries: list[tuple[_Limits, Neighbour, Solved]] = field(default_factory=list)
    points: dict[tuple[tuple[int, ...], frozenset[tuple[Pattern, int]]], Point] = field(
        default_factory=dict
    )


class Memory:
    """Remembers programs that were solved; what it says holds for the whole of each program."""

    def __init__(self) -> None:
        self._families: dict[Hashable, _Family] = {}
        self.parts = SharedParts()
        """What came up on the way, such as the cutting of one material once kits are settled."""
        self._patterns: dict[Hashable, dict[Pattern, None]] = {}
        self._formulations: dict[Hashable, tuple[Demand, Formulation]] = {}

    def formulate(
        self, demand: Demand, catalogue: Catalogue, policy: Policy, restriction: Restriction
    ) -> Formulation:
        """Return the program of an order, written once.

        Raises:
            ProgramInfeasible: a set can neither be cut nor bought as a kit.
        """
        # The demand stays alive while its identity is a key.
        key = (id(demand), catalogue, policy, restriction)
        if key not in self._formulations:
            written = formulate(demand, catalogue, policy, restriction)
            self._formulations[key] = (demand, written)
            if len(self._formulations) > MOST_FORMULATIONS:
                del self._formulations[next(iter(self._formulations))]
        return self._formulations[key][1]

    def gap_of(self, program: Program) -> Fraction | None:
        """Return what is open of a program, as a share of its cost; `None` where that is unknown.

        Zero says that it is settled: nothing is left to solve.
        """
        cost = open_ = 0
        for part in split(program, {}):
            hint = self.look_up(part.program, None)
            if hint.solved is not None:
                cost += hint.solved.cost
            elif hint.start is None or hint.bound is None:
                return None
            else:
                part_cost = cost_of(part.program, hint.start)
                cost += part_cost
                open_ += part_cost - hint.bound
        return Fraction(open_, max(1, cost))

    def keep(self, program: Program, solved: Solved) -> None:
        """Remember what was found of a program or of a part of one; lesser aims are not known."""
        solved = replace(solved, drop_proved=False, patterns_proved=False)
        family = self._families.setdefault(_family_of(program), _Family())
        costs = tuple(column.cost for column in program.columns)
        family.entries.append((_limits(program), Neighbour(costs, solved.bound), solved))
        point = solved.point
        family.points.setdefault((point.block, frozenset(point.bars.items())), point)
        known = self._patterns.setdefault(_cutting_of(program), {})
        for pattern in (*point.bars, *solved.patterns[:MOST_PATTERNS]):
            known.setdefault(pattern)

    def look_up(self, program: Program, start: Point | None) -> Hint:
        """Return the solution of a program where its neighbours settle it, or where to begin."""
        family = self._families.get(_family_of(program))
        best = start
        bound: int | None = None
        if family is not None:
            best = _best_point(program, family, start)
            entries = _that_count(program, family)
            said = ask_neighbours(program, [neighbour for neighbour, _ in entries])
            if said is not None:
                bound = said.bound
                if best is not None and bound >= cost_of(program, best):
                    _, like = entries[-1]
                    cost = cost_of(program, best)
                    solved = replace(
                        like, point=best, cost=cost, bound=cost, patterns=tuple(best.bars)
                    )
                    return Hint(solved=solved)
        known = self._patterns.get(_cutting_of(program), {})
        patterns = tuple(
            pattern
            for pattern in list(known)[:MOST_PATTERNS]
            if all(count <= program.covers[i].most for i, count in pattern.counts)
        )
        return Hint(start=best, bound=bound, patterns=patterns, elsewhere=True)


def _best_point(program: Program, family: _Family, start: Point | None) -> Point | None:
    """Return the cheapest point that is known and allowed; of equals the first, `start` before."""
    first = () if start is None else (start,)
    allowed = [
        (cost_of(program, point), point)
        for point in (*first, *family.points.values())
        if broken_by(program, point) is None
    ]
    return min(allowed, key=lambda entry: entry[0])[1] if allowed else None


def _that_count(program: Program, family: _Family) -> list[tuple[Neighbour, Solved]]:
    """Return the neighbours whose limits are no narrower; with costs on patterns, equals alone."""
    costs = tuple(column.cost for column in program.columns)
    on_patterns = any(source.credits or source.piece_cost for source in program.sources)
    limits = _limits(program)
    return [
        (neighbour, solved)
        for wider, neighbour, solved in family.entries
        if (not on_patterns or neighbour.costs == costs)
        and all(
            low >= lower and high <= upper
            for (low, high), (lower, upper) in zip(limits, wider, strict=True)
        )
    ]


def _family_of(program: Program) -> Hashable:
    whole = tuple(column.integer for column in program.columns)
    rows = tuple((row.terms, row.lower, row.upper) for row in program.rows)
    covers = tuple(
        (cover.weight, cover.most, cover.at_least, cover.terms) for cover in program.covers
    )
    sources = tuple(
        (source.covers, source.capacity, source.bars, source.piece_cost, source.credits)
        for source in program.sources
    )
    return whole, rows, covers, sources


def _cutting_of(program: Program) -> Hashable:
    weights = tuple(cover.weight for cover in program.covers)
    return weights, tuple((source.covers, source.capacity) for source in program.sources)


def _limits(program: Program) -> _Limits:
    return tuple((column.lower, column.upper) for column in program.columns)
