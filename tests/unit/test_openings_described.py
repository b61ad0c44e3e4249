"""One line says what an opening is: how many, of what kind, what its size measures, what else."""

from dataclasses import replace
from typing import Any

import pytest

from optimiser.domain.opening import OpeningKind, SizeOf
from optimiser.render.openings import describe_opening
from optimiser.units.lengths import NM_PER_INCH, LengthUnit
from tests.ten_doors import TEN_DOORS


@pytest.mark.parametrize(
    ("changes", "line"),
    [
        ({}, "10 single doors, opening 36 in × 80 in, zinc"),
        (
            {"kind": OpeningKind.DUTCH_DOOR, "lower_height_nm": 42 * NM_PER_INCH, "quantity": 1},
            "1 Dutch door, opening 36 in × 80 in, lower leaf 42 in, zinc",
        ),
        (
            {"kind": OpeningKind.DOUBLE_HUNG_WINDOW, "lower_height_nm": 30 * NM_PER_INCH},
            "10 double-hung windows, opening 36 in × 80 in, lower sash 30 in, zinc",
        ),
        (
            {"kind": OpeningKind.PAIR_OF_DOORS, "size_of": SizeOf.LEAF},
            "10 pairs of doors, each leaf 36 in × 80 in, zinc",
        ),
        (
            {
                "kind": OpeningKind.PAIR_OF_DOORS,
                "size_of": SizeOf.LEAF,
                "inactive_leaf_width_nm": 18 * NM_PER_INCH,
                "remarks": "Garden side",
            },
            "10 pairs of doors, active leaf 36 in × 80 in, inactive leaf 18 in, zinc. Garden side",
        ),
    ],
)
def test_an_opening_is_described_with_what_was_stated(changes: dict[str, Any], line: str) -> None:
    opening = replace(TEN_DOORS.openings[0], **changes)
    assert describe_opening(opening, LengthUnit.INCH) == line
