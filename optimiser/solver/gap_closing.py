"""Exact closing of the gap: the patterns that a cheaper plan could use, and no others.

By the bound of `bound.py`, a plan that cuts x_j bars by pattern j and buys y costs at least

    bound + Σ_j (ρ_s − Σ_i π_i a_ij) x_j + Σ_k |d_k| · (distance of y_k from its cheap limit).

So a plan of cost at most `ceiling` uses no pattern whose reduced cost ρ_s − Σ_i π_i a_ij is
above ceiling − bound, and no block column farther from its cheap limit than (ceiling − bound)
÷ |d_k|. All patterns within are enumerated; the integer program over them, with the columns so
limited, is as good as the whole program for every cost up to the ceiling, and its bound holds.

References: G. Belov, G. Scheithauer, European Journal of Operational Research 171 (2006)
85-106, for reduced-cost arguments over patterns; the same idea as the elementary route
enumeration of R. Baldacci, N. Christofides, A. Mingozzi, Mathematical Programming 115 (2008)
351-385.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from optimiser.solver.bound import Bound, price_values
from optimiser.solver.enumeration import Enumeration
from optimiser.solver.program import Pattern, Program
from optimiser.solver.stock import StockGroup


@dataclass(frozen=True, slots=True)
class Near:
    """Patterns in order of their reduced cost, which `beyond` gives scaled as the bound's.

    `complete` says that no other pattern is within the ceiling that was asked for.
    """

    patterns: list[Pattern]
    beyond: list[int]
    complete: bool


def patterns_within(
    groups: Sequence[StockGroup], bound: Bound, ceiling: int, limit: int
) -> list[Pattern] | None:
    """Return every pattern that a plan of cost at most `ceiling` could use.

    `None` where there are more than `limit`. Dominated patterns are left out.
    """
    slack = ceiling * bound.multipliers.scale - bound.scaled
    listed = _list_within(_enumerations(groups, bound), bound, slack, limit)
    return None if listed is None else [pattern for _, pattern in listed]


def nearest_patterns(groups: Sequence[StockGroup], bound: Bound, ceiling: int, limit: int) -> Near:
    """Return the patterns of least reduced cost that a plan of at most `ceiling` could use.

    As many as a share of the gap holds, at most `limit`; the share is halved until they fit.
    """
    slack = ceiling * bound.multipliers.scale - bound.scaled
    complete, enumerations = True, _enumerations(groups, bound)
    while (listed := _list_within(enumerations, bound, slack, limit)) is None:
        complete, slack = False, slack // 2
        if slack == 0:
            return Near([], [], False)
    listed.sort(key=lambda entry: (entry[0], entry[1]))
    return Near([pattern for _, pattern in listed], [beyond for beyond, _ in listed], complete)


def _enumerations(groups: Sequence[StockGroup], bound: Bound) -> list[Enumeration]:
    multipliers = bound.multipliers
    return [
        Enumeration(group, values=price_values(group, multipliers.covers), scale=multipliers.scale)
        for group in groups
    ]


def _list_within(
    enumerations: Sequence[Enumeration], bound: Bound, slack: int, limit: int
) -> list[tuple[int, Pattern]] | None:
    """Return each pattern of reduced cost at most `slack` with it, both scaled."""
    bars = bound.multipliers.bars
    listed: list[tuple[int, Pattern]] = []
    if slack < 0:
        return listed
    for enumeration in enumerations:
        group = enumeration.group
        found = enumeration.find(
            limit=limit - len(listed), worth=[bars[source] - slack for source in group.sources]
        )
        if found is None or len(listed) + found.of.size > limit:
            return None
        worth = enumeration.worth(found).tolist()
        for position, row, value in zip(
            found.of.tolist(), found.counts.tolist(), worth, strict=True
        ):
            source = group.sources[position]
            listed.append((bars[source] - value, group.pattern(source, row)))
    return listed


def limit_columns(program: Program, bound: Bound, ceiling: int) -> Program:
    """Return the program with its columns limited to what a plan up to `ceiling` could hold."""
    multipliers = bound.multipliers
    slack = ceiling * multipliers.scale - bound.scaled
    reduced = [column.cost * multipliers.scale for column in program.columns]
    for cover, pi in zip(program.covers, multipliers.covers, strict=True):
        for k, coefficient in cover.terms:
            reduced[k] -= pi * coefficient
    for row, multiplier in zip(program.rows, multipliers.rows, strict=True):
        for k, coefficient in row.terms:
            reduced[k] -= multiplier * coefficient
    for source, rho in zip(program.sources, multipliers.bars, strict=True):
        for k, coefficient in source.bars:
            reduced[k] -= rho * coefficient
    columns = []
    for column, d in zip(program.columns, reduced, strict=True):
        if d == 0 or slack < 0 or not column.integer:
            columns.append(column)
            continue
        room = slack // abs(d)
        if d > 0:
            columns.append(replace(column, upper=min(column.upper, column.lower + room)))
        else:
            columns.append(replace(column, lower=max(column.lower, column.upper - room)))
    return replace(program, columns=tuple(columns))
