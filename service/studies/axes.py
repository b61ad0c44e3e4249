"""Axes of a study: where a pointer leads, and the values that are put there."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import prod
from typing import Any

from service.studies.pointer import Pointer

MOST_POINTS = 10_000
"""Points of one study."""

Number = int | Decimal


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """An input that takes one value after the other, at every pointer the same.

    `name` is what the table calls it.
    """

    name: str
    pointers: tuple[Pointer, ...]
    values: tuple[Any, ...]


def count_values(first: Number, last: Number, step: Number) -> int:
    """Return how many values there are from `first` by `step` up to `last`; none may be."""
    if step <= 0 or last < first:
        return 0
    # As fractions: decimals of many digits have no whole quotient.
    return int((Fraction(last) - Fraction(first)) // Fraction(step)) + 1


def spread(first: Number | str, last: Number | str, step: Number | str) -> tuple[Any, ...]:
    """Return `first`, `first` + `step` and so on up to `last`, in the form of `first`.

    Money is text: it comes out as text, with as many decimals as the finest of the three.
    """
    start, end, by = (Decimal(value) for value in (first, last, step))
    values = [start + n * by for n in range(count_values(start, end, by))]
    if isinstance(first, str):
        digits = max(_decimals(value) for value in (start, end, by))
        return tuple(f"{value:.{digits}f}" for value in values)
    return tuple(int(value) if value == value.to_integral_value() else value for value in values)


def count_points(scenarios: int, axes: Sequence[int]) -> int:
    """Return how many points there are: every scenario at every point of the grid of the axes.

    Without scenarios the base is at every point; without either there is none.
    """
    if not axes:
        return scenarios
    return max(1, scenarios) * prod(axes)


def _decimals(value: Decimal) -> int:
    return max(0, -int(value.as_tuple().exponent))
