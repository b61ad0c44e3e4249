"""Parts that have been solved before: their bounds hold for every part that allows no more.

A part comes up again when the bound settles the same choices that a search for points settled,
and with narrower limits on its columns. A bound proved for the wider part holds for it.
"""

from collections.abc import Hashable
from dataclasses import replace

from optimiser.solver.program import Point, Program, broken_by, cost_of
from optimiser.solver.solved import Solved

_Limits = tuple[tuple[int, int], ...]


class KnownParts:
    """What was proved of parts, by what they are made of but for the limits of their columns."""

    def __init__(self) -> None:
        self._solved: dict[Hashable, list[tuple[_Limits, Solved]]] = {}

    def keep(self, program: Program, solved: Solved) -> None:
        """Remember what was found of a part."""
        self._solved.setdefault(_key(program), []).append((_limits(program), solved))

    def recall(self, program: Program, start: Point | None) -> Solved | None:
        """Return `start` as the solution of a part that was proved to cost no less."""
        if start is None or broken_by(program, start) is not None:
            return None
        cost, limits = cost_of(program, start), _limits(program)
        for wider, solved in self._solved.get(_key(program), ()):
            within = all(
                low >= lower and high <= upper
                for (low, high), (lower, upper) in zip(limits, wider, strict=True)
            )
            if within and solved.bound >= cost:
                return replace(solved, point=start, cost=cost)
        return None


class SharedParts(KnownParts):
    """Parts of programs that are solved one after the other: what is proved stays so."""

    def recall(self, program: Program, start: Point | None) -> Solved | None:
        """Return a solution that was proved of the very same part, or that `start` is one."""
        recalled = super().recall(program, start)
        if recalled is not None:
            return recalled
        limits = _limits(program)
        for their_limits, solved in self._solved.get(_key(program), ()):
            if their_limits == limits and solved.proved:
                return solved
        return None


class RecordedParts(KnownParts):
    """Parts of a program that is solved on its own; others may know them afterwards."""

    def __init__(self, shared: KnownParts) -> None:
        super().__init__()
        self._shared = shared

    def keep(self, program: Program, solved: Solved) -> None:
        """Remember what was found of a part, here and there."""
        super().keep(program, solved)
        self._shared.keep(program, solved)


def _key(program: Program) -> Hashable:
    columns = tuple((column.cost, column.integer) for column in program.columns)
    return columns, program.rows, program.covers, program.sources


def _limits(program: Program) -> _Limits:
    return tuple((column.lower, column.upper) for column in program.columns)
