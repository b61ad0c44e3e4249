from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from optimiser.units.lengths import LengthUnit, parse_length
from service.mapping.shown import ValueWriter, write_decimal, write_fraction, write_gap_percent

DOLLARS = ValueWriter(LengthUnit.INCH, "USD")


@pytest.mark.parametrize(
    ("currency", "amount", "shown"),
    [
        ("USD", "12", "12.00"),
        ("USD", "12.4", "12.40"),
        ("USD", "0.0650", "0.065"),
        ("USD", "-57.6", "-57.60"),
        ("USD", "1E+3", "1000.00"),
        ("JPY", "1200", "1200"),
        ("JPY", "0.50", "0.5"),
        ("KWD", "1.5", "1.500"),
    ],
)
def test_money_is_exact_with_at_least_its_minor_digits(
    currency: str, amount: str, shown: str
) -> None:
    assert ValueWriter(LengthUnit.INCH, currency).amount(Decimal(amount)) == shown


@pytest.mark.parametrize(
    ("fraction", "shown"),
    [
        (Fraction(65), "65"),
        (Fraction(1, 8), "0.125"),
        (Fraction(521, 20), "26.05"),
        (Fraction(1040, 3), "1040/3"),
        (Fraction(0), "0"),
    ],
)
def test_a_fraction_is_a_decimal_where_that_ends(fraction: Fraction, shown: str) -> None:
    assert write_fraction(fraction) == shown


@given(st.fractions(min_value=0, max_value=10**6, max_denominator=10**6))
def test_a_fraction_is_written_exactly(value: Fraction) -> None:
    assert Fraction(write_fraction(value)) == value


@given(st.decimals(min_value=0, max_value=10**6, places=6))
def test_a_decimal_is_written_exactly_without_idle_zeros(value: Decimal) -> None:
    shown = write_decimal(value)
    assert Decimal(shown) == value
    assert not ("." in shown and shown.endswith(("0", ".")))


@pytest.mark.parametrize(
    ("gap", "bound", "shown"),
    [
        ("0", "100", "0"),
        ("0", "0", "0"),
        ("1", "0", None),
        ("1", "100", "1"),
        # 0.01 / 30,000 = 0.0000333… %, rounded up to four decimals.
        ("0.01", "30000", "0.0001"),
        ("1", "3", "33.3334"),
        ("268.41", "-220.42", None),
    ],
)
def test_a_gap_in_per_cent_is_rounded_up(gap: str, bound: str, shown: str | None) -> None:
    assert write_gap_percent(Decimal(gap), Decimal(bound)) == shown


@given(st.integers(min_value=0, max_value=10**11), st.sampled_from(list(LengthUnit)))
def test_both_forms_of_a_length_are_the_same_length(length_nm: int, unit: LengthUnit) -> None:
    shown = ValueWriter(unit, "USD").length(length_nm)
    assert parse_length(shown.text, unit) == length_nm
    assert parse_length(f"{shown.mm} mm", unit) == length_nm


def test_a_length_that_inches_cannot_show_is_shown_in_millimetres() -> None:
    # 1 nm is no decimal of an inch that ends within five places.
    assert DOLLARS.length(1).text == "0.000001 mm"
