"""Masses: exact fractions of a gram."""

from fractions import Fraction

import pytest

from optimiser.units.faults import MassError
from optimiser.units.lengths import LengthUnit
from optimiser.units.masses import format_mass, parse_mass


# 1 lb = 453.59237 g exactly (international yard and pound agreement, 1959); 1 oz = 1/16 lb.
@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("1 lb", Fraction("453.59237")),
        ("1 oz", Fraction("28.349523125")),
        ("16 oz", Fraction("453.59237")),
        ("1/4 lb", Fraction("113.3980925")),
        ("1 lb 4 oz", Fraction("566.99046250")),
        ("2½ lbs.", Fraction("1133.980925")),
        ("250 g", Fraction(250)),
        ("0.25KG", Fraction(250)),
    ],
)
def test_mass_is_exact(text: str, grams: Fraction) -> None:
    assert parse_mass(text) == grams


# 1,040 nails to the pound: common practice, no source.
def test_an_ounce_at_1040_to_the_pound_holds_just_65() -> None:
    assert 1040 * parse_mass("1 oz") / parse_mass("1 lb") == 65


def test_a_shipment_may_weigh_nothing_and_more_than_an_article() -> None:
    assert parse_mass("0 lb", zero=True) == 0
    assert parse_mass("1001 kg", heaviest_kg=2_000) == 1_001_000


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "“” is empty; state a number, with its unit where it needs one."),
        ("5", "“5” is not a mass; write a number with its unit: oz, lb, g or kg."),
        ("5 in", "“5 in” is not a mass; write a number with its unit: oz, lb, g or kg."),
        ("-1 oz", "“-1 oz” is not a mass; write a number with its unit: oz, lb, g or kg."),
        ("1e9 kg", "“1e9 kg” is not a mass; write a number with its unit: oz, lb, g or kg."),
        ("0 oz", "“0 oz” weighs nothing; state a mass above 0."),
        (
            "1001 kg",
            "“1001 kg” is heavier than the limit, 1,000 kg; check the number and its unit.",
        ),
        (
            "1 lb 16 oz",
            "“1 lb 16 oz” has 16 or more ounces after pounds; carry them into the pounds.",
        ),
        ("1/0 lb", "“1/0 lb” has a fraction with 0 below the line; correct the fraction."),
        ("1 oz\0", "“1 oz\\x00” holds a control character; remove it."),
    ],
)
def test_refusal_names_the_value_and_the_remedy(text: str, message: str) -> None:
    with pytest.raises(MassError) as caught:
        parse_mass(text)
    assert str(caught.value) == message


@pytest.mark.parametrize(
    ("grams", "unit", "shown"),
    [
        (Fraction("453.59237"), LengthUnit.INCH, "1 lb"),
        (Fraction("566.9904625"), LengthUnit.INCH, "1.25 lb"),
        # 8,740 ÷ 453.59237 = 19.2684…
        (Fraction(8_740), LengthUnit.INCH, "19.26… lb"),
        (Fraction(8_740), LengthUnit.MILLIMETRE, "8.74 kg"),
        (Fraction(1_250_000), LengthUnit.MILLIMETRE, "1,250 kg"),
        (Fraction(0), LengthUnit.MILLIMETRE, "0 kg"),
    ],
)
def test_a_mass_is_shown_in_the_unit_that_goes_with_the_lengths(
    grams: Fraction, unit: LengthUnit, shown: str
) -> None:
    assert format_mass(grams, unit) == shown
