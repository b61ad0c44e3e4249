"""Rule sets as data: what comes with the package, and how a wrong rule set is refused."""

import json
import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.faults import Fault
from optimiser.domain.opening import MeetingStiles, Opening, OpeningKind
from optimiser.domain.order import Order
from optimiser.rule_sets import (
    RuleSet,
    RuleSetError,
    find_clashes,
    find_rule_set_faults,
    identifiers_in,
    identifiers_of,
    read_rule_set,
    read_toml,
)
from optimiser.takeoff import known_rule_sets, take_off
from optimiser.units.lengths import NM_PER_INCH

SOUND = """
id = "test-strip"
title = "Test strip"
statement = "A strip for this test."
source = "invented"
product = "test-strip"
fastener = "test-nail"

[spacing]
length = "2 in"
statement = "Every 2 in."
source = "invented"

[[rules]]
id = "test.head"
kinds = ["fixed-window"]
edge = "head"
member = "member"
lies_on = "frame"
length = "opening-width"
statement = "The head takes one."
source = "invented"
"""


def faults_of(toml: str) -> tuple[Fault, ...]:
    with pytest.raises(RuleSetError) as caught:
        read_toml(toml)
    return caught.value.faults


def known(rule_set_id: str) -> RuleSet:
    (found,) = [rule_set for rule_set in known_rule_sets() if rule_set.id == rule_set_id]
    return found


def test_seven_rule_sets_come_with_the_package() -> None:
    assert [rule_set.id for rule_set in known_rule_sets()] == [
        "cushion-strip",
        "double-hung-set",
        "interlocking-strip",
        "perimeter-gasket",
        "spring-metal",
        "sweep",
        "threshold",
    ]


def test_every_kind_of_opening_is_served() -> None:
    assert {kind for rule_set in known_rule_sets() for kind in rule_set.kinds} == set(OpeningKind)
    assert set(OpeningKind) - set(known("interlocking-strip").kinds) == {
        OpeningKind.DOUBLE_HUNG_WINDOW
    }


def test_spacing_of_each_rule_set_is_that_of_its_source() -> None:
    # Interlocking strip 1 1/2 in, common practice; spring metal about 3 in, whosread.com 60357.
    assert known("interlocking-strip").spacing.length_nm == 3 * NM_PER_INCH // 2
    assert known("spring-metal").spacing.length_nm == 3 * NM_PER_INCH
    assert known("interlocking-strip").fastener == "strip-nail"


def test_every_entry_states_its_source() -> None:
    for rule_set in known_rule_sets():
        entries = (
            rule_set,
            rule_set.spacing,
            *rule_set.rules,
            *rule_set.settings,
            *rule_set.assumptions,
            *rule_set.notices,
            *rule_set.steps,
        )
        assert rule_set.steps
        assert all(entry.source and entry.statement for entry in entries)


def test_rules_of_interlocking_strip_on_windows_say_that_they_are_from_memory() -> None:
    doors = {OpeningKind.SINGLE_DOOR, OpeningKind.PAIR_OF_DOORS}
    for rule in known("interlocking-strip").rules:
        if not doors & set(rule.kinds):
            assert rule.source.startswith("from memory")


def test_leaf_and_opening_as_one_size_is_a_stated_assumption() -> None:
    assumptions = known("interlocking-strip").assumptions
    (assumption,) = [entry for entry in assumptions if entry.id == "one-size"]
    assert assumption.statement == (
        "Leaf and opening are taken as the same size: clearance gaps are not deducted, and "
        "pieces are trimmed at the opening."
    )


def test_rule_takes_the_rule_sets_product_and_fastener_unless_it_states_its_own() -> None:
    (rule,) = read_toml(SOUND).rules
    assert (rule.product, rule.fastener, rule.pieces, rule.runs) == (
        "test-strip",
        "test-nail",
        1,
        1,
    )
    own = SOUND + 'product = "hook"\nfastener = "none"\npieces = 2\nruns = 0\n'
    (rule,) = read_toml(own).rules
    assert (rule.product, rule.fastener, rule.pieces, rule.runs) == ("hook", None, 2, 0)


def test_rule_set_may_come_as_json() -> None:
    entries = json.loads(json.dumps(tomllib.loads(SOUND)))
    assert read_rule_set(entries) == read_toml(SOUND)
    assert find_rule_set_faults(entries) == ()


def test_option_of_a_condition_may_be_one_value_or_several() -> None:
    def values(stated: str) -> tuple[str, ...]:
        toml = SOUND.replace("fixed-window", "pair-of-doors") + f"when = {{ {stated} }}\n"
        return read_toml(toml).rules[0].when.values_of("meeting_stiles")

    assert values('meeting_stiles = "astragal"') == (MeetingStiles.ASTRAGAL,)
    assert values('meeting_stiles = ["by-others", "astragal"]') == (
        MeetingStiles.BY_OTHERS,
        MeetingStiles.ASTRAGAL,
    )


def test_rule_set_of_the_user_serves_an_opening() -> None:
    # By hand: 30 in − 2 × 1/4 in = 29 1/2 in, at 2 in 14.75, so 15.
    toml = SOUND.replace(
        'length = "opening-width"', 'length = { of = "opening-width", less = { end = 2 } }'
    )
    toml += '\n[[settings]]\nid = "end"\nlength = "1/4 in"\nstatement = "Free."\nsource = "x"\n'
    opening = Opening(
        mark="W-1",
        kind=OpeningKind.FIXED_WINDOW,
        width_nm=30 * NM_PER_INCH,
        height_nm=40 * NM_PER_INCH,
        rule_set="test-strip",
        finish="zinc",
    )
    catalogue = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
    order = Order(openings=(opening,), catalogues=(catalogue,))
    (taken,) = take_off(order, rule_sets=(read_toml(toml),)).openings
    assert [(piece.length_nm, piece.material.product) for piece in taken.pieces] == [
        (59 * NM_PER_INCH // 2, "test-strip")
    ]
    assert taken.fasteners[0].by_running_length == 15


IN_RULE = ("rules", 0)


@pytest.mark.parametrize(
    ("old", "new", "path", "code", "message"),
    [
        (
            'source = "invented"\nproduct',
            "product",
            ("source",),
            "missing",
            "source is missing; state it",
        ),
        (
            'statement = "The head takes one."\nsource = "invented"',
            'statement = "The head takes one."',
            (*IN_RULE, "source"),
            "missing",
            "source is missing; state it",
        ),
        (
            'statement = "Every 2 in."\nsource = "invented"',
            'statement = "Every 2 in."\nsource = " "',
            ("spacing", "source"),
            "not-text",
            "source is ' '; give text that is not blank",
        ),
        (
            'length = "opening-width"',
            'length = "opening-width - 2"',
            (*IN_RULE, "length"),
            "not-a-choice",
            "length is 'opening-width - 2'; give one of opening-width, opening-height, "
            "leaf-width, leaf-height, upper-leaf-height, lower-leaf-height, sash-width, "
            "upper-sash-height, lower-sash-height",
        ),
        (
            'length = "opening-width"',
            'length = { of = "opening-width", less = { lap = 1 } }',
            (*IN_RULE, "length"),
            "unknown-setting",
            "length names the setting lap, which is not in settings; state it there, or name "
            "one of: none are stated",
        ),
        (
            'length = "opening-width"',
            'length = { of = "opening-width", less = { lap = 0 } }',
            (*IN_RULE, "length", "less", "lap"),
            "not-a-number",
            "lap is 0; give a whole number of 1 to 100",
        ),
        (
            'length = "opening-width"',
            'length = { of = "opening-width", divided_by = 2 }',
            (*IN_RULE, "length", "divided_by"),
            "unknown-key",
            "divided_by is not a known key; remove it",
        ),
        (
            'length = "opening-width"',
            "length = {}",
            (*IN_RULE, "length"),
            "no-length",
            "length has neither a size to start from nor a setting to add; state of or plus",
        ),
        (
            'length = "opening-width"',
            'length = "leaf-width"',
            (*IN_RULE, "length"),
            "not-of-the-kind",
            "length is leaf-width, which a fixed-window does not have; only these have it: "
            "single-door, pair-of-doors, dutch-door, casement-window, hopper-window, "
            "awning-window",
        ),
        (
            'edge = "head"',
            'edge = "hinge-jamb"',
            (*IN_RULE, "edge"),
            "not-of-the-kind",
            "edge is hinge-jamb, which a fixed-window does not have; only these have it: "
            "single-door, pair-of-doors, dutch-door, casement-window",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\nper = "sash"',
            (*IN_RULE, "per"),
            "not-of-the-kind",
            "per is sash, which a fixed-window does not have; only these have it: "
            "double-hung-window",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\nspacing = "screws"',
            (*IN_RULE, "spacing"),
            "unknown-setting",
            "spacing names the setting screws, which is not in settings; state it there, or "
            "name one of: none are stated",
        ),
        (
            'kinds = ["fixed-window"]',
            'kinds = ["fixed-window", "fixed-window"]',
            (*IN_RULE, "kinds"),
            "repeated",
            "kinds names one twice; name each once",
        ),
        (
            'kinds = ["fixed-window"]',
            "kinds = []",
            (*IN_RULE, "kinds"),
            "not-a-list",
            "kinds is []; give a list of at least one",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\ncolour = "red"',
            (*IN_RULE, "colour"),
            "unknown-key",
            "colour is not a known key; remove it",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\npieces = 0',
            (*IN_RULE, "pieces"),
            "not-a-number",
            "pieces is 0; give a whole number of 1 to 1,000",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\nleast_fasteners = 1',
            (*IN_RULE, "least_fasteners"),
            "not-a-number",
            "least_fasteners is 1; give a whole number of 2 to 1,000",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\nwhen = { weather = "wet" }',
            (*IN_RULE, "when", "weather"),
            "unknown-key",
            "weather is not a known key; remove it",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\nwhen = { threshold = "oak" }',
            (*IN_RULE, "when", "threshold"),
            "not-a-choice",
            "threshold is 'oak'; give one of none, plain, interlocking",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\nwhen = { threshold = "plain" }',
            (*IN_RULE, "when"),
            "not-of-the-kind",
            "when is threshold, which a fixed-window does not have; only these have it: "
            "single-door, pair-of-doors, dutch-door",
        ),
        (
            'length = "2 in"',
            'length = "2"',
            ("spacing", "length"),
            "not-a-length",
            "length is '2'; give a length above 0, with its unit",
        ),
        (
            'length = "2 in"',
            'length = "two"',
            ("spacing", "length"),
            "not-a-length",
            "length is no length: “two” is not a length; write a number with an optional "
            "unit, such as 36 1/2 in, 3'-0\", 914.4 mm or 0.9144 m.",
        ),
    ],
)
def test_wrong_rule_set_is_refused(
    old: str, new: str, path: tuple[str | int, ...], code: str, message: str
) -> None:
    assert SOUND.count(old) == 1
    assert faults_of(SOUND.replace(old, new)) == (Fault(path, code, message),)


@pytest.mark.parametrize(
    ("table", "path"),
    [
        ('[[assumptions]]\nid = "dry"\n', ("assumptions", 0)),
        ("[[steps]]\n", ("steps", 0)),
        (
            '[[notices]]\ncode = "meeting-stiles-by-others"\nkinds = ["pair-of-doors"]\n',
            ("notices", 0),
        ),
    ],
)
def test_unknown_key_is_refused_in_every_table(table: str, path: tuple[str | int, ...]) -> None:
    entry = f'{table}statement = "So it is."\nsource = "invented"\n'
    message = "colour is not a known key; remove it"
    assert read_toml(SOUND + entry)
    assert faults_of(f"{SOUND}{entry}colour = 1\n") == (
        Fault((*path, "colour"), "unknown-key", message),
    )
    in_spacing = SOUND.replace("[spacing]", "[spacing]\ncolour = 1")
    assert faults_of(in_spacing) == (Fault(("spacing", "colour"), "unknown-key", message),)


def test_leaf_widths_of_a_pair_are_counted_per_leaf() -> None:
    toml = SOUND.replace("fixed-window", "pair-of-doors").replace("opening-width", "leaf-width")
    assert faults_of(toml) == (
        Fault(
            (*IN_RULE, "per"),
            "leaf-width-not-per-leaf",
            "per is opening and length starts from leaf-width, but the leaves of a pair-of-doors "
            "may differ in width; set per to leaf, or give the kind a rule of its own",
        ),
    )
    assert read_toml(toml + 'per = "leaf"\n')


def test_length_of_settings_alone_must_exceed_zero() -> None:
    entry = '[[settings]]\nid = "lap"\nlength = "1 in"\nstatement = "A lap."\nsource = "x"\n'
    less = "length = { plus = { lap = 2 }, less = { lap = 2 } }"
    assert faults_of(SOUND.replace('length = "opening-width"', less) + entry) == (
        Fault(
            (*IN_RULE, "length"),
            "length-not-positive",
            "length comes to 0 in: its settings add 2 in and take off 2 in; add more, or take "
            "off less",
        ),
    )
    more = "length = { plus = { lap = 2 }, less = { lap = 1 } }"
    assert read_toml(SOUND.replace('length = "opening-width"', more) + entry)


@pytest.mark.parametrize("wrong", ["x y", "-x", "é", "x" * 65, "x.y"])
def test_identifier_is_made_of_letters_digits_and_hyphens(wrong: str) -> None:
    (fault,) = faults_of(SOUND.replace('id = "test-strip"', f'id = "{wrong}"'))
    assert (fault.path, fault.code) == (("id",), "not-an-id")
    assert fault.message.endswith(
        "give 64 or fewer letters, digits and hyphens, a letter or digit first"
    )
    if wrong == "x.y":
        assert read_toml(SOUND.replace('id = "test.head"', 'id = "x.y"')).rules[0].id == "x.y"


def test_what_does_not_hold_together_is_told_beside_what_cannot_be_read() -> None:
    """But nothing is told of a value that stands in for one that could not be read."""
    toml = SOUND.replace('edge = "head"', 'edge = "top"').replace(
        'length = "opening-width"',
        'length = { of = "leaf-width", less = { lap = 1 } }\nper = "sash"',
    )
    assert [(fault.path, fault.code) for fault in faults_of(toml)] == [
        ((*IN_RULE, "edge"), "not-a-choice"),
        ((*IN_RULE, "length"), "not-of-the-kind"),
        ((*IN_RULE, "per"), "not-of-the-kind"),
        ((*IN_RULE, "length"), "unknown-setting"),
    ]
    kinds = SOUND.replace('["fixed-window"]', '["window"]').replace(
        '"opening-width"', '"leaf-width"'
    )
    assert [fault.path for fault in faults_of(kinds)] == [(*IN_RULE, "kinds")]
    entry = '[[settings]]\nid = "lap"\nlength = "1 in"\nstatement = "A lap."\nsource = "x"\n'
    unread = SOUND.replace('length = "opening-width"', "length = 7")
    assert [fault.path for fault in faults_of(unread + entry)] == [(*IN_RULE, "length")]


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
