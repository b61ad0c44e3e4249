"""Lengths and masses against Pint, which shares no code with the project."""

from fractions import Fraction

import pint
import pytest

from optimiser.units.lengths import LengthUnit, parse_length
from optimiser.units.masses import parse_mass

exact = pint.UnitRegistry(non_int_type=Fraction)

LENGTH_WORDS = {
    "in": "inch", '"': "inch", "inches": "inch", "ft": "foot", "'": "foot", "feet": "foot",
    "mm": "millimetre", "cm": "centimetre", "m": "metre",
}  # fmt: skip
MASS_WORDS = {
    "oz": "ounce", "ounces": "ounce", "lb": "pound", "lbs": "pound", "pounds": "pound",
    "g": "gram", "grams": "gram", "kg": "kilogram",
}  # fmt: skip
AMOUNTS = {
    "1": Fraction(1), "0.25": Fraction(1, 4), "7.12": Fraction(178, 25), "1/64": Fraction(1, 64),
    "2 3/8": Fraction(19, 8), "5⅞": Fraction(47, 8), "17": Fraction(17), "0.0625": Fraction(1, 16),
}  # fmt: skip


@pytest.mark.parametrize("word", LENGTH_WORDS)
@pytest.mark.parametrize("amount", AMOUNTS)
def test_length_is_what_pint_says(amount: str, word: str) -> None:
    expected = exact.Quantity(AMOUNTS[amount], LENGTH_WORDS[word]).to("nanometre").magnitude
    assert parse_length(f"{amount} {word}", LengthUnit.MILLIMETRE) == expected


@pytest.mark.parametrize("feet", [0, 3, 10])
@pytest.mark.parametrize("inches", ["0", "6", "11 63/64"])
def test_feet_and_inches_are_what_pint_says(feet: int, inches: str) -> None:
    whole, _, fraction = inches.partition(" ")
    expected = (
        exact.Quantity(Fraction(feet), "foot")
        + exact.Quantity(Fraction(whole) + Fraction(fraction or 0), "inch")
    ).to("nanometre")
    assert parse_length(f"{feet}'-{inches}\"", LengthUnit.INCH) == expected.magnitude


@pytest.mark.parametrize("word", MASS_WORDS)
@pytest.mark.parametrize("amount", AMOUNTS)
def test_mass_is_what_pint_says(amount: str, word: str) -> None:
    expected = exact.Quantity(AMOUNTS[amount], MASS_WORDS[word]).to("gram").magnitude
    assert parse_mass(f"{amount} {word}") == expected
