"""Each rule of the re-proof of a trim list broken, one at a time. Prices are invented.

Two doors of 36 × 80 in are served by standard kits of 3 × 84 in and 2 × 40 in: of each door's
five pieces three jambs are trimmed from 84 to 80 in, and two heads from 40 to 36 in.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from optimiser.check import check_plan
from optimiser.domain.catalogue import StandardKit
from optimiser.domain.decision import Decision, Supply
from optimiser.domain.opening import Edge
from optimiser.domain.plan import Plan
from optimiser.domain.trimming import TrimLine
from optimiser.units.lengths import NM_PER_INCH
from tests.ten_doors import BRONZE, CATALOGUE, TEN_DOORS, ZINC, example_of, solution_of

INCH = NM_PER_INCH
KIT = StandardKit(
    sku="LT-84", material=ZINC, lengths=((84 * INCH, 3), (40 * INCH, 2)), price=Decimal("39.00")
)
ORDER = replace(
    TEN_DOORS,
    openings=(replace(TEN_DOORS.openings[0], quantity=2),),
    catalogues=(replace(CATALOGUE, standard_kits=(KIT,)),),
)
# 2 × 104 nails in four packs of 65: 2 × 39.00 + 4 × 2.25 = 87.00.
EXAMPLE = example_of(
    ORDER,
    solution_of(
        Decision(
            supplies=(Supply(kits=(), cut=0, standard_kits=(("LT-84", 2),)),),
            patterns=(),
            stock_lengths=(),
            packs=(("LN-1", 4),),
            standard_kits=(("LT-84", 2),),
        ),
        "87.00",
    ),
)
LINES = EXAMPLE.plan.openings[0].trim_list


def failures(*lines: TrimLine) -> tuple[str, ...]:
    opening = replace(EXAMPLE.plan.openings[0], trim_list=lines)
    plan: Plan = replace(EXAMPLE.plan, openings=(opening,))
    return check_plan(ORDER, EXAMPLE.takeoff, plan)


def test_a_trim_list_made_by_the_rule_holds() -> None:
    assert failures(*LINES) == ()
    assert [(line.label, line.held_nm, line.length_nm, line.pieces) for line in LINES] == [
        ("D-1 hinge jamb, jamb member", 84 * INCH, 80 * INCH, 2),
        ("D-1 strike jamb, frame member", 84 * INCH, 80 * INCH, 2),
        ("D-1 strike jamb, leaf member", 84 * INCH, 80 * INCH, 2),
        ("D-1 head, frame member", 40 * INCH, 36 * INCH, 2),
        ("D-1 head, leaf member", 40 * INCH, 36 * INCH, 2),
    ]


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (
            {"pieces": 1},
            ["Trimming for D-1, kit LT-84: 1 × 2032000000 nm at the hinge-jamb, expected 2."],
        ),
        (
            {"length_nm": 79 * INCH},
            [
                "Trimming for D-1, kit LT-84: 2 × 2006600000 nm at the hinge-jamb, expected 0.",
                "Trimming for D-1, kit LT-84: 0 × 2032000000 nm at the hinge-jamb, expected 2.",
            ],
        ),
        (
            {"edge": Edge.SILL},
            [
                "Trimming for D-1, kit LT-84: 0 × 2032000000 nm at the hinge-jamb, expected 2.",
                "Trimming for D-1, kit LT-84: 2 × 2032000000 nm at the sill, expected 0.",
            ],
        ),
        (
            {"held_nm": 40 * INCH},
            [
                "Trimming for D-1: 2032000000 nm from 1016000000 nm.",
                "Trimming for D-1: 6 of 1016000000 nm from kit LT-84, expected 4 at most.",
            ],
        ),
        (
            {"material": BRONZE},
            [
                "Trimming for D-1: interlocking-strip, bronze, expected interlocking-strip, zinc.",
            ],
        ),
    ],
)
def test_a_broken_trim_line_is_found(changes: dict[str, Any], expected: list[str]) -> None:
    assert list(failures(replace(LINES[0], **changes), *LINES[1:])) == expected
