"""Each rule of the re-proof of the terms of buying broken, one at a time.

The order and its sums, worked out by hand, are in `tests.every_term`.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest

from optimiser.check import check_plan
from optimiser.domain.buying import FreightBasis
from optimiser.domain.opening import Edge
from optimiser.domain.plan import Plan, RackSource
from optimiser.units.lengths import NM_PER_INCH
from tests.every_term import every_term
from tests.ten_doors import BRONZE

INCH = NM_PER_INCH
EXAMPLE = every_term()
PLAN = EXAMPLE.plan


def failures(plan: Plan) -> list[str]:
    """Return what is found, but for sums of money that no longer agree (`test_check_cost`)."""
    found = check_plan(EXAMPLE.order, EXAMPLE.takeoff, plan)
    return [line for line in found if not line.startswith(("Account", "Total"))]


def with_first(table: str, **changes: Any) -> Plan:
    """Return the plan with the first entry of one of its tables changed."""
    first, *rest = getattr(PLAN, table)
    changed: Plan = replace(PLAN, **{table: (replace(first, **changes), *rest)})
    return changed


def test_the_plan_made_by_hand_holds() -> None:
    assert failures(PLAN) == []


SHIPMENT = "Shipment of Larkmoor Strip & Seal"


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"weight_g": Fraction(8_700)}, [f"{SHIPMENT}, weight: 8700, expected 8740."]),
        ({"basis": FreightBasis.VALUE}, [f"{SHIPMENT}, basis: value, expected weight."]),
        ({"tier_from": Fraction(0)}, [f"{SHIPMENT}, tier: 0, expected 8000."]),
        ({"free_from": None}, [f"{SHIPMENT}, free from: None, expected 150.00."]),
        ({"free": True}, [f"{SHIPMENT}, free: True, expected False."]),
        ({"least_order": Decimal(40)}, [f"{SHIPMENT}, least order: 40, expected 50.00."]),
        (
            {"goods": Decimal("143.00")},
            [
                "Payable: 357.56, expected 357.06.",
                f"{SHIPMENT}, goods: 143.00, expected 143.5.",
            ],
        ),
        (
            {"charge": Decimal("9.50")},
            ["Payable: 357.56, expected 356.06.", f"{SHIPMENT}, charge: 19/2, expected 11."],
        ),
        (
            {"over_length": ()},
            [
                "Payable: 357.56, expected 351.56.",
                f"{SHIPMENT}, over-length: [], expected [(2032000000, Decimal('6.00'))].",
            ],
        ),
    ],
)
def test_a_shipment_that_is_not_as_offered_is_found(
    changes: dict[str, Any], expected: list[str]
) -> None:
    found = failures(with_first("shipments", **changes))
    assert sorted(found) == sorted(expected)


@pytest.mark.parametrize(
    ("table", "changes", "expected"),
    [
        (
            "offcuts_used",
            {"used": 3},
            ["Offcut R-1: 2 cut, 2 decided and 3 shown, expected the same number."],
        ),
        ("offcuts_used", {"material": BRONZE}, ["Offcut R-1: not as it is on the rack."]),
        ("offcuts_used", {"value": Decimal(1)}, ["Offcut R-1: not as it is on the rack."]),
        (
            "fasteners_used",
            {"used": 90},
            ["Fasteners on hand, strip-nail: 90 shown, expected 92 as decided."],
        ),
        (
            "fasteners_used",
            {"value": Decimal(0)},
            ["Fasteners on hand, strip-nail: not at the value that they have."],
        ),
        (
            "next_fasteners",
            {"count": 7},
            ["Fasteners on hand, strip-nail: 7 left, expected 8."],
        ),
        (
            "next_rack",
            {"kind": RackSource.DROP},
            [
                "Next rack, drop LS-84-Z of 2133600000 nm at 4.20: 1, expected 0.",
                "Next rack, whole-bar LS-84-Z of 2133600000 nm at 4.20: 0, expected 1.",
            ],
        ),
        (
            "next_rack",
            {"credit": Decimal("4.30")},
            [
                "Next rack, whole-bar LS-84-Z of 2133600000 nm at 4.20: 0, expected 1.",
                "Next rack, whole-bar LS-84-Z of 2133600000 nm at 4.30: 1, expected 0.",
            ],
        ),
        (
            "patterns",
            {"credit": Decimal("0.20")},
            ["Pattern P1, credit: 0.20, expected 0.0."],
        ),
    ],
)
def test_a_rack_that_does_not_add_up_is_found(
    table: str, changes: dict[str, Any], expected: list[str]
) -> None:
    found = failures(with_first(table, **changes))
    assert found == expected


RULE = EXAMPLE.order.policy.splices[0]
SPLICE = "Splice of 2540000000 nm in interlocking-strip, zinc"


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        (
            {"least_segment_nm": 30 * INCH},
            [f"{SPLICE}: a segment of 508000000 nm, expected 762000000 nm or more."],
        ),
        (
            {"position_step_nm": 40 * INCH},
            # A joint at 40 from one end, and one at 80.
            [],
        ),
        (
            {"position_step_nm": 30 * INCH},
            [
                f"{SPLICE}: a joint at 2032000000 nm, expected a whole number of 762000000 nm "
                "from one end.",
            ],
        ),
        (
            {"edges": frozenset({Edge.STRIKE_JAMB})},
            [
                f"Cut list, D-2 hinge jamb, jamb member, segment {number} of 2: a segment, "
                "expected none, since no rule allows a splice there."
                for number in (1, 2)
            ],
        ),
    ],
)
def test_a_splice_that_its_rule_does_not_allow_is_found(
    changes: dict[str, Any], expected: list[str]
) -> None:
    policy = replace(EXAMPLE.order.policy, splices=(replace(RULE, **changes),))
    order = replace(EXAMPLE.order, policy=policy)
    found = check_plan(order, EXAMPLE.takeoff, PLAN)
    assert [line for line in found if "plice" in line] == expected


def test_a_line_below_its_least_value_is_found() -> None:
    # Five bars at 9.50 come to 47.50 and three kits at 55.02 to 165.06; packs ask nothing.
    own, trade = EXAMPLE.order.catalogues
    bars = tuple(replace(bar, least_value=Decimal("47.60")) for bar in own.stock_lengths)
    kits = tuple(replace(kit, least_value=Decimal("165.07")) for kit in trade.kits)
    order = replace(
        EXAMPLE.order,
        catalogues=(replace(own, stock_lengths=bars), replace(trade, kits=kits)),
    )
    found = check_plan(order, EXAMPLE.takeoff, PLAN)
    assert [line for line in found if "value" in line] == [
        "Purchase LS-84-Z, value: 47.5, expected 47.60 or more.",
        "Kit TK-Z, value: 165.06, expected 165.07 or more.",
    ]
