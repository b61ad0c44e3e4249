"""Money: exact decimals, the minor digits of each currency, and the one rule that rounds.

Codes and minor digits are Babel's, from the Unicode CLDR. They follow ISO 4217, except for
some currencies whose minor coins are out of use and which the CLDR gives no decimals.
"""

from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import floor

from babel.numbers import get_currency_precision, list_currencies

from optimiser.units.faults import CurrencyError, quote

NOT_MONEY = frozenset(
    ("XAG", "XAU", "XBA", "XBB", "XBC", "XBD", "XDR", "XPD", "XPT", "XSU", "XTS", "XUA", "XXX")
)
"""ISO 4217 codes without a minor unit: metals, units of account, tests, no currency."""


@lru_cache(maxsize=1)
def _codes() -> frozenset[str]:
    return frozenset(list_currencies()) - NOT_MONEY


def is_currency(code: str) -> bool:
    """Return whether the text is the ISO 4217 code, in capitals, of a currency with prices."""
    return code in _codes()


@lru_cache(maxsize=256)
def minor_digits(currency: str) -> int:
    """Return the decimal digits of a currency's minor unit: 2 for USD, 0 for JPY, 3 for KWD.

    Raises:
        CurrencyError: not the code of a currency.
    """
    if not is_currency(currency):
        raise CurrencyError(
            quote(currency),
            "is not the ISO 4217 code of a currency",
            "state three capital letters, such as USD or EUR",
        )
    return int(get_currency_precision(currency))


def round_to_minor(amount: Decimal | Fraction, currency: str) -> Decimal:
    """Return an amount in whole minor units, half a unit rounded up (away from zero).

    This is the rule for prices that are computed from rates.

    Raises:
        CurrencyError: not the code of a currency.
    """
    digits = minor_digits(currency)
    units = floor(abs(Fraction(amount)) * 10**digits + Fraction(1, 2))
    # Built from text: arithmetic would round to the precision of the decimal context.
    return Decimal(f"{'-' if amount < 0 else ''}{units}E-{digits}")


def format_money(amount: Decimal, currency: str) -> str:
    """Return an amount as `USD 1,038.40`: exact, with at least the currency's minor digits.

    Raises:
        CurrencyError: not the code of a currency.
    """
    digits = minor_digits(currency)
    _, _, decimals = f"{amount:f}".partition(".")
    return f"{currency} {amount:,.{max(digits, len(decimals.rstrip('0')))}f}"
