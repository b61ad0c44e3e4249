"""Rows that the limits of their columns imply: with its switches fixed, a program has many.

A row holds at every point where it holds at the least and at the most that its columns allow;
it is left out. A row with one free column is a limit of that column. What is left links fewer
columns, so that the program may fall into parts.
"""

from collections.abc import Sequence
from dataclasses import replace

from optimiser.solver.program import Column, Program, Row


def drop_idle_rows(program: Program) -> Program:
    """Return the program without the rows that its columns imply; its points are the same."""
    columns = list(program.columns)
    rows = list(program.rows)
    while True:
        kept = [row for row in rows if not _is_idle(row, columns) and not _tighten(row, columns)]
        if len(kept) == len(rows):
            return replace(program, columns=tuple(columns), rows=tuple(kept))
        rows = kept


def _range(row: Row, columns: Sequence[Column]) -> tuple[int, int]:
    least = sum(c * (columns[k].lower if c > 0 else columns[k].upper) for k, c in row.terms)
    most = sum(c * (columns[k].upper if c > 0 else columns[k].lower) for k, c in row.terms)
    return least, most


def _is_idle(row: Row, columns: Sequence[Column]) -> bool:
    least, most = _range(row, columns)
    return (row.lower is None or least >= row.lower) and (row.upper is None or most <= row.upper)


def _tighten(row: Row, columns: list[Column]) -> bool:
    """Turn a row with one free column into its limits; return whether that was possible."""
    free = [(k, c) for k, c in row.terms if columns[k].lower < columns[k].upper]
    if len(free) != 1:
        return False
    k, coefficient = free[0]
    fixed = sum(c * columns[n].lower for n, c in row.terms if n != k)
    lower, upper = columns[k].lower, columns[k].upper
    for side, is_lower in ((row.lower, True), (row.upper, False)):
        if side is None:
            continue
        room = side - fixed
        if is_lower == (coefficient > 0):
            lower = max(lower, -(-room // coefficient))
        else:
            upper = min(upper, room // coefficient)
    if lower > upper:
        # No value is left: the row stays and says so.
        return False
    columns[k] = replace(columns[k], lower=lower, upper=upper)
    return True
