"""Allotment by largest remainder, against Hamilton's method as it was first used."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest

from optimiser.domain.quote_terms import RoundingRule
from optimiser.quote.allotment import allot, allot_money, price_each
from optimiser.quote.rounding import round_to_step

CENSUS_OF_1790 = {
    "Virginia": (630_560, 21),
    "Massachusetts": (475_327, 16),
    "Pennsylvania": (432_879, 14),
    "North Carolina": (353_523, 12),
    "New York": (331_589, 11),
    "Maryland": (278_514, 9),
    "Connecticut": (236_841, 8),
    "South Carolina": (206_236, 7),
    "New Jersey": (179_570, 6),
    "New Hampshire": (141_822, 5),
    "Vermont": (85_533, 3),
    "Georgia": (70_835, 2),
    "Kentucky": (68_705, 2),
    "Rhode Island": (68_446, 2),
    "Delaware": (55_540, 2),
}
"""Representative populations, 3,615,920 together, and the 120 seats of the bill of 1792.

Source: Balinski and Young, *Fair Representation* (1982), chapter 2; figures from memory, and they
add up to the total and the seats that are known.
"""


def fractions(*weights: int) -> list[Fraction]:
    return [Fraction(weight) for weight in weights]


def test_seats_of_1792_come_out_as_in_hamiltons_bill() -> None:
    populations = fractions(*(people for people, _ in CENSUS_OF_1790.values()))
    assert sum(populations) == 3_615_920
    assert allot(120, populations) == tuple(seats for _, seats in CENSUS_OF_1790.values())


@pytest.mark.parametrize("weights", [(6, 6, 2), (1, 2, 3, 4), (7, 1, 1, 1), (5, 3, 0, 9)])
def test_no_other_shares_lie_closer_to_the_exact_ones(weights: tuple[int, ...]) -> None:
    # Hamilton's method makes the sum of the differences least; by trying all shares there are.
    for units in range(12):
        exact = [Fraction(units * weight, sum(weights)) for weight in weights]

        def apart(shares: Sequence[int], exact: list[Fraction] = exact) -> Fraction:
            return sum((abs(a - b) for a, b in zip(shares, exact, strict=True)), Fraction(0))

        tried = product(range(units + 1), repeat=len(weights))
        least = min(apart(shares) for shares in tried if sum(shares) == units)
        assert apart(allot(units, fractions(*weights))) == least


def test_a_unit_more_may_take_one_from_somebody_as_the_method_is_known_to() -> None:
    # The Alabama paradox. 10 × 6/14 = 4.29, 4.29, 1.43; 11 × 6/14 = 4.71, 4.71, 1.57.
    assert allot(10, fractions(6, 6, 2)) == (4, 4, 2)
    assert allot(11, fractions(6, 6, 2)) == (5, 5, 1)


def test_a_tie_goes_to_the_earlier_position() -> None:
    assert allot(2, fractions(1, 1, 1)) == (1, 1, 0)
    assert allot(1, fractions(1, 1)) == (1, 0)


def test_without_any_weight_all_weigh_the_same() -> None:
    assert allot(7, fractions(0, 0, 0)) == (3, 2, 2)
    assert allot(0, []) == ()


def test_an_amount_below_zero_adds_up_too() -> None:
    # -1.40, -1.40, -4.20: rounded down -2, -2, -5; two units go to the remainders of 0.80 and 0.60.
    assert allot(-7, fractions(1, 1, 3)) == (-1, -2, -4)


def test_money_is_shared_in_minor_units() -> None:
    shares = allot_money(Decimal("100.00"), 2, fractions(1, 1, 1))
    assert shares == (Decimal("33.34"), Decimal("33.33"), Decimal("33.33"))


def test_money_that_is_no_whole_number_of_units_is_refused() -> None:
    with pytest.raises(ValueError, match=r"10\.005 is not a whole number of units with 2 decimals"):
        allot_money(Decimal("10.005"), 2, fractions(1))


def test_openings_of_one_mark_differ_by_a_minor_unit_at_most() -> None:
    assert price_each(Decimal("100.01"), 2, 4) == ((Decimal("25.01"), 1), (Decimal("25.00"), 3))
    assert price_each(Decimal("90.00"), 2, 3) == ((Decimal("30.00"), 3),)


@pytest.mark.parametrize(
    ("rule", "amount", "step", "rounded"),
    [
        (RoundingRule.HALF_UP, "0.125", "0.01", "0.13"),
        (RoundingRule.HALF_EVEN, "0.125", "0.01", "0.12"),
        (RoundingRule.HALF_EVEN, "0.135", "0.01", "0.14"),
        (RoundingRule.UP, "0.1201", "0.01", "0.13"),
        (RoundingRule.UP, "-0.129", "0.01", "-0.12"),
        (RoundingRule.HALF_UP, "-0.125", "0.01", "-0.13"),
        (RoundingRule.HALF_UP, "1.025", "0.05", "1.05"),
        (RoundingRule.HALF_EVEN, "1.025", "0.05", "1.00"),
        (RoundingRule.UP, "1.01", "0.05", "1.05"),
        (RoundingRule.HALF_UP, "12.49", "1.00", "12.00"),
        (RoundingRule.UP, "12.00", "1.00", "12.00"),
        (RoundingRule.HALF_UP, "1249", "500", "1000"),
    ],
)
def test_rules_of_rounding_do_what_their_names_say(
    rule: RoundingRule, amount: str, step: str, rounded: str
) -> None:
    result = round_to_step(Decimal(amount), Decimal(step), rule)
    assert str(result) == rounded
