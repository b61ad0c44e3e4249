"""Numbers in cells: exact, and never guessed where they can be read in two ways."""

from decimal import Decimal

import pytest

from service.catalogues.amounts import Unreadable, read_digits
from service.catalogues.cell import Cell
from service.catalogues.kinds import COUNT, MONEY, NUMBER_OR_TEXT, PERCENT


@pytest.mark.parametrize(
    ("text", "decimal_comma", "digits"),
    [
        ("42.13", False, "42.13"),
        ("42.10", False, "42.10"),
        ("1,042.13", False, "1042.13"),
        ("1 042.13", False, "1042.13"),
        ("1,042,000", False, "1042000"),
        ("1.042,13", False, "1042.13"),
        ("1.234", False, "1.234"),
        ("42,13", True, "42.13"),
        ("1.042,13", True, "1042.13"),
        ("1\u202f042,13", True, "1042.13"),
        ("1,234", True, "1.234"),
        ("42.13", True, "42.13"),
        ("42,13", False, None),
        ("1,04,200", False, None),
        ("1,042,13", False, None),
        ("$42.13", False, None),
        ("-1", False, None),
        ("", False, None),
        ("٣", False, None),
    ],
)
def test_numbers_are_read_as_people_write_them(
    text: str, decimal_comma: bool, digits: str | None
) -> None:
    assert read_digits(text, decimal_comma=decimal_comma) == digits


@pytest.mark.parametrize(("text", "decimal_comma"), [("1,234", False), ("1.234", True)])
def test_a_number_with_two_readings_is_refused(text: str, decimal_comma: bool) -> None:
    with pytest.raises(Unreadable, match=r"can be read as 1234 and as 1\.234"):
        read_digits(text, decimal_comma=decimal_comma)


@pytest.mark.parametrize(
    ("text", "decimal_comma", "count"),
    [("1,042", False, 1042), ("1.042", True, 1042), ("65.0", False, 65), ("1 042", False, 1042)],
)
def test_counts_take_marks_for_thousands(text: str, decimal_comma: bool, count: int) -> None:
    assert COUNT.read(Cell(text=text), decimal_comma) == count


@pytest.mark.parametrize(("text", "decimal_comma"), [("1.042", False), ("1,042", True)])
def test_a_count_with_decimals_is_refused(text: str, decimal_comma: bool) -> None:
    with pytest.raises(Unreadable, match="is not a whole number"):
        COUNT.read(Cell(text=text), decimal_comma)


@pytest.mark.parametrize(
    ("number", "decimals", "amount"),
    [
        ("42.13", None, "42.13"),
        ("42.1", 2, "42.10"),
        ("42", 2, "42.00"),
        ("0", 2, "0.00"),
        ("42", None, "42"),
        ("0.065", None, "0.065"),
        ("42.1", 9, "42.100000"),
    ],
)
def test_money_has_the_decimals_that_the_cell_shows(
    number: str, decimals: int | None, amount: str
) -> None:
    cell = Cell(text=number, number=Decimal(number), decimals=decimals)
    assert MONEY.read(cell, False) == amount


def test_money_that_is_shown_rounded_is_refused() -> None:
    """A cell may show 43.13 and hold 43.134: which of them is the price is the dealer's to say."""
    cell = Cell(text="43.134", number=Decimal("43.134"), decimals=2)
    with pytest.raises(Unreadable) as refused:
        MONEY.read(cell, False)
    assert refused.value.code == "amount-shown-rounded"
    assert refused.value.problem == (
        "is shown as 43.13 and holds more decimals, so that either may be meant"
    )


@pytest.mark.parametrize(
    ("cell", "read"),
    [
        (Cell(text="36"), 36),
        (Cell(text="36.50"), Decimal("36.5")),
        (Cell(text="36", verbatim=True), "36"),
        (Cell(text="36 in"), "36 in"),
        (Cell(text="0.1", number=Decimal("0.1")), Decimal("0.1")),
        (Cell(text="1e5"), "1e5"),
    ],
)
def test_lengths_are_numbers_or_texts(cell: Cell, read: object) -> None:
    taken = NUMBER_OR_TEXT.read(cell, False)
    assert (type(taken), taken) == (type(read), read)


def test_a_decimal_comma_in_a_length_is_read_where_the_file_has_them() -> None:
    assert NUMBER_OR_TEXT.read(Cell(text="914,4 mm"), True) == "914.4 mm"
    assert NUMBER_OR_TEXT.read(Cell(text="36,5"), True) == Decimal("36.5")
    assert NUMBER_OR_TEXT.read(Cell(text="914,4 mm"), False) == "914,4 mm"


@pytest.mark.parametrize(
    ("cell", "read"),
    [
        (Cell(text="5"), 5),
        (Cell(text="5 %"), "5"),
        (Cell(text="2.5%"), "2.5"),
        (Cell(text="0.05", number=Decimal("0.05"), percent=True), 5),
        (Cell(text="12.5", number=Decimal("12.5")), Decimal("12.5")),
    ],
)
def test_percentages_are_read_with_and_without_their_sign(cell: Cell, read: object) -> None:
    taken = PERCENT.read(cell, False)
    assert (type(taken), taken) == (type(read), read)
