"""A wrong rule set is refused, entry by entry."""

import pytest

from optimiser.domain.faults import Fault
from optimiser.rule_sets import (
    read_toml,
)
from tests.unit.rule_set_texts import SOUND, faults_of

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
