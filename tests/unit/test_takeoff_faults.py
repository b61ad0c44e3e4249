"""Orders that cannot be taken off: every fault at once, each with its path and exact message."""

from decimal import Decimal
from typing import Any

import pytest

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.faults import Fault, InvalidOrder
from optimiser.domain.opening import Edge, MeetingStiles, Opening, OpeningKind, Threshold
from optimiser.domain.order import Order, Policy
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH


def opening(mark: str = "D-14", **fields: Any) -> Opening:
    usual: dict[str, Any] = {
        "kind": OpeningKind.SINGLE_DOOR,
        "width_nm": 36 * NM_PER_INCH,
        "height_nm": 80 * NM_PER_INCH,
        "finish": "zinc",
    }
    return Opening(mark=mark, **(usual | fields))


def pair(**fields: Any) -> Opening:
    return opening(kind=OpeningKind.PAIR_OF_DOORS, **fields)


def faults_of(*openings: Opening, **policy: Any) -> tuple[Fault, ...]:
    catalogue = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
    with pytest.raises(InvalidOrder) as caught:
        take_off(Order(openings=openings, catalogues=(catalogue,), policy=Policy(**policy)))
    return caught.value.faults


def test_order_without_openings_is_refused() -> None:
    assert faults_of() == (
        Fault(("openings",), "no-openings", "The order has no openings; list at least one."),
    )


@pytest.mark.parametrize(
    ("fields", "path", "code", "message"),
    [
        (
            {"rule_set": "spring-strip"},
            ("rule_set",),
            "unknown-rule-set",
            "Opening D-14: the rule set “spring-strip” is not known; "
            "give one of: interlocking-strip.",
        ),
        (
            {"width_nm": 0},
            ("size", "width"),
            "length-not-positive",
            "Opening D-14: the width is 0 in; give more than 0.",
        ),
        (
            {"height_nm": -NM_PER_INCH},
            ("size", "height"),
            "length-not-positive",
            "Opening D-14: the height is -1 in; give more than 0.",
        ),
        (
            {"quantity": 0},
            ("quantity",),
            "quantity-below-one",
            "Opening D-14: the quantity is 0; give 1 or more, or leave the line out.",
        ),
        (
            {"finish": " "},
            ("finish",),
            "finish-blank",
            "Opening D-14: the finish is blank; state the finish.",
        ),
        (
            {"fastener_spacing_nm": 0},
            ("fastener_spacing",),
            "spacing-not-positive",
            "Opening D-14: the fastener spacing is 0 in; give more than 0, or leave it out.",
        ),
        (
            {"meeting_stiles": MeetingStiles.NESTED_MEMBERS},
            ("meeting_stiles",),
            "option-does-not-apply",
            "Opening D-14: meeting_stiles is nested-members, which the rule set "
            "interlocking-strip does not have for a single-door; leave meeting_stiles out.",
        ),
        (
            {"kind": OpeningKind.CASEMENT_WINDOW, "threshold": Threshold.INTERLOCKING},
            ("threshold",),
            "option-does-not-apply",
            "Opening D-14: threshold is interlocking, which the rule set interlocking-strip "
            "does not have for a casement-window; leave threshold out.",
        ),
        (
            {"threshold": Threshold.INTERLOCKING, "edges": frozenset({Edge.HEAD})},
            ("edges",),
            "option-without-its-edge",
            "Opening D-14: threshold is interlocking, but edges leaves out sill; "
            "add it to edges, or leave threshold out.",
        ),
        (
            {"edges": frozenset()},
            ("edges",),
            "no-edges",
            "Opening D-14: edges is empty; name at least one edge, or leave it out for every edge.",
        ),
        (
            {"edges": frozenset({Edge.HEAD, Edge.JAMB})},
            ("edges",),
            "edge-not-served",
            "Opening D-14: the rule set interlocking-strip has no rules for the edge jamb of a "
            "single-door; give edges of: head, hinge-jamb, strike-jamb, sill.",
        ),
        (
            {"edges": frozenset({Edge.HEAD, Edge.SILL})},
            ("edges",),
            "edge-without-its-option",
            "Opening D-14: the edge sill takes nothing unless threshold is interlocking; "
            "set it so, or leave the edge out.",
        ),
        (
            {
                "kind": OpeningKind.PAIR_OF_DOORS,
                "edges": frozenset({Edge.MEETING_STILES, Edge.HEAD}),
            },
            ("edges",),
            "edge-without-its-option",
            "Opening D-14: the edge meeting-stiles takes nothing unless meeting_stiles is "
            "nested-members; set it so, or leave the edge out.",
        ),
    ],
)
def test_fault_of_an_opening_says_what_is_wrong_and_what_mends_it(
    fields: dict[str, Any], path: tuple[str, ...], code: str, message: str
) -> None:
    assert faults_of(opening("D-1"), opening(**fields)) == (
        Fault(("openings", 1, *path), code, message),
    )


@pytest.mark.parametrize(
    ("policy", "name", "code", "message"),
    [
        (
            {"fastener_spacing_nm": 0},
            "fastener_spacing",
            "spacing-not-positive",
            "The policy's fastener spacing is 0 in; give more than 0, or leave it out.",
        ),
        (
            {"end_distance_nm": -NM_PER_INCH},
            "end_distance",
            "end-distance-negative",
            "The end distance is -1 in; give 0 or more.",
        ),
        (
            {"fastener_allowance_percent": Decimal("-0.5")},
            "fastener_allowance_percent",
            "allowance-negative",
            "The fastener allowance is -0.5 %; give a finite number, 0 or more.",
        ),
        (
            {"fastener_allowance_percent": Decimal("NaN")},
            "fastener_allowance_percent",
            "allowance-negative",
            "The fastener allowance is NaN %; give a finite number, 0 or more.",
        ),
        (
            {"spare_fasteners": -1},
            "spare_fasteners",
            "spares-negative",
            "The number of spare fasteners is -1; give 0 or more.",
        ),
    ],
)
def test_fault_of_the_policy_says_what_is_wrong_and_what_mends_it(
    policy: dict[str, Any], name: str, code: str, message: str
) -> None:
    assert faults_of(opening(), **policy) == (Fault(("policy", name), code, message),)


def test_mark_listed_twice_is_named_with_both_positions() -> None:
    assert faults_of(opening("D-1"), opening("D-2"), opening("D-1")) == (
        Fault(
            ("openings", 2, "mark"),
            "duplicate-mark",
            "Opening D-1 is listed twice, at positions 0 and 2 (counted from 0); "
            "give each line its own mark, or add the quantities.",
        ),
    )


def test_blank_mark_is_named_by_its_position() -> None:
    assert faults_of(opening(" ")) == (
        Fault(
            ("openings", 0, "mark"),
            "mark-blank",
            "The opening at position 0 (counted from 0) has a blank mark; give it one.",
        ),
    )


def test_all_faults_are_reported_together_in_the_order_of_the_input() -> None:
    faults = faults_of(
        opening("D-1", quantity=0, rule_set="none such"),
        opening("D-1", width_nm=0, edges=frozenset({Edge.JAMB, Edge.SILL})),
        opening("D-3", rule_set="none such"),
        spare_fasteners=-1,
        end_distance_nm=-1,
    )
    assert [(fault.path, fault.code) for fault in faults] == [
        (("openings", 1, "mark"), "duplicate-mark"),
        (("openings", 0, "quantity"), "quantity-below-one"),
        (("openings", 0, "rule_set"), "unknown-rule-set"),
        (("openings", 1, "size", "width"), "length-not-positive"),
        (("openings", 1, "edges"), "edge-not-served"),
        (("openings", 1, "edges"), "edge-without-its-option"),
        (("openings", 2, "rule_set"), "unknown-rule-set"),
        (("policy", "end_distance"), "end-distance-negative"),
        (("policy", "spare_fasteners"), "spares-negative"),
    ]


def test_same_fault_of_two_openings_is_reported_for_each() -> None:
    faults = faults_of(*(opening(f"D-{n}", rule_set="none such") for n in range(3)))
    assert [fault.path[1] for fault in faults] == [0, 1, 2]


def test_pair_may_have_both_options() -> None:
    catalogue = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
    both = pair(
        meeting_stiles=MeetingStiles.NESTED_MEMBERS,
        threshold=Threshold.INTERLOCKING,
        edges=frozenset({Edge.MEETING_STILES, Edge.SILL}),
    )
    (taken,) = take_off(Order(openings=(both,), catalogues=(catalogue,))).openings
    assert [(piece.edge, piece.count) for piece in taken.pieces] == [
        (Edge.MEETING_STILES, 1),
        (Edge.MEETING_STILES, 1),
        (Edge.SILL, 1),
        (Edge.SILL, 2),
    ]
