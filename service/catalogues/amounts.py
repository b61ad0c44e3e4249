"""Numbers as people write them in a table: marks for thousands, a decimal point or comma.

A number that can be read in two ways is refused, never guessed: `1,234` is a thousand and more in
one country and a little above one in another.
"""

import re
from decimal import Decimal
from typing import Final

_PLAIN = re.compile(r"[0-9]+(?:\.[0-9]+)?")
_COMMA = re.compile(r"([0-9]+),([0-9]+)")
_BLANKS: Final = " \u00a0\u2009\u202f"
_GROUPED = re.compile(
    rf"[0-9]{{1,3}}(?:(?P<mark>[,.{_BLANKS}])[0-9]{{3}})(?:(?P=mark)[0-9]{{3}})*"
    r"(?:(?P<sign>[.,])(?P<decimals>[0-9]+))?"
)
_ONE_GROUP = re.compile(r"[1-9][0-9]{0,2}[.,][0-9]{3}")


class Unreadable(Exception):
    """A cell that cannot be taken: a stable code, what is wrong with it, and the remedy."""

    def __init__(self, code: str, problem: str, remedy: str) -> None:
        self.code = code
        self.problem = problem
        self.remedy = remedy
        super().__init__(f"{problem}; {remedy}")


def read_digits(text: str, *, decimal_comma: bool, whole: bool = False) -> str | None:
    """Return a number in plain digits with a decimal point, every decimal kept.

    `None` where the text is not a number of 0 or more. `whole` says that only a whole number can
    be meant, so that a mark before three digits is one for thousands.

    Raises:
        Unreadable: the number can be read in two ways.
    """
    if not whole and _ONE_GROUP.fullmatch(text) and ("," in text) is not decimal_comma:
        joined, pointed = re.sub("[.,]", "", text), text.replace(",", ".")
        raise Unreadable(
            "two-readings",
            f"can be read as {joined} and as {pointed}",
            "write a decimal point, no mark for thousands, and another number of decimals than "
            "three, or make the cell a number",
        )
    if whole and (match := _GROUPED.fullmatch(text)) and not match["sign"]:
        usual = match["mark"] in (*_BLANKS, "." if decimal_comma else ",")
        return text.replace(match["mark"], "") if usual else None
    if _PLAIN.fullmatch(text):
        return text
    if match := _COMMA.fullmatch(text):
        return f"{match[1]}.{match[2]}" if decimal_comma else None
    match = _GROUPED.fullmatch(text)
    if match is None or match["mark"] == match["sign"]:
        return None
    if match["mark"] in _BLANKS and match["sign"] == "," and not decimal_comma:
        return None
    grouped = text[: match.start("sign")] if match["sign"] else text
    decimals = f".{match['decimals']}" if match["sign"] else ""
    return grouped.replace(match["mark"], "") + decimals


def to_number(digits: str | Decimal) -> int | Decimal:
    """Return a number as JSON would give it: whole ones as `int`, others as `Decimal`."""
    value = Decimal(digits)
    whole = value.to_integral_value()
    return int(whole) if whole == value else value
