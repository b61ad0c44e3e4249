"""Faults of rule sets: clashes of identifiers, all of them together, whatever stands there."""

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.faults import Fault
from optimiser.rule_sets import (
    RuleSet,
    RuleSetError,
    find_clashes,
    find_rule_set_faults,
    identifiers_in,
    identifiers_of,
    read_toml,
)
from optimiser.takeoff import known_rule_sets
from tests.unit.rule_set_texts import SOUND, faults_of


def own(text: str, **ids: str) -> RuleSet:
    for old, new in ids.items():
        text = text.replace(f'id = "{old.replace("_", "-")}"', f'id = "{new}"')
    return read_toml(text)


def test_identifiers_of_the_users_rule_sets_may_not_be_taken() -> None:
    yielding = SOUND.replace(
        'lies_on = "frame"', 'lies_on = "frame"\nyields_to = ["treshold", "b"]'
    )
    sets = [
        own(SOUND, test_strip="sweep"),
        own(SOUND.replace("test.head", "sweep.leaf"), test_strip="a"),
        own(SOUND.replace("test.head", "b.head"), test_strip="b"),
        own(yielding.replace("test.head", "c.head"), test_strip="b"),
    ]
    known = ", ".join(sorted({"a", "b", *(rule_set.id for rule_set in known_rule_sets())}))
    assert list(find_clashes(map(identifiers_of, sets), known_rule_sets())) == [
        Fault(
            (0, "id"),
            "rule-set-id-taken",
            "the id “sweep” is that of a built-in rule set; give another",
        ),
        Fault(
            (1, "rules", 0, "id"),
            "rule-id-taken",
            "the id “sweep.leaf” is that of a rule of the rule set sweep; give another, such as "
            "“a.sweep.leaf”",
        ),
        Fault(
            (3, "id"),
            "rule-set-id-taken",
            "the id “b” is that of another rule set of this order; give another",
        ),
        Fault(
            (3, "rules", 0, "yields_to"),
            "unknown-rule-set",
            f"yields_to names the rule set “treshold”, which is not known; give one of: {known}",
        ),
    ]


def test_identifiers_of_whatever_stands_in_a_rule_set_can_be_looked_at() -> None:
    for entries in (None, 7, [], {}, {"rules": 7}, {"id": 1, "rules": [7, {"yields_to": [7]}]}):
        assert list(find_clashes([identifiers_in(entries)], known_rule_sets())) == []


def test_setting_that_no_rule_names_is_refused() -> None:
    entry = '[[settings]]\nid = "lap"\nlength = "1 in"\nstatement = "A lap."\nsource = "x"\n'
    assert faults_of(SOUND + entry) == (
        Fault(
            ("settings", 0),
            "unused-setting",
            "no rule names the setting lap; remove it, or name it in a rule",
        ),
    )


def test_spacing_of_a_rule_may_not_be_zero() -> None:
    entry = '[[settings]]\nid = "gap"\nlength = "0 in"\nstatement = "A gap."\nsource = "x"\n'
    toml = SOUND.replace('lies_on = "frame"', 'lies_on = "frame"\nspacing = "gap"')
    assert faults_of(toml + entry) == (
        Fault(
            ("settings", 0, "length"),
            "spacing-not-positive",
            "gap is 0 and a rule names it as its spacing; give more than 0",
        ),
    )


def test_rule_listed_twice_is_refused() -> None:
    rule = SOUND[SOUND.index("[[rules]]") :]
    assert faults_of(SOUND + rule) == (
        Fault(
            ("rules", 1, "id"), "repeated", "id 'test.head' is there twice; give each entry its own"
        ),
    )


def test_all_faults_of_a_rule_set_are_reported_together() -> None:
    faults = faults_of('id = "x"\nfoo = 1\n[[notices]]\ncode = "no such"\n')
    assert [(fault.path, fault.message) for fault in faults] == [
        (("product",), "product is missing; state it"),
        (("fastener",), "fastener is missing; state it"),
        (("rules",), "rules is empty; state at least one"),
        (("title",), "title is missing; state it"),
        (("statement",), "statement is missing; state it"),
        (("source",), "source is missing; state it"),
        (("spacing",), "spacing is missing; state it"),
        (
            ("notices", 0, "code"),
            "code is 'no such'; give one of meeting-stiles-by-others, astragal-by-others, "
            "meeting-rail-by-others",
        ),
        (("notices", 0, "kinds"), "kinds is None; give a list of at least one"),
        (("notices", 0, "statement"), "statement is missing; state it"),
        (("notices", 0, "source"), "source is missing; state it"),
        (("foo",), "foo is not a known key; remove it"),
    ]


@pytest.mark.parametrize(
    ("entries", "shown"), [([], "[]"), (["rules"], "a list"), (None, "None"), ("x", "'x'")]
)
def test_what_is_no_table_is_refused(entries: object, shown: str) -> None:
    assert find_rule_set_faults(entries) == (
        Fault((), "not-a-table", f"{shown} is not a table; give one with the keys of a rule set"),
    )


def test_what_is_not_toml_is_refused() -> None:
    (fault,) = faults_of("id = ")
    assert fault.code == "not-toml"
    assert fault.message.startswith("not TOML: Invalid value")


def test_error_of_a_rule_set_names_every_place_and_fault() -> None:
    with pytest.raises(RuleSetError) as caught:
        read_toml(SOUND.replace('edge = "head"', 'edge = "top"').replace("2 in", "0 in", 1))
    assert str(caught.value) == (
        "/rules/0/edge: edge is 'top'; give one of head, hinge-jamb, strike-jamb, jamb, sill, "
        "meeting-stiles, meeting-rail; /spacing/length: length is '0 in'; give a length above 0, "
        "with its unit"
    )


_LEAVES = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False), st.text(max_size=20)
)
_ANYTHING = st.recursive(
    _LEAVES, lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner)
)


@settings(derandomize=True, deadline=None, max_examples=300)
@given(st.data())
def test_whatever_stands_in_a_rule_set_is_read_or_refused_with_paths(data: st.DataObject) -> None:
    entries: dict[str, Any] = tomllib.loads(SOUND)
    places: list[tuple[Any, str]] = [(entries, key) for key in entries]
    places += [(entries["rules"][0], key) for key in entries["rules"][0]]
    places += [(entries["spacing"], key) for key in entries["spacing"]]
    table, key = data.draw(st.sampled_from(places))
    table[key] = data.draw(_ANYTHING)
    for fault in find_rule_set_faults(entries):
        assert fault.path and fault.message and fault.code
