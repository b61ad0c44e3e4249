"""Rule sets as data: what comes with the package, and what a rule set of the user may say."""

import json
import tomllib

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.opening import MeetingStiles, Opening, OpeningKind
from optimiser.domain.order import Order
from optimiser.rule_sets import (
    RuleSet,
    find_rule_set_faults,
    read_rule_set,
    read_toml,
)
from optimiser.takeoff import known_rule_sets, take_off
from optimiser.units.lengths import NM_PER_INCH
from tests.unit.rule_set_texts import SOUND


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
