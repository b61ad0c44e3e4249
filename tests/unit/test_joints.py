"""Spliced pieces on bench and install sheets: segments, joints, and the fasteners beside them."""

from dataclasses import replace
from functools import partial
from itertools import pairwise

import pytest

from optimiser.documents import list_labels, write_install_sheets
from optimiser.documents.site import JOINT
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.domain.documents import InstallPiece, InstallSheet
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order, Policy
from optimiser.domain.plan import Plan
from optimiser.domain.splicing import EdgeEnd, ends_of, lay_segments
from optimiser.explain import sentence
from optimiser.planning import make_plan
from optimiser.render import render_install_sheet
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH, LengthUnit
from tests.ten_doors import BRONZE, CATALOGUE, TEN_DOORS, ZINC

INCH = NM_PER_INCH
JAMBS = frozenset({Edge.HINGE_JAMB, Edge.STRIKE_JAMB})
RULE = SpliceRule(
    product="interlocking-strip",
    edges=JAMBS,
    least_segment_nm=20 * INCH,
    position_step_nm=60 * INCH,
)
"""The joint of 100 in can only lie at 60 in from one of the ends: 60 + 40."""
TALL = replace(
    TEN_DOORS,
    openings=(replace(TEN_DOORS.openings[0], height_nm=100 * INCH, quantity=2),),
    catalogues=(replace(CATALOGUE, kits=()),),
    policy=Policy(alternatives=False, splices=(RULE,)),
)


def sheets_of(order: Order) -> tuple[Plan, InstallSheet]:
    plan, takeoff = make_plan(order), take_off(order)
    (sheet,) = write_install_sheets(takeoff, (), splices=order.policy.splices, plan=plan)
    return plan, sheet


def members_of(sheet: InstallSheet, edge: Edge) -> list[InstallPiece]:
    return [piece for piece in sheet.pieces if piece.edge is edge]


def test_joints_of_nested_members_do_not_lie_opposite_each_other() -> None:
    _, sheet = sheets_of(TALL)
    frame, leaf = members_of(sheet, Edge.STRIKE_JAMB)
    for piece, segments in ((frame, (60, 40)), (leaf, (40, 60))):
        (spliced,) = piece.spliced
        assert spliced.pieces == 2
        assert spliced.segments_nm == tuple(length * INCH for length in segments)
        assert spliced.joint_nm == segments[0] * INCH
        assert spliced.ends == (EdgeEnd.LOWER, EdgeEnd.UPPER)
    assert [piece.spliced for piece in members_of(sheet, Edge.HEAD)] == [(), ()]


@pytest.mark.parametrize("member", range(4))
def test_the_longer_segment_changes_its_end_from_member_to_member(member: int) -> None:
    laid = lay_segments((60, 40), member)
    assert sorted(laid) == [40, 60]
    assert laid != lay_segments((60, 40), member + 1)


def test_ends_are_named_as_the_edge_lies() -> None:
    assert ends_of(Edge.MEETING_STILES) == ends_of(Edge.JAMB) == (EdgeEnd.LOWER, EdgeEnd.UPPER)
    assert ends_of(Edge.SILL) == ends_of(Edge.MEETING_RAIL) == (EdgeEnd.LEFT, EdgeEnd.RIGHT)


def test_a_fastener_stands_on_each_side_of_the_joint() -> None:
    # By hand, every 3 in and 1 in from each end: 60 in take ⌈58 ÷ 3⌉ + 1 = 21, 40 in take
    # ⌈38 ÷ 3⌉ + 1 = 14; 35 together where 100 in take ⌈98 ÷ 3⌉ + 1 = 34.
    _, sheet = sheets_of(TALL)
    for piece in (*members_of(sheet, Edge.HINGE_JAMB), *members_of(sheet, Edge.STRIKE_JAMB)):
        (spliced,) = piece.spliced
        assert (len(spliced.positions_nm), len(piece.positions_nm)) == (35, 34)
        assert {spliced.joint_nm - INCH, spliced.joint_nm + INCH} <= set(spliced.positions_nm)
        assert all(b - a <= 3 * INCH for a, b in pairwise(spliced.positions_nm))
    # Three pieces in each of two openings, one more in each.
    assert [count.at_joints for count in sheet.fasteners] == [6]


def test_sheets_and_labels_of_the_plan_agree() -> None:
    plan, sheet = sheets_of(TALL)
    told = {
        (label.edge, label.member, label.length_nm): label.segment_end
        for label in list_labels(plan)
        if label.segment_of_nm is not None
    }
    shown = {
        (piece.edge, piece.member, length_nm): end
        for piece in sheet.pieces
        for spliced in piece.spliced
        for length_nm, end in zip(spliced.segments_nm, spliced.ends, strict=True)
    }
    assert told == shown
    assert len(shown) == 6
    whole = [label for label in list_labels(plan) if label.segment_of_nm is None]
    assert {label.segment_end for label in whole} == {None}


def test_sheet_says_what_the_plan_does_and_how_the_segments_lie() -> None:
    _, sheet = sheets_of(TALL)
    text = render_install_sheet(
        sheet, LengthUnit.INCH, partial(sentence, unit=LengthUnit.INCH, currency="USD")
    )
    unbroken = " ".join(text.split())
    assert f"WHAT COMES, BY THE PLAN {'=' * 23} - Supply: 2 cut at the bench" in unbroken
    assert (
        "by the plan all 2 are spliced: 40 in (1016 mm) at the lower end + 60 in (1524 mm) at the "
        "upper end then 35 strip-nails, 1 more than in one length, with one on each side of the "
        "joint. Inches from the lower end: 1, "
    ) in unbroken
    assert "The joints take 6 more over all openings." in unbroken
    assert JOINT in sheet.steps
    # Nothing is left in one length, so that its positions would mislead.
    assert "34 strip-nails" not in unbroken


def test_without_a_plan_a_sheet_says_what_may_be_spliced() -> None:
    (sheet,) = write_install_sheets(take_off(TALL), (), splices=TALL.policy.splices)
    assert [(p.edge, p.may_be_spliced) for p in sheet.pieces if p.may_be_spliced] == [
        (Edge.HINGE_JAMB, True),
        (Edge.STRIKE_JAMB, True),
        (Edge.STRIKE_JAMB, True),
    ]
    assert JOINT not in sheet.steps
    text = render_install_sheet(
        sheet, LengthUnit.INCH, partial(sentence, unit=LengthUnit.INCH, currency="USD")
    )
    assert text.count("may come in two segments") == 3
    assert "BY THE PLAN" not in text


def test_a_piece_that_no_pair_of_segments_makes_up_is_not_said_to_be_spliced() -> None:
    # 100 in less 60 in leaves 40 in, and both segments have to be 45 in.
    rule = replace(RULE, least_segment_nm=45 * INCH)
    (sheet,) = write_install_sheets(take_off(TALL), (), splices=(rule,))
    assert not any(piece.may_be_spliced for piece in sheet.pieces)


def test_kits_of_another_material_are_told_on_the_sheet() -> None:
    kits = tuple(replace(kit, sku=f"{kit.sku}-B", material=BRONZE) for kit in CATALOGUE.kits)
    order = replace(
        TEN_DOORS,
        catalogues=(replace(CATALOGUE, stock_lengths=(), kits=kits),),
        policy=Policy(
            alternatives=False, substitutions=(Substitution(wanted=ZINC, instead=BRONZE),)
        ),
    )
    _, sheet = sheets_of(order)
    text = render_install_sheet(
        sheet, LengthUnit.INCH, partial(sentence, unit=LengthUnit.INCH, currency="USD")
    )
    assert "of interlocking-strip, bronze instead" in " ".join(text.split())
