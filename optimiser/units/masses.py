"""Masses as exact fractions of a gram.

The pound is 453.59237 g exactly (international yard and pound agreement, 1959); the
avoirdupois ounce is a sixteenth of it.
"""

import re
from fractions import Fraction
from typing import Final

from optimiser.units.faults import MassError, quote
from optimiser.units.lengths import LengthUnit
from optimiser.units.numerals import (
    NUMERAL,
    NumeralError,
    fold_text,
    format_number,
    read_numeral,
)

GRAMS_PER_POUND: Final = Fraction("453.59237")
GRAMS_PER_OUNCE: Final = GRAMS_PER_POUND / 16

HEAVIEST_ARTICLE_KG: Final = 1_000
"""The heaviest mass that is taken: no article weighs more."""

HEAVIEST_SHIPMENT_KG: Final = 1_000_000
"""The heaviest mass of a whole shipment that is taken."""

_GRAMS_PER_UNIT: Final = {
    "oz": GRAMS_PER_OUNCE,
    "lb": GRAMS_PER_POUND,
    "g": Fraction(1),
    "kg": Fraction(1_000),
}
_UNIT_WORDS: Final = {
    "oz": r"oz|ounces?",
    "lb": r"lbs?|pounds?",
    "g": r"g|grams?",
    "kg": r"kg|kilograms?",
}
_ONE_UNIT = re.compile(
    rf"({NUMERAL}) ?(?:"
    + "|".join(f"(?P<{unit}>{words})" for unit, words in _UNIT_WORDS.items())
    + r")\.?"
)
_POUNDS_AND_OUNCES = re.compile(
    rf"([0-9]+) ?(?:{_UNIT_WORDS['lb']})\.? ?({NUMERAL}) ?(?:{_UNIT_WORDS['oz']})\.?"
)


def parse_mass(
    text: str, *, zero: bool = False, heaviest_kg: int = HEAVIEST_ARTICLE_KG
) -> Fraction:
    """Return a mass in grams, exactly, from text such as `1 oz`, `1/4 lb`, `250 g`, `1 lb 4 oz`.

    Raises:
        MassError: not a mass with its unit, zero unless `zero`, or above `heaviest_kg`.
    """
    try:
        grams = _read_text(text)
    except NumeralError as error:
        raise MassError(quote(text), error.problem, error.remedy) from None
    if grams == 0 and not zero:
        raise MassError(quote(text), "weighs nothing", "state a mass above 0")
    if grams > heaviest_kg * 1_000:
        raise MassError(
            quote(text),
            f"is heavier than the limit, {heaviest_kg:,} kg",
            "check the number and its unit",
        )
    return grams


def _read_text(text: str) -> Fraction:
    folded = fold_text(text)
    if match := _ONE_UNIT.fullmatch(folded):
        assert match.lastgroup is not None
        return read_numeral(match[1]) * _GRAMS_PER_UNIT[match.lastgroup]
    if match := _POUNDS_AND_OUNCES.fullmatch(folded):
        ounces = read_numeral(match[2])
        if ounces >= 16:
            raise NumeralError("has 16 or more ounces after pounds", "carry them into the pounds")
        return int(match[1]) * GRAMS_PER_POUND + ounces * GRAMS_PER_OUNCE
    raise NumeralError("is not a mass", "write a number with its unit: oz, lb, g or kg")


def format_mass(grams: Fraction, unit: LengthUnit) -> str:
    """Return a mass in the unit that goes with a unit of length: `42.65… lb`, `19.35 kg`."""
    if unit is LengthUnit.INCH:
        return f"{format_number(grams / GRAMS_PER_POUND)} lb"
    return f"{format_number(grams / 1_000)} kg"
