"""Lengths: every way of writing one, exactness, limits, and what an error tells the user."""

from decimal import Decimal

import pytest

from optimiser.units.faults import LengthError
from optimiser.units.lengths import (
    LONGEST_LENGTH_NM,
    NM_PER_INCH,
    LengthUnit,
    divide_up,
    format_length,
    parse_length,
)

INCH, MILLIMETRE = LengthUnit.INCH, LengthUnit.MILLIMETRE


def refusal(value: str | int | Decimal, unit: LengthUnit = INCH) -> LengthError:
    with pytest.raises(LengthError) as caught:
        parse_length(value, unit)
    return caught.value


# 1 in = 25.4 mm exactly (international yard and pound agreement, 1959): 36 1/2 in = 927.1 mm.
@pytest.mark.parametrize(
    "text",
    [
        "36 1/2 in",
        "36-1/2 in",
        '36-1/2"',
        "36 - 1/2 in",
        "36½″",
        "36 ½ inches",
        "36.5 in",
        "36.5in.",
        "36.50 INCH",
        "73/2 in",
        "3'-0 1/2\"",
        "3' 0 1/2\"",
        "3'0½\"",
        "3′-0½″",
        "3’ 0½”",
        "3 ft 1/2 in",
        "3 ft. 0.5 in.",
        "3 feet 0 1/2 inches",
        "3' 1/2''",
        "927.1 mm",
        "92.71 cm",
        "0.9271 m",
        ".9271 metres",
        "  36\u00a01/2\u2009in ",
        "36 1⁄2 in",
    ],
)
def test_every_way_of_writing_36_and_a_half_inches_is_the_same_length(text: str) -> None:
    assert parse_length(text, INCH) == 927_100_000
    assert parse_length(text, MILLIMETRE) == 927_100_000


@pytest.mark.parametrize(
    ("value", "inches_nm", "millimetres_nm"),
    [
        (80, 2_032_000_000, 80_000_000),
        ("80", 2_032_000_000, 80_000_000),
        (Decimal("36.25"), 920_750_000, 36_250_000),
        (Decimal("1E+1"), 254_000_000, 10_000_000),
        ("1 1/2", 38_100_000, 1_500_000),
        ("1/64", 396_875, 15_625),
        ("36.", 914_400_000, 36_000_000),
        (0, 0, 0),
        (Decimal("0E-999999"), 0, 0),
    ],
)
def test_bare_number_is_in_the_orders_unit(
    value: str | int | Decimal, inches_nm: int, millimetres_nm: int
) -> None:
    assert parse_length(value, INCH) == inches_nm
    assert parse_length(value, MILLIMETRE) == millimetres_nm


@pytest.mark.parametrize(
    ("text", "inches"),
    [("3 ft", 36), ("3'", 36), ("3.5 ft", 42), ("3'6", 42), ("6 ft 8 in", 80), ("8 foot", 96)],
)
def test_feet_are_read_alone_or_with_inches(text: str, inches: int) -> None:
    assert parse_length(text, MILLIMETRE) == inches * NM_PER_INCH


def test_length_between_two_nanometres_is_refused_with_the_nearest_ones() -> None:
    error = refusal("36 1/3 in")
    assert str(error) == (
        "“36 1/3 in” is not a whole number of nanometres; "
        "round it, to 36 21/64 in or 922.867 mm for instance."
    )
    assert error.value == "“36 1/3 in”"
    assert error.problem == "is not a whole number of nanometres"
    assert error.remedy == "round it, to 36 21/64 in or 922.867 mm for instance"


def test_a_suggested_length_is_taken() -> None:
    assert parse_length("36 21/64 in", INCH) == 922_734_375
    assert parse_length("922.867 mm", INCH) == 922_867_000


@pytest.mark.parametrize("text", ["1/128 in", "36.123456 in", "0.0000001 mm"])
def test_finer_than_a_nanometre_is_never_rounded_in_silence(text: str) -> None:
    assert refusal(text).problem == "is not a whole number of nanometres"


@pytest.mark.parametrize(
    ("value", "message"),
    [
        ("", "“” is empty; state a number, with its unit where it needs one."),
        ("  ", "“  ” is empty; state a number, with its unit where it needs one."),
        ("36\0", "“36\\x00” holds a control character; remove it."),
        ("-36 in", "“-36 in” is negative; state a length of 0 or more."),
        ("−36 in", "“−36 in” is negative; state a length of 0 or more."),
        (-1, "-1 is negative; state a length of 0 or more."),
        (Decimal("-0.5"), "-0.5 is negative; state a length of 0 or more."),
        (Decimal("NaN"), "NaN is not a finite number; state a finite number."),
        (Decimal("sNaN"), "sNaN is not a finite number; state a finite number."),
        (Decimal("-Infinity"), "-Infinity is not a finite number; state a finite number."),
        (
            "1,200 mm",
            "“1,200 mm” holds a comma, which may mark thousands or decimals; "
            "write a decimal point, and no mark for thousands.",
        ),
        ("3/0", "“3/0” has a fraction with 0 below the line; correct the fraction."),
        (
            "36 3/2 in",
            "“36 3/2 in” has the fraction 3/2 after a whole number, which is 1 or more; "
            "write the fraction below 1.",
        ),
        (
            "36 2/2 in",
            "“36 2/2 in” has the fraction 2/2 after a whole number, which is 1 or more; "
            "write the fraction below 1.",
        ),
        (
            "3' 12\"",
            "“3' 12\"” has 12 or more inches after feet; carry them into the feet.",
        ),
        (
            "3' 14\"",
            "“3' 14\"” has 12 or more inches after feet; carry them into the feet.",
        ),
        (
            "100.000001 m",
            "“100.000001 m” is longer than the limit, 100 m; check the number and its unit.",
        ),
        (9 * 10**59, "9" + "0" * 59 + " has more than 40 digits; state fewer digits."),
        (
            "9" * 70,
            "“" + "9" * 60 + "…” has 70 characters, more than 64; write it shorter.",
        ),
    ],
)
def test_refusal_names_the_value_the_limit_and_the_remedy(
    value: str | int | Decimal, message: str
) -> None:
    assert str(refusal(value)) == message


@pytest.mark.parametrize(
    "text",
    ["3-0", "abc", "36 cubits", "1e3", "1e999999", "nan", "inf", "36 in 1/2", "36 1/2 1/4", "½½",
     "3' 4' 5\"", "36 in x 80 in", "٣٦ in", "3.5.1", "²", "0x10", "1_000", "36 1/2/4", "in"],
)  # fmt: skip
def test_what_is_not_a_length_is_refused_with_examples(text: str) -> None:
    assert str(refusal(text)) == (
        f"“{text}” is not a length; write a number with an optional unit, such as "
        "36 1/2 in, 3'-0\", 914.4 mm or 0.9144 m."
    )


# As a whole number, the first would need 400 MB.
@pytest.mark.parametrize("value", ["1e999999999", "-1e999999999", "1e-999999999", "9e40"])
def test_exploding_exponent_is_refused_before_it_is_multiplied_out(value: str) -> None:
    error = refusal(Decimal(value))
    assert error.problem == "has more than 40 digits on one side of the decimal point"


def test_a_number_too_long_to_print_is_refused() -> None:
    # Python itself prints no integer of more than 4,300 digits.
    assert str(refusal(10**5000)) == "The number has more than 40 digits; state fewer digits."


def test_a_float_is_no_length() -> None:
    with pytest.raises(TypeError, match="a length is text, a whole number or a Decimal, not float"):
        parse_length(36.5, INCH)  # type: ignore[arg-type]
    with pytest.raises(TypeError, match="not bool"):
        parse_length(True, INCH)


def test_the_limit_itself_is_a_length() -> None:
    assert parse_length("100 m", INCH) == LONGEST_LENGTH_NM == 100_000_000_000


@pytest.mark.parametrize(
    ("length_nm", "inches", "millimetres"),
    [
        (927_100_000, "36 1/2 in", "927.1 mm"),
        (396_875, "1/64 in", "0.396875 mm"),
        (2_032_000_000, "80 in", "2032 mm"),
        (0, "0 in", "0 mm"),
        (313_578_240, "12.3456 in", "313.57824 mm"),
        (1_270_000, "0.05 in", "1.27 mm"),
        (914_000_000, "914 mm", "914 mm"),
        (1, "0.000001 mm", "0.000001 mm"),
        (-12_700_000, "-1/2 in", "-12.7 mm"),
        (-914_000_000, "-914 mm", "-914 mm"),
    ],
)
def test_length_is_written_in_the_shortest_exact_form(
    length_nm: int, inches: str, millimetres: str
) -> None:
    assert format_length(length_nm, INCH) == inches
    assert format_length(length_nm, MILLIMETRE) == millimetres


def test_a_piece_that_is_divided_is_rounded_up() -> None:
    assert divide_up(1_828_800_000, 2) == 914_400_000
    assert divide_up(1_828_800_001, 2) == 914_400_001
    assert divide_up(0, 2) == 0
