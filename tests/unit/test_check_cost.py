"""Each rule of the re-proof broken, one at a time, on a good plan made by hand: cost.

The example is `tests.ten_doors.small`, 609.95 in all. Prices are invented.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from optimiser.check import check_plan
from optimiser.domain.plan import Alternative, AlternativeOutcome, Plan
from optimiser.units.lengths import LengthUnit
from tests.ten_doors import small

EXAMPLE = small()
PLAN = EXAMPLE.plan


def failures(plan: Plan) -> tuple[str, ...]:
    return check_plan(EXAMPLE.order, EXAMPLE.takeoff, plan)


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({"currency": "EUR"}, ("Plan, currency: EUR, expected USD.",)),
        ({"supplier": "Nobody"}, ("Plan, supplier: Nobody, expected Larkmoor Strip & Seal.",)),
        ({"reference": ""}, ("Plan, reference: , expected Harbour Row, small.",)),
        ({"unit": LengthUnit.MILLIMETRE}, ("Plan, unit: mm, expected in.",)),
        (
            {"account": PLAN.account[1:]},
            ("Account, stock-length: it stands 0 times, expected once.",),
        ),
        (
            {"account": (*PLAN.account, PLAN.account[0])},
            ("Account, stock-length: it stands 2 times, expected once.",),
        ),
        (
            {
                "account": (
                    replace(PLAN.account[0], amount=Decimal("464.31")),
                    *PLAN.account[1:],
                )
            },
            ("Account, stock-length: 464.31, expected 464.3.",),
        ),
        (
            {"total": Decimal("609.950001")},
            (
                "Total: 609.950001, expected 609.95.",
                "Certificate, cost: 609.95, expected the total, 609.950001.",
            ),
        ),
        (
            {"certificate": replace(PLAN.certificate, cost=Decimal("609.94"))},
            ("Certificate, cost: 609.94, expected the total, 609.95.",),
        ),
        (
            {"certificate": replace(PLAN.certificate, lower_bound=Decimal("609.96"))},
            ("Certificate, lower bound: 609.96, expected 609.95 at most.",),
        ),
        (
            {
                "certificate": replace(
                    PLAN.certificate, aims=(*PLAN.certificate.aims, PLAN.certificate.aims[0])
                )
            },
            ("Certificate, cost: it stands 2 times, expected once.",),
        ),
    ],
)
def test_a_sum_of_money_that_is_off_is_noticed(
    changes: dict[str, Any], expected: tuple[str, ...]
) -> None:
    assert failures(replace(PLAN, **changes)) == expected


@pytest.mark.parametrize(
    ("outcome", "cost", "extra", "expected"),
    [
        (AlternativeOutcome.PRICED, "620.00", "10.05", ()),
        (
            AlternativeOutcome.PRICED,
            "620.00",
            "10.00",
            ("Alternative no-kits, extra cost: 10.00, expected 10.05.",),
        ),
        (
            AlternativeOutcome.PRICED,
            None,
            None,
            ("Alternative no-kits: it has no price, expected one: priced.",),
        ),
        (
            AlternativeOutcome.NOT_POSSIBLE,
            "620.00",
            None,
            ("Alternative no-kits: it has a price, expected none: not-possible.",),
        ),
        (
            AlternativeOutcome.NOT_SOLVED_IN_TIME,
            None,
            "10.05",
            ("Alternative no-kits: it has a price, expected none: not-solved-in-time.",),
        ),
        (AlternativeOutcome.NOT_POSSIBLE, None, None, ()),
        (
            AlternativeOutcome.SAME_AS_PLAN,
            "620.00",
            "10.05",
            ("Alternative no-kits: 620.00, expected the total, 609.95.",),
        ),
        (AlternativeOutcome.PRICED, "600.00", "-9.95", ()),
        (
            AlternativeOutcome.PRICED,
            "599.99",
            "-9.96",
            ("Alternative no-kits: 599.99, below the lower bound, expected 600.00 or more.",),
        ),
    ],
)
def test_an_alternative_that_is_off_is_noticed(
    outcome: AlternativeOutcome, cost: str | None, extra: str | None, expected: tuple[str, ...]
) -> None:
    other = Alternative(
        code="no-kits",
        outcome=outcome,
        cost=None if cost is None else Decimal(cost),
        extra_cost=None if extra is None else Decimal(extra),
    )
    assert failures(replace(PLAN, alternatives=(other,))) == expected
