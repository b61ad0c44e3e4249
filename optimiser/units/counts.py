"""Whole counts: fasteners along a length, allowances. Every count is rounded up."""

from decimal import Decimal
from fractions import Fraction
from math import ceil

FEWEST_FASTENERS_PER_PIECE = 2
"""One near each end holds a piece down. Common practice, no source."""


def ceil_div(count: int, per: int) -> int:
    """Return count ÷ per, rounded up to a whole number."""
    return -(-count // per)


def fasteners_by_running_length(length_nm: int, spacing_nm: int) -> int:
    """Return the fasteners for a running length: ⌈L / s⌉.

    Source: the trade's rule of thumb; common practice, no source.
    """
    return ceil_div(length_nm, spacing_nm)


def fasteners_per_piece(
    length_nm: int,
    spacing_nm: int,
    end_distance_nm: int,
    fewest: int = FEWEST_FASTENERS_PER_PIECE,
) -> int:
    """Return the fasteners for one piece with one near each end: ⌈(L − 2e) / s⌉ + 1.

    At least `fewest`.

    Source: even division of the length between the two end fasteners at no more than the
    spacing; the minimum of two is common practice, no source.
    """
    between_nm = length_nm - 2 * end_distance_nm
    return max(fewest, ceil_div(between_nm, spacing_nm) + 1)


def add_percent(count: int, percent: Decimal) -> int:
    """Return the count with a percentage added, rounded up to a whole number."""
    return ceil(count * (1 + Fraction(percent) / 100))
