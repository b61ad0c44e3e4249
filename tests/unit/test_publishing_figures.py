"""Numbers, money, lengths and dates as documents write them, by locale and by unit."""

from datetime import date
from decimal import Decimal

import pytest

from optimiser.domain.publication import (
    Column,
    ColumnKind,
    Edition,
    Language,
    LengthsShown,
)
from optimiser.publishing.figures import (
    write_cell,
    write_date,
    write_length,
    write_money,
    write_percent,
)

US, GB = Language.AMERICAN, Language.BRITISH


@pytest.mark.parametrize(
    ("amount", "currency", "american", "british"),
    [
        ("1038.4", "USD", "$1,038.40", "US$1,038.40"),
        ("-1038.4", "GBP", "-£1,038.40", "-£1,038.40"),
        ("0.405", "EUR", "€0.405", "€0.405"),
        ("1E+3", "JPY", "¥1,000", "JP¥1,000"),
        ("12345678901234567890.12", "USD", "$12,345,678,901,234,567,890.12", None),
    ],
)
def test_money_is_exact_with_the_locales_sign(
    amount: str, currency: str, american: str, british: str | None
) -> None:
    """The signs are those of the Unicode CLDR for en-US and en-GB."""
    assert write_money(Decimal(amount), currency, US) == american
    if british is not None:
        assert write_money(Decimal(amount), currency, GB) == british


def test_a_day_is_written_as_each_locale_says_it() -> None:
    day = date(2026, 11, 28)
    assert (write_date(day, US), write_date(day, GB)) == ("November 28, 2026", "28 November 2026")


def test_per_cent_keeps_every_digit() -> None:
    assert write_percent(Decimal("12.50"), US) == "12.5%"
    assert write_percent(Decimal("0.125"), US) == "0.125%"


@pytest.mark.parametrize(
    ("length_nm", "inches", "millimetres", "both"),
    [
        (927_100_000, "36 1/2 in", "927.1 mm", "36 1/2 in (927.1 mm)"),
        # 914 mm is 35.984… in, and 35 63/64 in is 914.003125 mm.
        (914_000_000, "≈ 35 63/64 in", "914 mm", "≈ 35 63/64 in (914 mm)"),
        # 1/64 in is 0.396875 mm.
        (396_875, "1/64 in", "≈ 0.4 mm", "1/64 in (≈ 0.4 mm)"),
    ],
)
def test_a_length_that_is_rounded_says_so(
    length_nm: int, inches: str, millimetres: str, both: str
) -> None:
    written = [write_length(length_nm, shown) for shown in LengthsShown]
    assert written == [inches, millimetres, both]


def test_a_cell_of_another_type_than_its_column_is_refused() -> None:
    column = Column(name="amount", heading="Amount", kind=ColumnKind.MONEY, currency="USD")
    with pytest.raises(TypeError, match="column amount holds money, not int"):
        write_cell(5, column, Edition())
