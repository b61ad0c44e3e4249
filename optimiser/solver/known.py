"""Parts that have been solved before: their bounds hold for every part that allows no more.

A part comes up again when the bound settles the same choices that a search for points settled,
and with narrower limits on its columns. A bound proved for the wider part holds for it, and its
patterns are patterns of it.
"""

from collections.abc import Hashable
from dataclasses import replace

from optimiser.solver.program import Point, Program, broken_by, cost_of
from optimiser.solver.solved import Hint, Solved

_Limits = tuple[tuple[int, int], ...]


class KnownParts:
    """What was proved of parts, by what they are made of but for the limits of their columns."""

    def __init__(self) -> None:
        self._solved: dict[Hashable, list[tuple[_Limits, Solved]]] = {}

    def keep(self, program: Program, solved: Solved) -> None:
        """Remember what was found of a part."""
        self._solved.setdefault(_key(program), []).append((_limits(program), solved))

    def recall(self, program: Program, start: Point | None) -> Hint:
        """Return `start` as the solution of a part that was proved to cost no less, or a hint."""
        limits = _limits(program)
        like = [
            solved
            for wider, solved in self._solved.get(_key(program), ())
            if all(
                low >= lower and high <= upper
                for (low, high), (lower, upper) in zip(limits, wider, strict=True)
            )
        ]
        if not like:
            return Hint(start=start)
        best = max(like, key=lambda solved: solved.bound)
        if start is not None and broken_by(program, start) is None:
            cost = cost_of(program, start)
            if best.bound >= cost:
                return Hint(solved=replace(best, point=start, cost=cost))
        return Hint(start=start, bound=best.bound, patterns=best.patterns)


class SharedParts(KnownParts):
    """Parts of programs that are solved one after the other: what is proved stays so."""

    def recall(self, program: Program, start: Point | None) -> Hint:
        """Return a solution that was proved of the very same part, or that `start` is one."""
        hint = super().recall(program, start)
        if hint.solved is not None:
            return hint
        limits = _limits(program)
        for their_limits, solved in self._solved.get(_key(program), ()):
            if their_limits == limits and solved.proved:
                return replace(hint, solved=solved)
        return hint


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
