"""The points of a study: named orders, or the faults that kept an order from being made."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

from optimiser.domain.faults import Fault
from optimiser.domain.order import Order
from optimiser.rule_sets import RuleSet


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """An order to plan, or the `faults` that kept it from being made (then `order` is `None`).

    `values` pairs each axis with the value here, as text. `place` is the position on each axis: it
    says which points are neighbours, and nothing else. `rule_sets` are the user's own.
    """

    name: str
    order: Order | None = None
    faults: tuple[Fault, ...] = ()
    rule_sets: tuple[RuleSet, ...] = ()
    values: tuple[tuple[str, str], ...] = ()
    place: tuple[int, ...] = ()


LOOKED_AT = 24
"""How many of the next points are looked at before one of them is solved."""


def in_turn(
    points: Sequence[Point],
    open_share: Callable[[Order, tuple[RuleSet, ...]], Fraction | None],
) -> Iterator[int]:
    """Yield positions of points in the order in which they are to be solved.

    Of the next points that is the one of which most is open: where two plans cross lies the point
    that settles those on both sides of it. `open_share` is asked again after each that was not
    settled, and one of which nothing is known comes at once.
    """
    waiting, shares = solving_order(points), dict[int, Fraction]()
    while waiting:
        chosen, most = waiting[0], Fraction(-1)
        for position in waiting[:LOOKED_AT]:
            if position not in shares:
                order = points[position].order
                share = None if order is None else open_share(order, points[position].rule_sets)
                if not share:
                    chosen, most = position, Fraction(0) if share is not None else Fraction(1)
                    break
                shares[position] = share
            if shares[position] > most:
                chosen, most = position, shares[position]
        waiting.remove(chosen)
        if most > 0:
            shares.clear()
        yield chosen


def solving_order(points: Sequence[Point]) -> list[int]:
    """Return positions of points: those off the axes, the ends of the axes, then halves between.

    What lies between two points that are solved is often settled by them.
    """
    ends: dict[int, int] = {}
    for point in points:
        for axis, position in enumerate(point.place):
            ends[axis] = max(ends.get(axis, 0), position)
    depths = {axis: _depths(end) for axis, end in ends.items()}

    def key(position: int) -> tuple[int, int, int]:
        levels = [depths[axis][at] for axis, at in enumerate(points[position].place)]
        return max(levels, default=-1), sum(levels), position

    return sorted(range(len(points)), key=key)


def _depths(end: int) -> dict[int, int]:
    """Return for each position up to `end` how often the axis is halved before it comes up."""
    depths = {0: 0, end: 0}
    spans, depth = [(0, end)], 0
    while spans:
        depth += 1
        halves = []
        for low, high in spans:
            if high - low > 1:
                middle = (low + high) // 2
                depths[middle] = depth
                halves += [(low, middle), (middle, high)]
        spans = halves
    return depths
