"""Numbers as the trade writes them: decimals, fractions, mixed numbers, Unicode fractions."""

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

LONGEST_TEXT = 64
"""The longest text, in characters, that is read as one quantity."""

DIGITS_READ = 40
"""The most digits, on either side of the decimal point, that a number may have."""

NUMERAL = r"[0-9]+(?: ?- ?| )[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]+\.?[0-9]*|\.[0-9]+"
"""A regular expression: mixed number, fraction, or decimal; for `read_numeral`."""

_SPACES = re.compile(r"\s+")
_SAME_SIGN = str.maketrans(
    {
        "′": "'",
        "’": "'",
        "‘": "'",
        "´": "'",
        "″": '"',
        "”": '"',
        "“": '"',
        "‐": "-",
        "‑": "-",
        "‒": "-",
        "–": "-",
        "—": "-",
        "−": "-",
        "⁄": "/",
        "∕": "/",
    }
)


class NumeralError(ValueError):
    """A number that cannot be read. `remedy` says what to write instead."""

    def __init__(self, problem: str, remedy: str) -> None:
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}; {remedy}")


def fold_text(text: str) -> str:
    """Return the text in plain signs: small letters, ASCII primes, dashes and fractions.

    Raises:
        NumeralError: the text is empty, too long, or holds a control character.
    """
    if len(text) > LONGEST_TEXT:
        raise NumeralError(
            f"has {len(text)} characters, more than {LONGEST_TEXT}", "write it shorter"
        )
    if any(unicodedata.category(sign) == "Cc" and not sign.isspace() for sign in text):
        raise NumeralError("holds a control character", "remove it")
    plain = "".join(_spell_fraction(sign) for sign in text).translate(_SAME_SIGN)
    plain = _SPACES.sub(" ", plain.replace("''", '"').lower()).strip()
    if not plain:
        raise NumeralError("is empty", "state a number, with its unit where it needs one")
    return plain


def _spell_fraction(sign: str) -> str:
    """Return ` 1/2` for `½`, and any other sign as it is."""
    kind, *spelled = unicodedata.decomposition(sign).split() or [""]
    if kind != "<fraction>":
        return sign
    return " " + "".join(chr(int(code, 16)) for code in spelled)


def read_numeral(text: str) -> Fraction:
    """Return the exact value of a text that matches `NUMERAL`.

    Raises:
        NumeralError: a denominator is zero, or the fraction of a mixed number is one or more.
    """
    if "/" not in text:
        return Fraction(text)
    *whole, over, under = (int(part) for part in re.split(r"[ -]+|/", text))
    if under == 0:
        raise NumeralError("has a fraction with 0 below the line", "correct the fraction")
    fraction = Fraction(over, under)
    if not whole:
        return fraction
    if fraction >= 1:
        raise NumeralError(
            f"has the fraction {over}/{under} after a whole number, which is 1 or more",
            "write the fraction below 1",
        )
    return whole[0] + fraction


def read_number(value: int | Decimal) -> Fraction:
    """Return the exact value of a number; never builds one that is absurdly long.

    Raises:
        NumeralError: not finite, or more digits than `DIGITS_READ` on either side.
    """
    if isinstance(value, Decimal):
        if not value.is_finite():
            raise NumeralError("is not a finite number", "state a finite number")
        exponent = value.as_tuple().exponent
        assert isinstance(exponent, int)
        if value and (value.adjusted() >= DIGITS_READ or exponent < -DIGITS_READ):
            raise NumeralError(
                f"has more than {DIGITS_READ} digits on one side of the decimal point",
                "state fewer digits",
            )
        return Fraction(value) if value else Fraction(0)
    if abs(value) >= 10**DIGITS_READ:
        raise NumeralError(f"has more than {DIGITS_READ} digits", "state fewer digits")
    return Fraction(value)


def format_number(value: Fraction) -> str:
    """Return a number with up to two decimals; three dots where more would follow."""
    hundredths, rest = divmod(value * 100, 1)
    whole, cents = divmod(int(hundredths), 100)
    decimals = f"{cents:02d}" if rest else f"{cents:02d}".rstrip("0")
    return f"{whole:,}{'.' if decimals else ''}{decimals}{'…' if rest else ''}"
