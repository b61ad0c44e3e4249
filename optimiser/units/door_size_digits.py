"""Door sizes as bare digits: `3068` is 3'-0" wide and 6'-8" high.

Source: "how to read a door schedule", usearticulate.com. Inches of two digits break the four
digits, 2'-10" x 6'-8" as `21068`: from memory, common practice.
"""

import re
from typing import Final

from optimiser.units.lengths import NM_PER_FOOT, NM_PER_INCH
from optimiser.units.numerals import NumeralError

_READINGS: Final = (
    re.compile(r"([1-9])([0-9])([1-9])([0-9])"),
    re.compile(r"([1-9])(1[01])([1-9])([0-9])"),
    re.compile(r"([1-9])([0-9])([1-9])(1[01])"),
    re.compile(r"([1-9])(0[0-9]|1[01])([1-9])(0[0-9]|1[01])"),
)
"""Feet, inches, feet, inches; the inches have one digit or two."""


def read_size_digits(digits: str) -> tuple[int, int, str]:
    """Return width and height in nanometres, and the size as it was read: `3-0 x 6-8`.

    Raises:
        NumeralError: no reading in feet and inches, or more than one.
    """
    readings = [
        tuple(int(part) for part in match.groups())
        for pattern in _READINGS
        if (match := pattern.fullmatch(digits))
    ]
    spelled = [f"{wide}-{inches} x {high}-{rest}" for wide, inches, high, rest in readings]
    if not readings:
        raise NumeralError(
            "is not four digits that give feet and inches of width and of height",
            "write width x height, such as 3-0 x 6-8",
        )
    if len(readings) > 1:
        raise NumeralError(f"can be read as {' or as '.join(spelled)}", "write the one meant")
    wide, inches, high, rest = readings[0]
    return (
        wide * NM_PER_FOOT + inches * NM_PER_INCH,
        high * NM_PER_FOOT + rest * NM_PER_INCH,
        spelled[0],
    )
