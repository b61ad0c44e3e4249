"""Counts of fasteners along a length."""

from decimal import Decimal

import pytest

from optimiser.units.counts import (
    add_percent,
    ceil_div,
    fasteners_by_running_length,
    fasteners_per_piece,
)
from optimiser.units.lengths import LengthUnit, parse_length


def inches(text: str) -> int:
    return parse_length(text, LengthUnit.INCH)


# 312 in at 1 1/2 in: 312 ÷ 1.5 = 208; at 3 in: 104. Common practice, no source.
@pytest.mark.parametrize(
    ("length", "spacing", "count"),
    [("312", "1 1/2", 208), ("312", "3", 104), ("312", "6", 52), ("312 1/64", "3", 105),
     ("0", "3", 0), ("1/64", "3", 1)],
)  # fmt: skip
def test_running_length_is_divided_by_the_spacing_and_rounded_up(
    length: str, spacing: str, count: int
) -> None:
    assert fasteners_by_running_length(inches(length), inches(spacing)) == count


# ⌈(L − 2e) / s⌉ + 1 by hand. 80 in at 3 in, 1 in from the ends: 78 ÷ 3 = 26, + 1 = 27.
# 36 in: 34 ÷ 3 = 11.33, so 12, + 1 = 13. Nails at both ends: 80 ÷ 3 = 26.67, so 27, + 1 = 28.
@pytest.mark.parametrize(
    ("length", "spacing", "end_distance", "count"),
    [
        ("80", "3", "1", 27),
        ("36", "3", "1", 13),
        ("80", "3", "0", 28),
        ("36", "3", "0", 13),
        ("80", "1 1/2", "1", 53),
        ("36", "1 1/2", "1", 24),
        ("80", "1 1/2", "0", 55),
        ("36", "1 1/2", "0", 25),
    ],
)
def test_each_piece_has_a_fastener_near_each_end(
    length: str, spacing: str, end_distance: str, count: int
) -> None:
    assert fasteners_per_piece(inches(length), inches(spacing), inches(end_distance)) == count


@pytest.mark.parametrize(
    ("length", "end_distance"), [("1", "1"), ("2", "1"), ("4", "0"), ("1", "9")]
)
def test_the_shortest_piece_has_two(length: str, end_distance: str) -> None:
    assert fasteners_per_piece(inches(length), inches("6"), inches(end_distance)) == 2


# 1,040 and 5 %: 1,092 exactly. 104 and 5 %: 109.2, so 110.
@pytest.mark.parametrize(
    ("count", "percent", "total"),
    [(1040, "5", 1092), (104, "5", 110), (104, "0", 104), (0, "10", 0), (1, "0.0001", 2),
     (100, "7", 107)],
)  # fmt: skip
def test_allowance_is_rounded_up(count: int, percent: str, total: int) -> None:
    assert add_percent(count, Decimal(percent)) == total


# 208 nails at 65 to the ounce are 3.2 oz: 4 one-ounce packs, never 3 (195, 13 short).
def test_208_nails_take_four_ounces() -> None:
    assert ceil_div(208, 65) == 4
    assert 208 - 3 * 65 == 13
