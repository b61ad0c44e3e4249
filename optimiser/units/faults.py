"""What is wrong with a quantity that was written as text or as a number.

QuantityError
├── LengthError      not a length, or one that cannot be held exactly
├── MassError        not a mass
├── DoorSizeError    not a size, or one with more than one reading
└── CurrencyError    not an ISO 4217 code
"""

from decimal import Decimal

_LONGEST_QUOTE = 60


class QuantityError(ValueError):
    """A quantity that cannot be read. `problem` names the limit, `remedy` what would mend it."""

    code = "quantity"

    def __init__(self, value: str, problem: str, remedy: str) -> None:
        self.value = value
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{value} {problem}; {remedy}.")


class LengthError(QuantityError):
    """Not a length, or one that is not a whole number of nanometres within the limit."""

    code = "length"


class MassError(QuantityError):
    """Not a mass."""

    code = "mass"


class DoorSizeError(QuantityError):
    """Not a size, or one that can be read in more than one way."""

    code = "door-size"


class CurrencyError(QuantityError):
    """Not an ISO 4217 code."""

    code = "currency"


def quote(value: str | int | Decimal) -> str:
    """Return a value as an error may show it: printable, never long; text in curly quotes.

    Curly, since sizes are full of straight ones.
    """
    if isinstance(value, str):
        shown = value if len(value) <= _LONGEST_QUOTE else value[:_LONGEST_QUOTE] + "…"
        return "“" + "".join(c if c.isprintable() else ascii(c)[1:-1] for c in shown) + "”"
    if isinstance(value, int):
        # Python refuses to print integers of more than a few thousand digits.
        return str(value) if abs(value) < 10**_LONGEST_QUOTE else "The number"
    text = str(value)
    return text if len(text) <= _LONGEST_QUOTE else "The number"
