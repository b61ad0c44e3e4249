"""The takeoff of an order: needs summed, sets grouped, orders of its own, every firing kept."""

from decimal import Decimal
from typing import Any

from optimiser.domain.catalogue import Catalogue, Material
from optimiser.domain.notices import SizeReadWithCare, SizeTakenForBoth
from optimiser.domain.opening import (
    Edge,
    MeetingStiles,
    Opening,
    OpeningKind,
    SizeOf,
    Threshold,
)
from optimiser.domain.order import FastenerCounting, Order, Policy
from optimiser.domain.reasons import MeetingStilesByOthers, RuleFired
from optimiser.domain.takeoff import FastenerNeed, FastenerPool, PieceSet, SetDemand, Takeoff
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH

STRIP = "interlocking-strip"
NAIL = "strip-nail"


def inches(value: float) -> int:
    return int(value * NM_PER_INCH)


def door(mark: str = "D-1", width: float = 36, height: float = 80, **fields: Any) -> Opening:
    return Opening(
        mark=mark,
        kind=fields.pop("kind", OpeningKind.SINGLE_DOOR),
        width_nm=inches(width),
        height_nm=inches(height),
        finish=fields.pop("finish", "zinc"),
        **fields,
    )


def pair(mark: str = "P-1", width: float = 72, height: float = 80, **fields: Any) -> Opening:
    return door(mark, width, height, kind=OpeningKind.PAIR_OF_DOORS, **fields)


def take_off_openings(*openings: Opening, **policy: Any) -> Takeoff:
    catalogue = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
    return take_off(Order(openings=openings, catalogues=(catalogue,), policy=Policy(**policy)))


def needed(*openings: Opening, **policy: Any) -> int:
    (need,) = take_off_openings(*openings, **policy).demand.fasteners
    return need.needed


class TestNeeds:
    """Ten 36 × 80 doors at 3 in: 104 nails each by running length, 107 by piece.

    Common practice, no source; the arithmetic is in tests/cases/takeoff/single-doors.yaml.
    """

    ten_doors = door(quantity=10, fastener_spacing_nm=inches(3))

    def test_ten_doors_at_3_in_need_1040_nails(self) -> None:
        assert take_off_openings(self.ten_doors).demand.fasteners == (
            FastenerNeed(
                pool=FastenerPool(NAIL),
                by_running_length=1040,
                per_piece=1070,
                counted=1040,
                allowance=0,
                spares=0,
            ),
        )

    def test_counted_by_piece_ten_doors_need_1070(self) -> None:
        assert needed(self.ten_doors, fastener_counting=FastenerCounting.PER_PIECE) == 1070

    def test_with_nails_at_both_ends_of_every_piece_ten_doors_need_1100(self) -> None:
        assert (
            needed(
                self.ten_doors,
                fastener_counting=FastenerCounting.PER_PIECE,
                end_distance_nm=0,
            )
            == 1100
        )

    def test_allowance_is_added_once_to_the_order_and_rounded_up(self) -> None:
        # 1,040 × 1.05 = 1,092. Per door it would be 109.2, so 110, and 1,100 in all.
        assert needed(self.ten_doors, fastener_allowance_percent=Decimal(5)) == 1092

    def test_spares_are_added_after_the_allowance(self) -> None:
        (need,) = take_off_openings(
            self.ten_doors, fastener_allowance_percent=Decimal("2.5"), spare_fasteners=40
        ).demand.fasteners
        # 1,040 × 0.025 = 26.
        assert (need.counted, need.allowance, need.spares, need.needed) == (1040, 26, 40, 1106)

    def test_running_length_is_rounded_up_for_each_opening(self) -> None:
        # Ten pairs: 304 ÷ 1.5 = 202.67, so 203 each and 2,030; over the sum it would be 2,027.
        assert needed(pair(quantity=10)) == 2030

    def test_openings_at_different_spacings_are_summed(self) -> None:
        # 312 ÷ 3 = 104 and 312 ÷ 2 = 156.
        assert (
            needed(
                door("D-1", fastener_spacing_nm=inches(3)),
                door("D-2", fastener_spacing_nm=inches(2)),
            )
            == 260
        )

    def test_finishes_share_a_pool_unless_fasteners_must_match(self) -> None:
        openings = (door("D-1"), door("D-2", finish="bronze", quantity=2))
        shared = take_off_openings(*openings, spare_fasteners=5).demand.fasteners
        assert [(need.pool, need.needed) for need in shared] == [(FastenerPool(NAIL), 629)]
        apart = take_off_openings(
            *openings, spare_fasteners=5, fasteners_match_finish=True
        ).demand.fasteners
        assert [(need.pool, need.needed) for need in apart] == [
            (FastenerPool(NAIL, "bronze"), 421),
            (FastenerPool(NAIL, "zinc"), 213),
        ]


class TestSets:
    door_set = PieceSet(
        material=Material(STRIP, "zinc"),
        lengths=((inches(80), 3), (inches(36), 2)),
        nailed_nm=((NAIL, inches(312)),),
    )

    def test_openings_with_the_same_pieces_are_one_set_whatever_their_spacing(self) -> None:
        takeoff = take_off_openings(
            door("D-10", fastener_spacing_nm=inches(3), quantity=4),
            door("D-2", size_of=SizeOf.LEAF, remarks="stair"),
        )
        assert takeoff.demand.sets == (
            SetDemand(piece_set=self.door_set, quantity=5, marks=(("D-2", 1), ("D-10", 4))),
        )

    def test_finishes_are_apart(self) -> None:
        sets = take_off_openings(door("D-1"), door("D-2", finish="bronze")).demand.sets
        assert [(s.piece_set.material.finish, s.marks) for s in sets] == [
            ("bronze", (("D-2", 1),)),
            ("zinc", (("D-1", 1),)),
        ]

    def test_each_material_of_an_opening_is_a_set(self) -> None:
        takeoff = take_off_openings(door(threshold=Threshold.INTERLOCKING, quantity=2))
        assert [s.quantity for s in takeoff.demand.sets] == [2, 2, 2]
        assert [s.piece_set for s in takeoff.demand.sets] == [
            self.door_set,
            PieceSet(
                material=Material("interlocking-threshold", "zinc"),
                lengths=((inches(36), 1),),
                nailed_nm=(),
            ),
            PieceSet(
                material=Material("threshold-hook", "zinc"),
                lengths=((inches(36), 1),),
                nailed_nm=((NAIL, inches(36)),),
            ),
        ]

    def test_sets_of_a_material_come_longest_piece_first(self) -> None:
        sets = take_off_openings(door("D-1", 30), door("D-2", 36, 84), door("D-3")).demand.sets
        assert [s.marks[0][0] for s in sets] == ["D-2", "D-3", "D-1"]

    def test_threshold_takes_no_nails_and_its_hook_does(self) -> None:
        sill = door(threshold=Threshold.INTERLOCKING, edges=frozenset({Edge.SILL}))
        assert [s.piece_set.nailed_nm for s in take_off_openings(sill).demand.sets] == [
            (),
            ((NAIL, inches(36)),),
        ]
        assert needed(sill) == 24  # 36 ÷ 1.5


class TestRecord:
    def test_openings_come_in_the_natural_order_of_their_marks(self) -> None:
        takeoff = take_off_openings(door("D-10"), door("D-9"), door("C-11"), door("D-2"))
        assert [t.opening.mark for t in takeoff.openings] == ["C-11", "D-2", "D-9", "D-10"]

    def test_each_firing_is_kept_once_with_its_arithmetic_and_marks(self) -> None:
        takeoff = take_off_openings(pair("P-10"), pair("P-2", quantity=3), pair("P-3", 60))
        heads = [f for f in takeoff.firings if f.rule_id == "pair-of-doors.head.leaf"]
        statement = (
            "The head takes two nested members: this one is on the leaves, one run cut as one "
            "piece for each leaf."
        )
        source = "common practice, no source; one piece for each leaf, since the leaves open apart"
        assert heads == [
            RuleFired(
                marks=("P-3",),
                rule_id="pair-of-doors.head.leaf",
                statement=statement,
                source=source,
                inputs_nm=(("opening width", inches(60)),),
                divided_by=2,
                length_nm=inches(30),
                count=2,
            ),
            RuleFired(
                marks=("P-2", "P-10"),
                rule_id="pair-of-doors.head.leaf",
                statement=statement,
                source=source,
                inputs_nm=(("opening width", inches(72)),),
                divided_by=2,
                length_nm=inches(36),
                count=2,
            ),
        ]

    def test_a_pair_sized_by_the_leaf_adds_its_leaves_up(self) -> None:
        takeoff = take_off_openings(pair(width=36, size_of=SizeOf.LEAF))
        inputs = {f.rule_id: (f.inputs_nm, f.divided_by) for f in takeoff.firings}
        assert inputs == {
            "pair-of-doors.hinge-jamb": ((("leaf height", inches(80)),), 1),
            "pair-of-doors.head.frame": (
                (("active leaf width", inches(36)), ("inactive leaf width", inches(36))),
                1,
            ),
            "pair-of-doors.head.leaf": ((("leaf width", inches(36)),), 1),
        }

    def test_every_piece_names_a_rule_that_fired(self) -> None:
        takeoff = take_off_openings(
            door(threshold=Threshold.INTERLOCKING),
            pair(meeting_stiles=MeetingStiles.NESTED_MEMBERS),
            door("W-1", 24, 48, kind=OpeningKind.CASEMENT_WINDOW),
            door("W-2", 24, 48, kind=OpeningKind.FIXED_WINDOW),
        )
        of_pieces = {
            (piece.rule_id, piece.length_nm, piece.count, opening.opening.mark)
            for opening in takeoff.openings
            for piece in opening.pieces
        }
        of_firings = {
            (firing.rule_id, firing.length_nm, firing.count, mark)
            for firing in takeoff.firings
            for mark in firing.marks
        }
        assert of_pieces == of_firings

    def test_meeting_stiles_left_to_others_are_noticed_by_height(self) -> None:
        notices = take_off_openings(
            pair("P-10"),
            pair("P-9", 60),
            pair("P-2", height=84),
            pair("P-1", meeting_stiles=MeetingStiles.NESTED_MEMBERS),
            door("D-1"),
        ).notices
        assert [n for n in notices if isinstance(n, MeetingStilesByOthers)] == [
            MeetingStilesByOthers(marks=("P-2",), height_nm=inches(84), offered=True),
            MeetingStilesByOthers(marks=("P-9", "P-10"), height_nm=inches(80), offered=True),
        ]

    def test_size_that_stands_for_leaf_and_opening_is_noticed_by_what_was_stated(self) -> None:
        notices = take_off_openings(
            door("D-1"), door("D-2", size_of=SizeOf.LEAF), door("D-3", size_of=SizeOf.LEAF)
        ).notices
        assert notices == (
            SizeTakenForBoth(marks=("D-1",), size_of=SizeOf.OPENING),
            SizeTakenForBoth(marks=("D-2", "D-3"), size_of=SizeOf.LEAF),
        )

    def test_size_of_a_fixed_window_stands_for_nothing_else(self) -> None:
        window = door("W-1", 24, 48, kind=OpeningKind.FIXED_WINDOW)
        assert take_off_openings(window).notices == ()


def test_a_size_that_is_easily_misread_is_told_once_for_openings_alike() -> None:
    notes = ("Five digits.",)
    openings = (
        door("D-2", width=34, notes=notes),
        door("D-1", width=34, notes=notes),
        door("D-3", width=34),
    )
    told = [n for n in take_off_openings(*openings).notices if isinstance(n, SizeReadWithCare)]
    assert told == [
        SizeReadWithCare(
            marks=("D-1", "D-2"),
            width_nm=inches(34),
            height_nm=inches(80),
            remark="Five digits.",
        )
    ]
