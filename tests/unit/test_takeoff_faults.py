"""Orders that cannot be taken off: every fault at once, each with its path and exact message."""

from decimal import Decimal
from importlib.resources import files
from typing import Any

import pytest

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.clearances import Clearances
from optimiser.domain.faults import Fault, InvalidOrder
from optimiser.domain.opening import Edge, MeetingStiles, Opening, OpeningKind, SizeOf, Threshold
from optimiser.domain.order import Order, Policy
from optimiser.rule_sets import read_toml
from optimiser.takeoff import piece_lengths, take_off
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
            "give one of: cushion-strip, double-hung-set, interlocking-strip, perimeter-gasket, "
            "spring-metal, sweep, threshold.",
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
            {"kind": OpeningKind.AWNING_WINDOW, "rule_set": "sweep"},
            ("kind",),
            "kind-not-served",
            "Opening D-14: the rule set sweep has no rules for an awning-window; give one of its "
            "kinds (single-door, pair-of-doors, dutch-door), or another rule set.",
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
            {"also": ("spring-strip",)},
            ("also", 0),
            "unknown-rule-set",
            "Opening D-14: the rule set “spring-strip” is not known; "
            "give one of: cushion-strip, double-hung-set, interlocking-strip, perimeter-gasket, "
            "spring-metal, sweep, threshold.",
        ),
        (
            {"also": ("sweep", "sweep")},
            ("also", 1),
            "repeated-rule-set",
            "Opening D-14: the rule set “sweep” is named twice; name each once.",
        ),
        (
            {"also": ("double-hung-set",)},
            ("also", 0),
            "kind-not-served",
            "Opening D-14: the rule set double-hung-set has no rules for a single-door; give one "
            "of its kinds (double-hung-window), or another rule set.",
        ),
        (
            {"also": ("threshold",)},
            ("also", 0),
            "rule-set-gives-nothing",
            "Opening D-14: the rule set threshold gives nothing here; set threshold to plain or "
            "interlocking, or leave the rule set out.",
        ),
        (
            {"rule_set": "threshold"},
            ("rule_set",),
            "rule-set-gives-nothing",
            "Opening D-14: the rule set threshold gives nothing here; set threshold to plain or "
            "interlocking, or leave the rule set out.",
        ),
        (
            {"also": ("sweep",), "edges": frozenset({Edge.HEAD})},
            ("also", 0),
            "rule-set-gives-nothing",
            "Opening D-14: the rule set sweep gives nothing here; add one of its edges (sill), or "
            "leave the rule set out.",
        ),
        (
            {"threshold": Threshold.PLAIN},
            ("threshold",),
            "option-does-not-apply",
            "Opening D-14: threshold is plain, which the rule set interlocking-strip does not "
            "have for a single-door; name threshold under also, or leave threshold out.",
        ),
        (
            {"threshold": Threshold.PLAIN, "also": ("sweep",)},
            ("threshold",),
            "option-does-not-apply",
            "Opening D-14: threshold is plain, which the rule sets interlocking-strip, sweep do "
            "not have for a single-door; name threshold under also, or leave threshold out.",
        ),
        (
            {"finishes": (("sweep", " "),)},
            ("finishes",),
            "finish-blank",
            "Opening D-14: entry 0 (counted from 0) of finishes is blank; name a product and its "
            "finish.",
        ),
        (
            {"inactive_leaf_width_nm": 18 * NM_PER_INCH},
            ("inactive_leaf_width",),
            "option-does-not-apply",
            "Opening D-14: inactive_leaf_width is 18 in, but a single-door has no inactive leaf; "
            "leave inactive_leaf_width out.",
        ),
        (
            {"kind": OpeningKind.PAIR_OF_DOORS, "inactive_leaf_width_nm": 36 * NM_PER_INCH},
            ("inactive_leaf_width",),
            "inactive-leaf-out-of-range",
            "Opening D-14: inactive_leaf_width is 36 in; give less than the width of both leaves, "
            "36 in.",
        ),
        (
            {"kind": OpeningKind.PAIR_OF_DOORS, "inactive_leaf_width_nm": 0},
            ("inactive_leaf_width",),
            "inactive-leaf-out-of-range",
            "Opening D-14: inactive_leaf_width is 0 in; give more than 0.",
        ),
        (
            {"lower_height_nm": 30 * NM_PER_INCH},
            ("lower_height",),
            "option-does-not-apply",
            "Opening D-14: lower_height is 30 in, but a single-door has no lower leaf or sash; "
            "leave lower_height out.",
        ),
        (
            {"kind": OpeningKind.DUTCH_DOOR, "lower_height_nm": 80 * NM_PER_INCH},
            ("lower_height",),
            "lower-height-out-of-range",
            "Opening D-14: lower_height is 80 in; give more than 0 and less than the height, "
            "80 in.",
        ),
        (
            {"rule_set": "spring-metal", "height_nm": 39 * NM_PER_INCH},
            ("size",),
            "piece-without-length",
            "Opening D-14: strike-jamb, jamb member above the keeper would be 0 in long, after "
            "keeper height 34 in and keeper gap 5 in; give a larger size, or change "
            "spring-metal.keeper-height, spring-metal.keeper-gap in policy.rule_settings.",
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


def test_rough_opening_needs_to_be_told_how_much_larger_it_is() -> None:
    faults = faults_of(opening(size_of=SizeOf.ROUGH_OPENING))
    assert [(fault.path, fault.code) for fault in faults] == [
        (("openings", 0, "size_of"), "rough-opening-without-clearance")
    ] * 2
    assert faults[0].message == (
        "Opening D-14: the size is that of the rough opening, and the policy does not say how "
        "much larger its width is than the frame's opening; state policy.clearances.rough_width, "
        "or measure the opening."
    )


def test_gaps_larger_than_the_opening_leave_no_piece() -> None:
    narrow = opening(width_nm=2 * NM_PER_INCH)
    (fault,) = faults_of(narrow, clearances=Clearances(jamb_nm=NM_PER_INCH))
    assert fault == Fault(
        ("openings", 0, "size"),
        "piece-without-length",
        "Opening D-14: head, leaf member would be 0 in long, after jamb gaps 2 in; give a larger "
        "size, or check the clearances.",
    )


def test_entries_of_pieces_are_limited_over_the_marks(monkeypatch: pytest.MonkeyPatch) -> None:
    # A single door has five; the third mark brings them to fifteen.
    monkeypatch.setattr(piece_lengths, "MOST_PIECES", 14)
    assert faults_of(*(opening(mark=f"D-{n}") for n in range(1, 5))) == (
        Fault(
            ("openings",),
            "too-many-pieces",
            "The marks up to D-3 have 15 entries of pieces, above the limit of 14 for an order; "
            "split the order, or use rule sets of fewer rules.",
        ),
    )


def test_distinct_lengths_are_limited_where_the_caller_says_so() -> None:
    # By hand: 80 and 36 in, then 35 in in the second mark, then 34 in in the third.
    doors = tuple(
        opening(mark=f"D-{n}", width_nm=(37 - n) * NM_PER_INCH, quantity=9) for n in range(1, 5)
    )
    catalogue = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
    order = Order(openings=doors, catalogues=(catalogue,))
    with pytest.raises(InvalidOrder) as caught:
        take_off(order, most_lengths=3)
    assert caught.value.faults == (
        Fault(
            ("openings",),
            "too-many-lengths",
            "The pieces up to opening D-3 have 4 distinct lengths, above the limit of 3 for an "
            "order; split the order.",
        ),
    )
    assert len(take_off(order, most_lengths=5).openings) == 4


def test_two_rule_sets_may_not_put_the_same_product_in_the_same_place() -> None:
    text = files("optimiser.rule_sets").joinpath("sweep.toml").read_text(encoding="utf-8")
    twin = read_toml(text.replace('id = "sweep', 'id = "second-sweep'))
    catalogue = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
    order = Order(openings=(opening(also=("sweep", "second-sweep")),), catalogues=(catalogue,))
    with pytest.raises(InvalidOrder) as caught:
        take_off(order, rule_sets=(twin,))
    assert caught.value.faults == (
        Fault(
            ("openings", 0, "also"),
            "rule-sets-clash",
            "Opening D-14: the rule sets sweep and second-sweep both give sweep at the sill, on "
            "the leaf; leave one of them out.",
        ),
    )


@pytest.mark.parametrize(
    ("policy", "path", "code", "message"),
    [
        (
            {"clearances": Clearances(jamb_nm=-NM_PER_INCH)},
            ("clearances", "jamb"),
            "clearance-negative",
            "The clearance jamb is -1 in; give 0 or more.",
        ),
        (
            {"rule_settings": (("threshold.jamb-nodge", 1),)},
            ("rule_settings", "threshold.jamb-nodge"),
            "unknown-setting",
            "The policy states the setting “threshold.jamb-nodge”, which no rule set has; give "
            "one of: cushion-strip.pulley-gap, cushion-strip.sash-lap, "
            "double-hung-set.corner-lap, double-hung-set.pulley-gap, "
            "perimeter-gasket.head-notch, perimeter-gasket.screw-end-distance, "
            "perimeter-gasket.screw-spacing, spring-metal.keeper-gap, "
            "spring-metal.keeper-height, spring-metal.pulley-gap, spring-metal.sash-lap, "
            "sweep.end-clearance, sweep.screw-end-distance, sweep.screw-spacing, "
            "threshold.end-clearance, threshold.hook-clearance, threshold.jamb-notch, "
            "threshold.screw-end-distance, threshold.screw-spacing.",
        ),
        (
            {"rule_settings": (("sweep.screw-spacing", 0),)},
            ("rule_settings", "sweep.screw-spacing"),
            "setting-out-of-range",
            "The setting sweep.screw-spacing is 0 in; give more than 0.",
        ),
        (
            {"rule_settings": (("threshold.jamb-notch", -NM_PER_INCH),)},
            ("rule_settings", "threshold.jamb-notch"),
            "setting-out-of-range",
            "The setting threshold.jamb-notch is -1 in; give 0 or more.",
        ),
    ],
)
def test_fault_of_clearances_and_settings_is_named_by_its_path(
    policy: dict[str, Any], path: tuple[str, ...], code: str, message: str
) -> None:
    assert faults_of(opening(), **policy) == (Fault(("policy", *path), code, message),)


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
