import json
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.json_text import DEEPEST, MalformedJson, read_json, write_json_lines


def test_a_decimal_is_exact() -> None:
    assert Fraction(read_json(b"0.1")) == Fraction(1, 10)
    assert read_json(b"0.1000000000000000055511151231257827") == Decimal(
        "0.1000000000000000055511151231257827"
    )


@pytest.mark.parametrize(
    ("text", "value"),
    [(b"36.0", 36), (b"-0", 0), (b"-0.0", 0), (b"1E2", 100), (b"1.50e1", 15), (b"0e999999", 0)],
)
def test_a_whole_number_is_an_integer_however_it_is_written(text: bytes, value: int) -> None:
    read = read_json(text)
    assert read == value
    assert isinstance(read, int)


def test_a_byte_order_mark_is_skipped() -> None:
    assert read_json(b'\xef\xbb\xbf{"unit": "in"}') == {"unit": "in"}


def test_every_fault_is_told_with_its_place() -> None:
    with pytest.raises(MalformedJson) as raised:
        read_json(b'{"a": [1, NaN, {"b": 1e5000}], "c": "\\u0000", "c": 2, "d": {"e": 1, "e": 2}}')
    assert [(fault.path, fault.code) for fault in raised.value.faults] == [
        (("c",), "repeated-member"),
        (("a", 1), "not-a-json-number"),
        (("a", 2, "b"), "number-out-of-range"),
        (("d", "e"), "repeated-member"),
    ]


def test_a_syntax_error_is_told_with_line_and_column() -> None:
    with pytest.raises(MalformedJson) as raised:
        read_json(b'{\n  "unit": in\n}')
    assert str(raised.value) == "Line 2, column 11: Expecting value; correct the JSON there."


def test_a_byte_that_is_not_utf_8_is_told_with_its_place() -> None:
    with pytest.raises(MalformedJson, match=r"Byte 3 is not UTF-8; send the text in UTF-8\."):
        read_json(b'{"a\xff": 1}')


def test_nesting_is_taken_to_the_limit_and_not_beyond() -> None:
    read_json(b"[" * DEEPEST + b"]" * DEEPEST)
    with pytest.raises(MalformedJson, match="nested more than 32 deep"):
        read_json(b"[" * (DEEPEST + 2) + b"]" * (DEEPEST + 2))


def test_a_name_with_a_forbidden_character_is_refused() -> None:
    with pytest.raises(MalformedJson) as raised:
        read_json(b'{"a": {"b\\u0000": 1}}')
    assert [fault.path for fault in raised.value.faults] == [("a",)]


def test_an_object_with_many_members_and_one_repeated_is_read_in_no_time() -> None:
    members = ",".join(f'"m{n}": {n}' for n in range(200_000))
    with pytest.raises(MalformedJson) as raised:
        read_json(f'{{{members}, "m0": 1}}'.encode())
    assert [fault.path for fault in raised.value.faults] == [("m0",)]


_SCALARS = (
    st.none()
    | st.booleans()
    | st.integers(min_value=-(10**30), max_value=10**30)
    | st.text(alphabet=st.characters(exclude_characters="\0", exclude_categories=["Cs"]))
)
_VALUES = st.recursive(
    _SCALARS,
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(alphabet="abc/~", max_size=3), inner, max_size=4)
    ),
    max_leaves=20,
)


@given(_VALUES)
def test_sound_json_is_read_as_it_was_written(value: Any) -> None:
    assert read_json(json.dumps(value).encode()) == value


@given(st.decimals(allow_nan=False, allow_infinity=False, min_value="-1e50", max_value="1e50"))
def test_a_number_keeps_every_digit(value: Decimal) -> None:
    if value.adjusted() > -900:
        assert Fraction(read_json(str(value).encode())) == Fraction(value)


@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(body: bytes) -> None:
    try:
        read_json(body)
    except MalformedJson as error:
        assert error.faults


JSON_VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.decimals(allow_nan=False, allow_infinity=False, places=20)
    | st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0")),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(st.characters(codec="ascii",
                                                    exclude_characters="\0")), inner),
    max_leaves=10,
)  # fmt: skip


@given(JSON_VALUES)
def test_what_is_written_is_read_back(value: Any) -> None:
    assert read_json(write_json_lines(value).encode()) == value


def test_written_json_is_indented_and_keeps_every_digit() -> None:
    value = {"lengths": [Decimal("84.125"), 7, "7 ft"], "kits": [], "freight": None}
    assert write_json_lines(value).splitlines() == [
        "{",
        '  "lengths": [',
        "    84.125,",
        "    7,",
        '    "7 ft"',
        "  ],",
        '  "kits": [],',
        '  "freight": null',
        "}",
    ]
