"""JSON Merge Patch: every example of RFC 7396, appendix A, and the one of its section 3."""

import copy
import json

import pytest

from service.studies.merge_patch import merge_patch

# ORIGINAL, PATCH, RESULT, as the table of appendix A has them, in its order.
APPENDIX_A = (
    ('{"a":"b"}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"b"}', '{"b":"c"}', '{"a":"b","b":"c"}'),
    ('{"a":"b"}', '{"a":null}', "{}"),
    ('{"a":"b","b":"c"}', '{"a":null}', '{"b":"c"}'),
    ('{"a":["b"]}', '{"a":"c"}', '{"a":"c"}'),
    ('{"a":"c"}', '{"a":["b"]}', '{"a":["b"]}'),
    ('{"a":{"b":"c"}}', '{"a":{"b":"d","c":null}}', '{"a":{"b":"d"}}'),
    ('{"a":[{"b":"c"}]}', '{"a":[1]}', '{"a":[1]}'),
    ('["a","b"]', '["c","d"]', '["c","d"]'),
    ('{"a":"b"}', '["c"]', '["c"]'),
    ('{"a":"foo"}', "null", "null"),
    ('{"a":"foo"}', '"bar"', '"bar"'),
    ('{"e":null}', '{"a":1}', '{"e":null,"a":1}'),
    ("[1,2]", '{"a":"b","c":null}', '{"a":"b"}'),
    ("{}", '{"a":{"bb":{"ccc":null}}}', '{"a":{"bb":{}}}'),
)


@pytest.mark.parametrize(("original", "patch", "result"), APPENDIX_A)
def test_an_example_of_the_standard_gives_its_result(
    original: str, patch: str, result: str
) -> None:
    assert merge_patch(json.loads(original), json.loads(patch)) == json.loads(result)


def test_the_document_of_section_3_is_patched_as_it_shows() -> None:
    original = json.loads(
        '{"title": "Goodbye!", "author": {"givenName": "John", "familyName": "Doe"},'
        ' "tags": ["example", "sample"], "content": "This will be unchanged"}'
    )
    patch = json.loads(
        '{"title": "Hello!", "phoneNumber": "+01-123-456-7890", "author": {"familyName": null},'
        ' "tags": ["example"]}'
    )

    assert merge_patch(original, patch) == {
        "title": "Hello!",
        "author": {"givenName": "John"},
        "tags": ["example"],
        "content": "This will be unchanged",
        "phoneNumber": "+01-123-456-7890",
    }


def test_neither_the_target_nor_the_patch_is_changed() -> None:
    target, patch = {"a": {"b": 1, "c": [1]}}, {"a": {"b": None, "d": {"e": 2}}}
    kept = copy.deepcopy((target, patch))

    merge_patch(target, patch)

    assert (target, patch) == kept
