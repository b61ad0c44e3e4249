"""Rule sets as data: what comes with the package, and how a wrong rule file is refused."""

import pytest

from optimiser.domain.opening import OpeningKind
from optimiser.rule_sets import RuleSetError, read_rule_set
from optimiser.takeoff import known_rule_sets
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


def faults_of(toml: str) -> tuple[str, ...]:
    with pytest.raises(RuleSetError) as caught:
        read_rule_set(toml, name="test.toml")
    return caught.value.faults


def test_interlocking_strip_serves_every_kind_of_opening() -> None:
    (rule_set,) = known_rule_sets()
    assert rule_set.id == "interlocking-strip"
    assert rule_set.kinds == tuple(OpeningKind)
    assert rule_set.spacing.length_nm == 3 * NM_PER_INCH // 2
    assert rule_set.fastener == "strip-nail"


def test_every_entry_states_its_source() -> None:
    for rule_set in known_rule_sets():
        entries = (
            rule_set,
            rule_set.spacing,
            *rule_set.rules,
            *rule_set.assumptions,
            *rule_set.notices,
        )
        assert all(entry.source and entry.statement for entry in entries)


def test_rules_of_windows_say_that_they_are_from_memory() -> None:
    for rule_set in known_rule_sets():
        for rule in rule_set.rules:
            if OpeningKind.CASEMENT_WINDOW in rule.kinds or OpeningKind.FIXED_WINDOW in rule.kinds:
                assert rule.source.startswith("from memory")


def test_leaf_and_opening_as_one_size_is_a_stated_assumption() -> None:
    (rule_set,) = known_rule_sets()
    (assumption,) = [entry for entry in rule_set.assumptions if entry.id == "one-size"]
    assert assumption.statement == (
        "Leaf and opening are taken as the same size: clearance gaps are not deducted, and "
        "pieces are trimmed at the opening."
    )


def test_rule_takes_the_rule_sets_product_and_fastener_unless_it_states_its_own() -> None:
    (rule,) = read_rule_set(SOUND, name="test.toml").rules
    assert (rule.product, rule.fastener, rule.pieces, rule.runs) == (
        "test-strip",
        "test-nail",
        1,
        1,
    )
    own = SOUND + 'product = "hook"\nfastener = "none"\npieces = 2\n'
    (rule,) = read_rule_set(own, name="test.toml").rules
    assert (rule.product, rule.fastener, rule.pieces, rule.runs) == ("hook", None, 2, 2)


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ('source = "invented"\nproduct', "product", "test.toml: source is missing; state it"),
        (
            'statement = "The head takes one."\nsource = "invented"',
            'statement = "The head takes one."',
            "test.toml, rules 1 (test.head): source is missing; state it",
        ),
        (
            'statement = "Every 2 in."\nsource = "invented"',
            'statement = "Every 2 in."\nsource = " "',
            "test.toml, spacing: source is ' '; give text that is not blank",
        ),
        (
            'length = "opening-width"',
            'length = "opening-width - 2"',
            "test.toml, rules 1 (test.head): length is 'opening-width - 2'; give one of "
            "opening-width, opening-height, leaf-width, leaf-height",
        ),
        (
            'kinds = ["fixed-window"]',
            'kinds = ["fixed-window", "fixed-window"]',
            "test.toml, rules 1 (test.head): kinds names one twice; name each once",
        ),
        (
            'kinds = ["fixed-window"]',
            "kinds = []",
            "test.toml, rules 1 (test.head): kinds is []; give a list of at least one",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\ncolour = "red"',
            "test.toml, rules 1 (test.head): colour is not a known key; remove it",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\npieces = 0',
            "test.toml, rules 1 (test.head): pieces is 0; give a whole number of 1 or more",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\nwhen = { weather = "wet" }',
            "test.toml, rules 1 (test.head), when: weather is not a known key; remove it",
        ),
        (
            'lies_on = "frame"',
            'lies_on = "frame"\nwhen = { threshold = "oak" }',
            "test.toml, rules 1 (test.head), when: threshold is 'oak'; "
            "give one of none, interlocking",
        ),
        (
            'length = "2 in"',
            'length = "2"',
            "test.toml, spacing: length is '2'; give a length above 0, with its unit",
        ),
        (
            'length = "2 in"',
            'length = "two"',
            "test.toml, spacing: length: “two” is not a length; write a number with an optional "
            "unit, such as 36 1/2 in, 3'-0\", 914.4 mm or 0.9144 m.",
        ),
    ],
)
def test_wrong_rule_file_is_refused(old: str, new: str, fault: str) -> None:
    assert SOUND.count(old) == 1
    assert faults_of(SOUND.replace(old, new)) == (fault,)


@pytest.mark.parametrize(
    ("table", "name"),
    [
        ('[[assumptions]]\nid = "dry"\n', "assumptions 1 (dry)"),
        (
            '[[notices]]\ncode = "meeting-stiles-by-others"\nkinds = ["pair-of-doors"]\n',
            "notices 1 (meeting-stiles-by-others)",
        ),
    ],
)
def test_unknown_key_is_refused_in_every_table(table: str, name: str) -> None:
    entry = f'{table}statement = "So it is."\nsource = "invented"\n'
    assert read_rule_set(SOUND + entry, name="test.toml")
    assert faults_of(f"{SOUND}{entry}colour = 1\n") == (
        f"test.toml, {name}: colour is not a known key; remove it",
    )
    in_spacing = SOUND.replace("[spacing]", "[spacing]\ncolour = 1")
    assert faults_of(in_spacing) == ("test.toml, spacing: colour is not a known key; remove it",)


def test_rule_listed_twice_is_refused() -> None:
    rule = SOUND[SOUND.index("[[rules]]") :]
    assert faults_of(SOUND + rule) == (
        "test.toml, rules 2 (test.head): id test.head is there twice; give each entry its own",
    )


def test_all_faults_of_a_rule_file_are_reported_together() -> None:
    assert faults_of('id = "x"\nfoo = 1\n[[notices]]\ncode = "no such"\n') == (
        "test.toml: product is missing; state it",
        "test.toml: fastener is missing; state it",
        "test.toml: rules is empty; state at least one",
        "test.toml: title is missing; state it",
        "test.toml: statement is missing; state it",
        "test.toml: source is missing; state it",
        "test.toml: spacing is missing; state it",
        "test.toml, notices 1 (no such): code is 'no such'; give one of meeting-stiles-by-others",
        "test.toml, notices 1 (no such): kinds is None; give a list of at least one",
        "test.toml, notices 1 (no such): statement is missing; state it",
        "test.toml, notices 1 (no such): source is missing; state it",
        "test.toml: foo is not a known key; remove it",
    )


def test_what_is_not_toml_is_refused() -> None:
    (fault,) = faults_of("id = ")
    assert fault.startswith("test.toml: not TOML: Invalid value")
