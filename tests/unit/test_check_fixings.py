"""The re-proof of fasteners where an opening takes several works, each with its own spacing."""

from dataclasses import replace
from typing import Any

from optimiser.check.demand import check_demand
from optimiser.domain.opening import Opening, OpeningKind, Threshold
from optimiser.domain.takeoff import Takeoff
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH
from tests.ten_doors import TEN_DOORS

DOOR = Opening(
    mark="D-1",
    kind=OpeningKind.SINGLE_DOOR,
    width_nm=36 * NM_PER_INCH,
    height_nm=80 * NM_PER_INCH,
    also=("threshold", "sweep"),
    threshold=Threshold.PLAIN,
    finish="zinc",
    fastener_spacing_nm=3 * NM_PER_INCH,
)
ORDER = replace(TEN_DOORS, openings=(DOOR,))
TAKEOFF = take_off(ORDER)


def failures(takeoff: Takeoff) -> tuple[str, ...]:
    return tuple(check_demand(ORDER, takeoff))


def with_count(fastener: str, **changes: Any) -> Takeoff:
    (taken,) = TAKEOFF.openings
    fasteners = tuple(
        replace(count, **changes) if count.pool.fastener == fastener else count
        for count in taken.fasteners
    )
    return replace(TAKEOFF, openings=(replace(taken, fasteners=fasteners),))


def test_several_works_under_one_mark_hold() -> None:
    assert failures(TAKEOFF) == ()


def test_spacing_of_a_rules_own_fastener_is_that_of_its_piece() -> None:
    # By hand: sweep 35 7/8 in at 10 in: 3.59, so 4; by piece 33.875 ÷ 10 = 3.39, so 4, + 1 = 5.
    assert failures(with_count("sweep-screw", spacing_nm=10 * NM_PER_INCH)) == (
        "Takeoff of D-1, sweep-screw: spacing 254000000 nm, expected 203200000 nm.",
        "Takeoff of D-1, sweep-screw: 5 by running length, expected 4.",
        "Takeoff of D-1, sweep-screw: 6 by piece, expected 5.",
    )


def test_end_distance_and_fewest_fasteners_are_those_of_the_piece() -> None:
    assert failures(with_count("threshold-screw", end_distance_nm=NM_PER_INCH)) == (
        "Takeoff of D-1, threshold-screw: end distance 25400000 nm and at least 3, expected "
        "50800000 nm and 3.",
    )


def test_strip_that_ignores_the_installers_spacing_is_noticed() -> None:
    (taken,) = TAKEOFF.openings
    pieces = tuple(
        replace(piece, spacing_nm=2 * NM_PER_INCH) if piece.member == "jamb member" else piece
        for piece in taken.pieces
    )
    found = failures(replace(TAKEOFF, openings=(replace(taken, pieces=pieces),)))
    assert found == (
        "Takeoff of D-1: fasteners are counted for strip-nail; sweep-screw; threshold-screw, "
        "expected strip-nail; strip-nail; sweep-screw; threshold-screw.",
    )
    all_off = tuple(
        replace(piece, spacing_nm=2 * NM_PER_INCH) if piece.fastener == "strip-nail" else piece
        for piece in taken.pieces
    )
    found = failures(replace(TAKEOFF, openings=(replace(taken, pieces=all_off),)))
    assert found[0] == (
        "Takeoff of D-1, hinge-jamb, jamb member: spacing 50800000 nm, expected 76200000 nm."
    )
