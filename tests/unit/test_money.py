"""Money: minor digits, the one rounding rule, exact text."""

from decimal import Decimal, localcontext
from fractions import Fraction

import pytest

from optimiser.units.faults import CurrencyError
from optimiser.units.money import format_money, is_currency, minor_digits, round_to_minor


# Minor digits of ISO 4217: dollar and euro 2, yen 0, Kuwaiti and Bahraini dinar 3.
@pytest.mark.parametrize(
    ("currency", "digits"), [("USD", 2), ("EUR", 2), ("GBP", 2), ("JPY", 0), ("KWD", 3), ("BHD", 3)]
)
def test_minor_digits_follow_iso_4217(currency: str, digits: int) -> None:
    assert minor_digits(currency) == digits


@pytest.mark.parametrize("code", ["usd", "US", "USDX", "", "ZZZ", "XXX", "XTS", "XAU", "$"])
def test_what_has_no_prices_is_no_currency(code: str) -> None:
    assert not is_currency(code)
    with pytest.raises(CurrencyError) as caught:
        minor_digits(code)
    assert str(caught.value) == (
        f"“{code}” is not the ISO 4217 code of a currency; "
        "state three capital letters, such as USD or EUR."
    )


@pytest.mark.parametrize("code", ["USD", "EUR", "JPY", "KWD", "CHF", "XOF"])
def test_currencies_are_known(code: str) -> None:
    assert is_currency(code)


@pytest.mark.parametrize(
    ("amount", "currency", "rounded"),
    [
        (Decimal("38.125"), "USD", "38.13"),
        (Decimal("38.1249999"), "USD", "38.12"),
        (Decimal("38.135"), "USD", "38.14"),
        (Fraction(1, 3), "USD", "0.33"),
        (Fraction(2, 3), "USD", "0.67"),
        (Fraction(1, 8), "KWD", "0.125"),
        (Decimal("1038.5"), "JPY", "1039"),
        (Decimal("7"), "USD", "7.00"),
        (Decimal("-0.125"), "USD", "-0.13"),
        (Decimal(0), "USD", "0.00"),
    ],
)
def test_half_a_minor_unit_is_rounded_up(
    amount: Decimal | Fraction, currency: str, rounded: str
) -> None:
    assert str(round_to_minor(amount, currency)) == rounded


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        ("1038.4", "USD", "USD 1,038.40"),
        ("1038.400", "USD", "USD 1,038.40"),
        ("0.065", "USD", "USD 0.065"),
        ("1038", "JPY", "JPY 1,038"),
        ("1E+6", "JPY", "JPY 1,000,000"),
        ("1.5", "KWD", "KWD 1.500"),
        ("-3", "USD", "USD -3.00"),
        ("0", "USD", "USD 0.00"),
    ],
)
def test_amount_is_written_exactly_with_at_least_the_minor_digits(
    amount: str, currency: str, text: str
) -> None:
    assert format_money(Decimal(amount), currency) == text


def test_neither_rounding_nor_text_depends_on_the_decimal_context() -> None:
    long = Decimal("1234567890123456789012345678901234567890.125")
    with localcontext(prec=5):
        assert str(round_to_minor(long, "USD")) == "1234567890123456789012345678901234567890.13"
        assert format_money(Decimal("1234567.891"), "USD") == "USD 1,234,567.891"
