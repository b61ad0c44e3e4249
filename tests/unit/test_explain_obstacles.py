"""Why nothing can serve an order, word for word. Sizes, SKUs and prices are invented."""

from dataclasses import replace
from typing import Any

from optimiser.domain.catalogue import Catalogue
from optimiser.domain.decision import Restriction
from optimiser.domain.faults import Fault
from optimiser.domain.opening import Edge, Opening
from optimiser.domain.order import Order, Policy
from optimiser.explain import find_obstacles
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH, LengthUnit
from tests.ten_doors import CATALOGUE, SMALL, TEN_DOORS

DOOR = TEN_DOORS.openings[0]
NO_KITS = replace(CATALOGUE, kits=())


def tall(mark: str, *, finish: str = "zinc") -> Opening:
    """Return a door of 98 1/4 in, longer than the kits' 96 in; the longest bar is 120 in."""
    height_nm = 98 * NM_PER_INCH + NM_PER_INCH // 4
    return replace(DOOR, mark=mark, height_nm=height_nm, finish=finish, quantity=1)


def bars_up_to(inches: int, catalogue: Catalogue = CATALOGUE) -> Catalogue:
    return replace(
        catalogue,
        stock_lengths=tuple(
            stock for stock in catalogue.stock_lengths if stock.length_nm <= inches * NM_PER_INCH
        ),
    )


def order_of(*openings: Opening, catalogue: Catalogue = CATALOGUE, **policy: Any) -> Order:
    return Order(openings=openings, catalogues=(catalogue,), policy=Policy(**policy))


def obstacles(order: Order, restriction: Restriction | None = None) -> tuple[Fault, ...]:
    takeoff = take_off(order)
    if restriction is None:
        return find_obstacles(order, takeoff)
    return find_obstacles(order, takeoff, restriction)


def messages(order: Order, restriction: Restriction | None = None) -> list[str]:
    return [fault.message for fault in obstacles(order, restriction)]


def test_an_order_that_can_be_served_has_no_obstacle() -> None:
    assert obstacles(TEN_DOORS) == ()
    assert obstacles(SMALL) == ()
    assert obstacles(order_of(tall("D-14"))) == ()


def test_a_piece_longer_than_any_stock_length_is_named_with_its_limit_and_remedy() -> None:
    order = order_of(DOOR, tall("D-14"), catalogue=bars_up_to(96, NO_KITS))
    assert obstacles(order) == (
        Fault(
            ("openings", 1),
            "piece-too-long",
            "Opening D-14: hinge jamb and strike jamb 98 1/4 in (interlocking-strip, zinc) are "
            "longer than the longest stock length, 96 in, and no kit is offered; add a longer "
            "stock length, or add a kit.",
        ),
    )


def test_a_piece_on_one_edge_is_named_by_it() -> None:
    opening = replace(tall("D-14"), edges=frozenset({Edge.HINGE_JAMB}))
    assert messages(order_of(opening, catalogue=bars_up_to(96, NO_KITS))) == [
        "Opening D-14: hinge jamb 98 1/4 in (interlocking-strip, zinc) is longer than the longest "
        "stock length, 96 in, and no kit is offered; add a longer stock length, or add a kit."
    ]


def test_openings_with_the_same_fault_share_one() -> None:
    openings = (tall("D-14"), DOOR, tall("D-15"), tall("D-16"), tall("D-20"))
    found = obstacles(order_of(*openings, catalogue=bars_up_to(96)))
    assert found == (
        Fault(
            ("openings", 0),
            "piece-too-long",
            "Openings D-14 to D-16, D-20: hinge jamb and strike jamb 98 1/4 in "
            "(interlocking-strip, zinc) are longer than the longest stock length, 96 in, and "
            "longer than the longest piece of a kit, 96 in; add a longer stock length, or add a "
            "kit with longer pieces.",
        ),
    )


def test_a_piece_that_only_a_kit_can_hold_is_no_obstacle() -> None:
    kits = tuple(replace(kit, longest_piece_nm=None) for kit in CATALOGUE.kits)
    order = order_of(tall("D-14"), catalogue=replace(bars_up_to(96), kits=kits))
    assert obstacles(order) == ()


def test_end_trims_count_against_the_stock_length() -> None:
    # 96 in less 2 × 1/4 in leaves 95 1/2 in: a leaf of 95 1/2 in fits, of 95 9/16 in does not.
    catalogue = bars_up_to(96, NO_KITS)
    fits = replace(DOOR, height_nm=95 * NM_PER_INCH + NM_PER_INCH // 2)
    trim_nm = NM_PER_INCH // 4
    assert obstacles(order_of(fits, catalogue=catalogue, end_trim_nm=trim_nm)) == ()
    too_tall = replace(fits, height_nm=fits.height_nm + NM_PER_INCH // 16)
    assert messages(order_of(too_tall, catalogue=catalogue, end_trim_nm=trim_nm)) == [
        "Opening D-1: hinge jamb and strike jamb 95 9/16 in (interlocking-strip, zinc) are longer "
        "than the longest stock length, 96 in, less two end trims of 1/4 in, and no kit is "
        "offered; add a longer stock length, or add a kit."
    ]


def test_lengths_are_named_in_the_order_s_unit() -> None:
    order = order_of(tall("D-14"), catalogue=bars_up_to(96, NO_KITS))
    assert "2495.55 mm" in messages(replace(order, unit=LengthUnit.MILLIMETRE))[0]


def test_a_finish_that_is_not_offered_is_named() -> None:
    order = order_of(DOOR, replace(DOOR, mark="D-7", finish="copper"))
    assert obstacles(order) == (
        Fault(
            ("openings", 1),
            "not-offered",
            "Opening D-7: interlocking-strip, copper: no stock length is offered, and no kit is "
            "offered; add a stock length, or add a kit.",
        ),
    )


def test_with_kits_and_cutting_forbidden_both_ways_are_named() -> None:
    order = order_of(DOOR, allow_kits=False, allow_cutting=False)
    assert obstacles(order) == (
        Fault(
            ("openings", 0),
            "not-allowed",
            "Opening D-1: interlocking-strip, zinc: cutting is not allowed, and kits are not "
            "allowed; allow cutting (policy.allow_cutting), or allow kits (policy.allow_kits).",
        ),
    )


def test_with_cutting_forbidden_a_long_piece_is_held_against_the_kits() -> None:
    assert messages(order_of(tall("D-14"), allow_cutting=False)) == [
        "Opening D-14: hinge jamb and strike jamb 98 1/4 in (interlocking-strip, zinc) are longer "
        "than the longest piece of a kit, 96 in, and cutting is not allowed; add a kit with "
        "longer pieces, or allow cutting (policy.allow_cutting)."
    ]


def test_fasteners_that_nobody_offers_are_named_with_their_number() -> None:
    catalogue = replace(NO_KITS, fastener_packs=())
    assert obstacles(order_of(DOOR, catalogue=catalogue)) == (
        Fault(
            ("catalogues", 0, "fastener_packs"),
            "fasteners-not-offered",
            "1,040 strip-nails are needed: no loose pack of them is offered, and no kit that may "
            "be used brings any; add a loose pack.",
        ),
    )


def test_kits_that_bring_too_few_fasteners_are_no_way_out() -> None:
    # Ten kits bring 10 × 260 = 2,600: enough at 3 in (1,040), not at 1 in (3,120).
    catalogue = replace(CATALOGUE, fastener_packs=())
    assert obstacles(order_of(DOOR, catalogue=catalogue)) == ()
    closer = replace(DOOR, fastener_spacing_nm=NM_PER_INCH)
    assert messages(order_of(closer, catalogue=catalogue)) == [
        "3,120 strip-nails are needed: no loose pack of them is offered, and kits with fasteners "
        "bring 2,600 at most; add a loose pack."
    ]


def test_fasteners_of_another_finish_do_not_count_where_it_must_match() -> None:
    order = order_of(replace(SMALL.openings[2], quantity=1), fasteners_match_finish=True)
    # 140 in at 3 in: 46.67, so 47. The only loose pack is zinc, the window bronze.
    assert messages(order) == [
        "47 strip-nails in bronze are needed: no loose pack of them is offered, and no kit that "
        "may be used brings any; add a loose pack."
    ]


def test_every_obstacle_is_found_at_once() -> None:
    order = order_of(
        tall("D-14"),
        replace(DOOR, mark="D-7", finish="copper"),
        catalogue=replace(bars_up_to(96, NO_KITS), fastener_packs=()),
    )
    assert [(fault.path, fault.code) for fault in obstacles(order)] == [
        (("openings", 1), "not-offered"),
        (("openings", 0), "piece-too-long"),
        (("catalogues", 0, "fastener_packs"), "fasteners-not-offered"),
    ]


class TestRestricted:
    def test_without_kits_the_bars_must_do(self) -> None:
        bronze = replace(CATALOGUE, stock_lengths=())
        restriction = Restriction(bare_kits=False, kits_with_fasteners=False)
        assert messages(order_of(DOOR, catalogue=bronze), restriction) == [
            "Opening D-1: interlocking-strip, zinc: no stock length is offered, and kits are left "
            "out; add a stock length."
        ]

    def test_without_bars_the_kits_must_do(self) -> None:
        assert messages(SMALL, Restriction(cutting=False)) == [
            "Opening W-1: interlocking-strip, bronze: cutting is left out, and no kit is offered; "
            "add a kit."
        ]

    def test_without_kits_with_fasteners_the_loose_packs_must_do(self) -> None:
        order = order_of(DOOR, catalogue=replace(CATALOGUE, fastener_packs=()))
        assert messages(order, Restriction(kits_with_fasteners=False)) == [
            "1,040 strip-nails are needed: no loose pack of them is offered, and no kit that may "
            "be used brings any; add a loose pack."
        ]

    def test_a_fixed_number_of_kits_asks_for_both_ways(self) -> None:
        order = order_of(DOOR, allow_cutting=False)
        assert messages(order, Restriction(kits_per_set=(4,))) == [
            "Opening D-1: interlocking-strip, zinc: cutting is not allowed; allow cutting "
            "(policy.allow_cutting)."
        ]
        assert messages(order, Restriction(kits_per_set=(10,))) == []
        bare_only = replace(CATALOGUE, kits=CATALOGUE.kits[:1])
        order = order_of(DOOR, catalogue=bare_only)
        assert messages(order, Restriction(bare_kits=False, kits_per_set=(4,))) == [
            "Opening D-1: interlocking-strip, zinc: no kit with fasteners is offered; add a kit "
            "with fasteners."
        ]
        assert messages(order, Restriction(bare_kits=False, kits_per_set=(0,))) == []
