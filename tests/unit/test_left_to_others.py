"""What a rule set leaves to others is told, with a remedy only where there is one."""

from functools import partial

import pytest

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.opening import MeetingStiles, Opening, OpeningKind
from optimiser.domain.order import Order
from optimiser.explain import sentence
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH, LengthUnit

CATALOGUE = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
SAY = partial(sentence, unit=LengthUnit.INCH, currency="USD")


def notices_of(kind: OpeningKind, *rule_sets: str) -> dict[str, str]:
    opening = Opening(
        mark="D-1",
        kind=kind,
        width_nm=72 * NM_PER_INCH,
        height_nm=80 * NM_PER_INCH,
        rule_set=rule_sets[0],
        also=rule_sets[1:],
        finish="zinc",
    )
    takeoff = take_off(Order(openings=(opening,), catalogues=(CATALOGUE,)))
    return {notice.code: SAY(notice) for notice in takeoff.notices}


STRIPS = ["spring-metal", "cushion-strip", "perimeter-gasket"]


@pytest.mark.parametrize("strip", STRIPS)
def test_nested_members_are_named_only_where_a_rule_set_has_them(strip: str) -> None:
    assert notices_of(OpeningKind.PAIR_OF_DOORS, "interlocking-strip")[
        "meeting-stiles-by-others"
    ].endswith("To have them here, set meeting_stiles of the opening to nested-members.")
    told = notices_of(OpeningKind.PAIR_OF_DOORS, strip)["meeting-stiles-by-others"]
    assert told == (
        "D-1: the meeting stiles, 80 in high, are not in this order: they are left to others, "
        "such as an astragal. No rule set that is named has members for them."
    )


@pytest.mark.parametrize("strip", STRIPS)
def test_the_gap_between_the_leaves_of_a_dutch_door_is_not_lost_in_silence(strip: str) -> None:
    assert notices_of(OpeningKind.DUTCH_DOOR, strip, "sweep")["meeting-rail-by-others"] == (
        "D-1: the meeting rail between the two leaves, 72 in wide, is not in this order: it is "
        "left to others, since no rule set that is named has members for it."
    )


def test_interlocking_strip_closes_the_gap_between_the_leaves() -> None:
    assert "meeting-rail-by-others" not in notices_of(OpeningKind.DUTCH_DOOR, "interlocking-strip")


def test_the_remedy_of_the_notice_is_taken() -> None:
    opening = Opening(
        mark="D-1",
        kind=OpeningKind.PAIR_OF_DOORS,
        width_nm=72 * NM_PER_INCH,
        height_nm=80 * NM_PER_INCH,
        finish="zinc",
        meeting_stiles=MeetingStiles.NESTED_MEMBERS,
    )
    takeoff = take_off(Order(openings=(opening,), catalogues=(CATALOGUE,)))
    assert "meeting-stiles-by-others" not in {notice.code for notice in takeoff.notices}
