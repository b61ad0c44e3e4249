"""Properties of install sheets and cutting diagrams, over drawn openings and spacings."""

from dataclasses import replace
from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.documents import count_positions, write_install_sheets
from optimiser.documents.positions import place_fasteners
from optimiser.domain.opening import OpeningKind
from optimiser.domain.order import Policy
from optimiser.rule_sets import known_rule_sets
from optimiser.takeoff import take_off
from optimiser.units.counts import fasteners_per_piece
from tests.ten_doors import TEN_DOORS

MM = 1_000_000
LENGTHS = st.integers(min_value=1, max_value=4_000 * MM)
WORKS = [
    (rule_set.id, kind)
    for rule_set in known_rule_sets()
    for kind in rule_set.kinds
    # A threshold alone needs an option of the opening.
    if rule_set.id != "threshold"
]


@given(
    length_nm=LENGTHS,
    spacing_nm=st.integers(min_value=10 * MM, max_value=500 * MM),
    end_nm=st.integers(min_value=0, max_value=100 * MM),
    fewest=st.integers(min_value=1, max_value=5),
)
def test_positions_lie_within_the_piece_and_keep_its_distances(
    length_nm: int, spacing_nm: int, end_nm: int, fewest: int
) -> None:
    """Count as the rule has it; end distance respected; spacing never exceeded; alike both ways."""
    placed = place_fasteners(length_nm, spacing_nm, end_nm, fewest)
    assert len(placed) == fasteners_per_piece(length_nm, spacing_nm, end_nm, fewest)
    assert all(0 <= position <= length_nm for position in placed)
    assert list(placed) == sorted(placed)
    assert all(
        abs(position + other - length_nm) <= 1
        for position, other in zip(placed, reversed(placed), strict=True)
    )
    if length_nm > 2 * end_nm and len(placed) > 1:
        assert (placed[0], placed[-1]) == (end_nm, length_nm - end_nm)
        assert all(after - before <= spacing_nm for before, after in pairwise(placed))


@settings(max_examples=60, deadline=None)
@given(
    work=st.sampled_from(WORKS),
    width_mm=st.integers(min_value=500, max_value=2_400),
    height_mm=st.integers(min_value=1_300, max_value=2_600),
    spacing_mm=st.integers(min_value=20, max_value=400),
    end_mm=st.integers(min_value=0, max_value=40),
    quantity=st.integers(min_value=1, max_value=9),
)
def test_sheet_agrees_with_the_takeoff(
    work: tuple[str, OpeningKind],
    width_mm: int,
    height_mm: int,
    spacing_mm: int,
    end_mm: int,
    quantity: int,
) -> None:
    """Every piece of the takeoff is on the sheet, and its positions are as many as it counts."""
    rule_set, kind = work
    opening = replace(
        TEN_DOORS.openings[0],
        kind=kind,
        rule_set=rule_set,
        width_nm=width_mm * MM,
        height_nm=height_mm * MM,
        quantity=quantity,
        fastener_spacing_nm=spacing_mm * MM,
    )
    policy = Policy(end_distance_nm=end_mm * MM)
    takeoff = take_off(replace(TEN_DOORS, openings=(opening,), policy=policy))
    (taken,) = takeoff.openings
    (sheet,) = write_install_sheets(takeoff, ())
    assert [(p.edge, p.member, p.length_nm, p.count) for p in sheet.pieces] == [
        (p.edge, p.member, p.length_nm, p.count) for p in taken.pieces
    ]
    placed = sum(piece.count * len(piece.positions_nm) for piece in sheet.pieces)
    assert placed == sum(count.per_piece for count in taken.fasteners)
    assert sum(count.at_positions for count in sheet.fasteners) == placed
    assert count_positions(takeoff) == sum(len(piece.positions_nm) for piece in sheet.pieces)
    for shown, piece in zip(sheet.pieces, taken.pieces, strict=True):
        assert all(0 <= position <= piece.length_nm for position in shown.positions_nm)
