"""JSON Pointer: every example of RFC 6901, section 5, and the errors of its section 4."""

import copy
from typing import Any

import pytest

from service.studies.pointer import PointerError, evaluate, put, read_pointer, write_tokens

# The document and the table of RFC 6901, section 5.
DOCUMENT: dict[str, Any] = {
    "foo": ["bar", "baz"],
    "": 0,
    "a/b": 1,
    "c%d": 2,
    "e^f": 3,
    "g|h": 4,
    "i\\j": 5,
    'k"l': 6,
    " ": 7,
    "m~n": 8,
}
SECTION_5 = (
    ("", DOCUMENT),
    ("/foo", ["bar", "baz"]),
    ("/foo/0", "bar"),
    ("/", 0),
    ("/a~1b", 1),
    ("/c%d", 2),
    ("/e^f", 3),
    ("/g|h", 4),
    ("/i\\j", 5),
    ('/k"l', 6),
    ("/ ", 7),
    ("/m~0n", 8),
)


@pytest.mark.parametrize(("text", "value"), SECTION_5)
def test_an_example_of_the_standard_leads_to_its_value(text: str, value: Any) -> None:
    assert evaluate(DOCUMENT, read_pointer(text)) == value


@pytest.mark.parametrize(("text", "value"), SECTION_5)
def test_a_pointer_is_written_as_it_was_read(text: str, value: Any) -> None:
    assert write_tokens(read_pointer(text)) == text


def test_tilde_and_one_are_not_unescaped_twice() -> None:
    # RFC 6901, section 4: "~01" becomes "~1", and not "/".
    assert read_pointer("/~01") == ("~1",)


@pytest.mark.parametrize("text", ["foo", "#/foo", "/a~", "/a~2b", "~0"])
def test_a_text_that_is_no_pointer_is_refused(text: str) -> None:
    with pytest.raises(PointerError, match="is no JSON Pointer") as refused:
        read_pointer(text)

    assert refused.value.code == "no-pointer"


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("/foo/2", "at /foo the array has 2 entries, counted from 0"),
        ("/foo/-", 'at /foo "-" is no position in an array'),
        ("/foo/01", 'at /foo "01" is no position in an array'),
        ("/foo/bar", 'at /foo "bar" is no position in an array'),
        ("/foo/9999999999999999999999", "at /foo the array has 2 entries, counted from 0"),
        ("/foo/0/x", 'at /foo/0 "bar" has no members'),
        ("/bar", 'at the whole order there is no member "bar"'),
    ],
)
def test_a_pointer_that_leads_nowhere_says_where_it_ends(text: str, why: str) -> None:
    with pytest.raises(PointerError) as refused:
        evaluate(DOCUMENT, read_pointer(text))

    assert refused.value.code == "leads-nowhere"
    assert why in str(refused.value)


def test_a_value_is_put_where_a_pointer_leads_and_the_document_stays() -> None:
    document = {"a": [{"price": "1.00"}, {"price": "2.00"}], "b": {"c": 1}}
    kept = copy.deepcopy(document)

    found = put(document, read_pointer("/a/1/price"), "2.50")

    assert found == {"a": [{"price": "1.00"}, {"price": "2.50"}], "b": {"c": 1}}
    assert document == kept
    assert found["b"] is document["b"]


def test_a_member_that_is_not_there_yet_is_added_and_an_entry_is_not() -> None:
    assert put({"policy": {}}, read_pointer("/policy/kerf"), "1/8") == {"policy": {"kerf": "1/8"}}
    with pytest.raises(PointerError):
        put({"a": [1]}, read_pointer("/a/1"), 2)
    with pytest.raises(PointerError):
        put({"a": [1]}, read_pointer("/b/c"), 2)


def test_the_empty_pointer_puts_the_whole_document() -> None:
    assert put({"a": 1}, (), [2]) == [2]
