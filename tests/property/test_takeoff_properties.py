"""What holds for the takeoff of every order: one class for each property."""

import random
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.opening import (
    MeetingStiles,
    Opening,
    OpeningKind,
    SashCords,
    SizeOf,
    Threshold,
)
from optimiser.domain.order import FastenerCounting, Order, Policy
from optimiser.domain.takeoff import Demand, Takeoff
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH, LengthUnit, parse_length

fixed = settings(derandomize=True, deadline=None, max_examples=100)

CATALOGUE = Catalogue(supplier="Larkmoor Strip & Seal", currency="USD")
DOORS = (OpeningKind.SINGLE_DOOR, OpeningKind.PAIR_OF_DOORS, OpeningKind.DUTCH_DOOR)
SETS_OF_SASHES = ("double-hung-set", "spring-metal", "cushion-strip")
spacings_nm = st.sampled_from(
    [None, *(parse_length(f"{s} in", LengthUnit.INCH) for s in (1, 2, 3))]
)


@st.composite
def openings(draw: st.DrawFn) -> Opening:
    """Draw an opening without a mark; few sizes, so that openings often are alike."""
    kind = draw(st.sampled_from(OpeningKind))
    options: dict[str, Any] = {}
    if kind is OpeningKind.DOUBLE_HUNG_WINDOW:
        options["rule_set"] = draw(st.sampled_from(SETS_OF_SASHES))
        options["sash_cords"] = draw(st.sampled_from(SashCords))
    if kind in DOORS:
        options["threshold"] = draw(st.sampled_from([Threshold.NONE, Threshold.INTERLOCKING]))
        options["also"] = draw(st.sampled_from([(), ("sweep",), ("perimeter-gasket", "sweep")]))
    if kind is OpeningKind.PAIR_OF_DOORS:
        options["meeting_stiles"] = draw(st.sampled_from(MeetingStiles))
    return Opening(
        mark="",
        kind=kind,
        width_nm=draw(st.sampled_from([24, 36, 59])) * NM_PER_INCH + draw(st.integers(0, 1)),
        height_nm=draw(st.sampled_from([48, 80])) * NM_PER_INCH,
        size_of=draw(st.sampled_from([SizeOf.LEAF, SizeOf.OPENING, SizeOf.NOMINAL])),
        quantity=draw(st.integers(1, 40)),
        finish=draw(st.sampled_from(["zinc", "bronze"])),
        fastener_spacing_nm=draw(spacings_nm),
        **options,
    )


@st.composite
def orders(draw: st.DrawFn) -> Order:
    schedule = draw(st.lists(openings(), min_size=1, max_size=8))
    policy = Policy(
        fastener_counting=draw(st.sampled_from(FastenerCounting)),
        fastener_spacing_nm=draw(spacings_nm),
        fastener_allowance_percent=draw(st.decimals(0, 20, places=1)),
        spare_fasteners=draw(st.integers(0, 50)),
        fasteners_match_finish=draw(st.booleans()),
    )
    return Order(
        openings=tuple(replace(o, mark=f"D-{n}") for n, o in enumerate(schedule, start=1)),
        catalogues=(CATALOGUE,),
        policy=policy,
    )


def without_marks(demand: Demand) -> Demand:
    return replace(demand, sets=tuple(replace(s, marks=()) for s in demand.sets))


def pieces_over_openings(takeoff: Takeoff) -> Counter[tuple[object, int]]:
    counted: Counter[tuple[object, int]] = Counter()
    for opening in takeoff.openings:
        for piece in opening.pieces:
            counted[piece.material, piece.length_nm] += piece.count * opening.opening.quantity
    return counted


class TestOrderOfTheInput:
    @fixed
    @given(orders(), st.randoms(use_true_random=False))
    def test_order_of_the_input_changes_nothing(self, order: Order, draw: random.Random) -> None:
        shuffled = list(order.openings)
        draw.shuffle(shuffled)
        assert take_off(replace(order, openings=tuple(shuffled))) == take_off(order)


class TestSplitQuantity:
    @fixed
    @given(orders(), st.data())
    def test_quantity_split_into_two_marks_leaves_demand_unchanged(
        self, order: Order, data: st.DataObject
    ) -> None:
        position = data.draw(st.integers(0, len(order.openings) - 1))
        whole = order.openings[position]
        if whole.quantity == 1:
            whole = replace(whole, quantity=2)
            order = replace(
                order,
                openings=(*order.openings[:position], whole, *order.openings[position + 1 :]),
            )
        part = data.draw(st.integers(1, whole.quantity - 1))
        split = (
            *order.openings[:position],
            replace(whole, quantity=part),
            *order.openings[position + 1 :],
            replace(whole, mark="E-1", quantity=whole.quantity - part),
        )
        before, after = take_off(order), take_off(replace(order, openings=split))
        assert without_marks(after.demand) == without_marks(before.demand)


class TestUnits:
    @fixed
    @given(st.integers(1, 200 * 64), st.integers(1, 200 * 64), st.sampled_from(OpeningKind))
    def test_inches_and_millimetres_give_the_same_takeoff(
        self, wide_64ths: int, high_64ths: int, kind: OpeningKind
    ) -> None:
        def in_unit(unit: LengthUnit, wide: str, high: str) -> Takeoff:
            opening = Opening(
                mark="D-1",
                kind=kind,
                rule_set=SETS_OF_SASHES[0]
                if kind is OpeningKind.DOUBLE_HUNG_WINDOW
                else "interlocking-strip",
                width_nm=parse_length(wide, unit),
                height_nm=parse_length(high, unit),
                finish="zinc",
            )
            return take_off(Order(openings=(opening,), catalogues=(CATALOGUE,), unit=unit))

        def millimetres(in_64ths: int) -> str:
            return str(in_64ths * Decimal("25.4") / 64)

        assert in_unit(LengthUnit.INCH, f"{wide_64ths}/64", f"{high_64ths}/64") == in_unit(
            LengthUnit.MILLIMETRE, millimetres(wide_64ths), millimetres(high_64ths)
        )


class TestSums:
    @fixed
    @given(orders())
    def test_sets_hold_every_piece_of_every_opening(self, order: Order) -> None:
        takeoff = take_off(order)
        in_sets: Counter[tuple[object, int]] = Counter()
        for set_demand in takeoff.demand.sets:
            assert set_demand.quantity == sum(share for _, share in set_demand.marks)
            for length_nm, count in set_demand.piece_set.lengths:
                in_sets[set_demand.piece_set.material, length_nm] += count * set_demand.quantity
        assert in_sets == pieces_over_openings(takeoff)

    @fixed
    @given(orders())
    def test_needs_are_the_sums_over_the_openings_with_allowance_and_spares(
        self, order: Order
    ) -> None:
        takeoff = take_off(order)
        policy = order.policy
        for need in takeoff.demand.fasteners:
            counts = [
                (o.opening.quantity, count)
                for o in takeoff.openings
                for count in o.fasteners
                if count.pool == need.pool
            ]
            assert need.by_running_length == sum(n * c.by_running_length for n, c in counts)
            assert need.per_piece == sum(n * c.per_piece for n, c in counts)
            by_running_length = policy.fastener_counting is FastenerCounting.RUNNING_LENGTH
            assert need.counted == (need.by_running_length if by_running_length else need.per_piece)
            exact = need.counted * (1 + policy.fastener_allowance_percent / 100)
            assert 0 <= need.needed - policy.spare_fasteners - exact < 1

    @fixed
    @given(orders())
    def test_each_set_and_each_pool_stands_once(self, order: Order) -> None:
        demand = take_off(order).demand
        assert len({s.piece_set for s in demand.sets}) == len(demand.sets)
        assert len({need.pool for need in demand.fasteners}) == len(demand.fasteners)


class TestPieces:
    @fixed
    @given(orders())
    def test_head_members_on_the_leaves_cover_the_head_and_no_more_than_rounding(
        self, order: Order
    ) -> None:
        for opening in take_off(order).openings:
            heads = {
                p.lies_on: p
                for p in opening.pieces
                if p.edge == "head" and p.rule_set == "interlocking-strip"
            }
            if len(heads) == 2:
                frame, leaf = heads.values()
                assert 0 <= leaf.length_nm * leaf.count - frame.length_nm < leaf.count
