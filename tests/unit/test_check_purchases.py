"""Each rule of the re-proof broken, one at a time, on a good plan made by hand: purchases.

The example is `tests.ten_doors.small`. 655 nails are needed; a kit with nails brings 260 and
seven loose packs 455. Prices are invented.
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from optimiser.check import check_plan
from optimiser.domain.catalogue import KitPrice
from optimiser.domain.decision import Decision, Supply
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from tests.ten_doors import BRONZE, small

EXAMPLE = small()
ORDER, TAKEOFF, PLAN = EXAMPLE.order, EXAMPLE.takeoff, EXAMPLE.plan
CATALOGUE = ORDER.catalogue
NAILS = PLAN.fasteners[0]


def failures(order: Order = ORDER, plan: Plan = PLAN) -> tuple[str, ...]:
    return check_plan(order, TAKEOFF, plan)


def with_purchase(name: str, /, **changes: Any) -> Plan:
    lines = tuple(replace(line, **changes) if line.sku == name else line for line in PLAN.purchases)
    return replace(PLAN, purchases=lines)


def with_offer(name: str, /, **changes: Any) -> Order:
    return replace(
        ORDER,
        catalogues=(
            replace(
                CATALOGUE,
                stock_lengths=tuple(
                    replace(stock, **changes) if stock.sku == name else stock
                    for stock in CATALOGUE.stock_lengths
                ),
                kits=tuple(
                    replace(kit, **changes) if kit.sku == name else kit for kit in CATALOGUE.kits
                ),
                fastener_packs=tuple(
                    replace(pack, **changes) if pack.sku == name else pack
                    for pack in CATALOGUE.fastener_packs
                ),
            ),
        ),
    )


@pytest.mark.parametrize(
    ("name", "changes", "expected"),
    [
        (
            "LS-120-Z",
            {"amount": Decimal("274.01")},
            ("Purchase LS-120-Z, amount: 274.01, expected 274.",),
        ),
        (
            "LS-120-Z",
            {"quantity": 15, "amount": Decimal("411.00")},
            (
                "Purchase LS-120-Z, quantity: 15, expected 10 as decided.",
                "Shipment of Larkmoor Strip & Seal, goods: 609.95, expected 746.95.",
                "Account, stock-length: 464.30, expected 601.3.",
                "Total: 609.95, expected 746.95.",
            ),
        ),
        (
            "LS-120-Z",
            {"quantity": 0, "amount": Decimal(0)},
            (
                "Purchase LS-120-Z, quantity: 0, expected 1 or more.",
                "Purchase LS-120-Z, quantity: 0, expected 10 as decided.",
                "Purchase LS-120-Z, quantity: 0, expected 6 or more for its cuts.",
                "Shipment of Larkmoor Strip & Seal, goods: 609.95, expected 335.95.",
                "Account, stock-length: 464.30, expected 190.3.",
                "Total: 609.95, expected 335.95.",
            ),
        ),
        (
            "LS-120-Z",
            {"unit_price": Decimal(27), "amount": Decimal(270)},
            (
                "Purchase LS-120-Z, unit price: 27, expected 27.4.",
                "Shipment of Larkmoor Strip & Seal, goods: 609.95, expected 605.95.",
                "Account, stock-length: 464.30, expected 460.3.",
                "Total: 609.95, expected 605.95.",
            ),
        ),
        (
            "LS-120-Z",
            {"material": BRONZE, "length_nm": 1, "fastener": "brad"},
            (
                "Purchase LS-120-Z, material: interlocking-strip, bronze, expected "
                "interlocking-strip, zinc.",
                "Purchase LS-120-Z, length: 1, expected 3048000000.",
                "Purchase LS-120-Z, fastener: brad, expected None.",
            ),
        ),
        (
            "LS-120-Z",
            {"sku": "LS-1"},
            (
                "Purchase LS-1: not in the catalogue.",
                "Purchase LS-120-Z: it has 0 lines, expected 1.",
                "Purchase LS-120-Z, quantity: 0, expected 6 or more for its cuts.",
                "Shipment of Larkmoor Strip & Seal, goods: 609.95, expected 335.95.",
            ),
        ),
        (
            "LN-1",
            {"fastener": "brad", "length_nm": 4},
            (
                "Purchase LN-1, length: 4, expected None.",
                "Purchase LN-1, fastener: brad, expected strip-nail.",
            ),
        ),
        (
            "LK-Z",
            {"quantity": 2, "amount": Decimal("124.70")},
            (
                "Purchase LK-Z for D-1, D-2, quantity: 2, expected 1.",
                "Shipment of Larkmoor Strip & Seal, goods: 609.95, expected 672.3.",
                "Account, kit: 129.90, expected 192.25.",
                "Total: 609.95, expected 672.3.",
            ),
        ),
        (
            "LK-Z",
            {"unit_price": Decimal("62.36"), "amount": Decimal("62.36")},
            (
                "Purchase LK-Z for D-1, D-2, unit price: 62.36, expected 62.35.",
                "Shipment of Larkmoor Strip & Seal, goods: 609.95, expected 609.96.",
                "Account, kit: 129.90, expected 129.91.",
                "Total: 609.95, expected 609.96.",
            ),
        ),
        (
            "LK-Z",
            {"packs_per_kit": 0},
            ("Purchase LK-Z for D-1, D-2, packs per kit: 0, expected None.",),
        ),
        (
            "LK-Z-N",
            {"packs_per_kit": 3},
            ("Purchase LK-Z-N for D-1, D-2, packs per kit: 3, expected 4.",),
        ),
        (
            "LK-Z-N",
            {"fastener": "brad", "material": BRONZE, "lengths": ()},
            (
                "Purchase LK-Z-N for D-1, D-2, material: interlocking-strip, bronze, expected "
                "interlocking-strip, zinc.",
                "Purchase LK-Z-N for D-1, D-2, lengths: [], expected [(914400000, 2), "
                "(2032000000, 3)].",
                "Purchase LK-Z-N for D-1, D-2, fastener: brad, expected strip-nail.",
            ),
        ),
        (
            "LK-Z-N",
            {"made_for": ("D-1",)},
            (
                "Purchase LK-Z-N for D-1, D-2: it has 0 lines, expected 1.",
                "Purchase LK-Z-N for D-1: it was not decided, expected no line.",
            ),
        ),
    ],
)
def test_a_purchase_that_is_off_is_noticed(
    name: str, changes: dict[str, Any], expected: tuple[str, ...]
) -> None:
    assert failures(plan=with_purchase(name, **changes)) == expected


def test_a_purchase_made_twice_or_not_at_all_is_noticed() -> None:
    twice = failures(plan=replace(PLAN, purchases=(*PLAN.purchases, PLAN.purchases[3])))
    assert twice[0] == "Purchase LK-Z for D-1, D-2: it has 2 lines, expected 1."
    lost = failures(plan=replace(PLAN, purchases=PLAN.purchases[:-1]))
    assert lost[0] == "Purchase LN-1: it has 0 lines, expected 1."


def test_a_purchase_that_is_no_multiple_is_noticed() -> None:
    assert failures(order=with_offer("LS-120-Z", sold_in_multiples_of=3)) == (
        "Purchase LS-120-Z, quantity: 10, expected a multiple of 3.",
    )
    assert failures(order=with_offer("LN-1", sold_in_multiples_of=2)) == (
        "Purchase LN-1, quantity: 7, expected a multiple of 2.",
    )


def test_a_kit_price_is_rounded_half_a_cent_up() -> None:
    # 312 in at 0.001 per 12 in is 0.026, and 5 × 0.0018 is 0.009: 0.035, so 0.04.
    price = KitPrice(per_length=Decimal("0.001"), per_piece=Decimal("0.0018"))
    example = small(with_offer("LK-Z", price=price))
    assert example.plan.purchases[3].unit_price == Decimal("0.04")
    found = check_plan(example.order, example.takeoff, example.plan)
    assert not [line for line in found if "unit price" in line]
    cheaper = replace(example.plan.purchases[3], unit_price=Decimal("0.03"))
    lines = tuple(cheaper if line.sku == "LK-Z" else line for line in example.plan.purchases)
    assert "Purchase LK-Z for D-1, D-2, unit price: 0.03, expected 0.04." in check_plan(
        example.order, example.takeoff, replace(example.plan, purchases=lines)
    )


def test_a_kit_bought_on_paper_alone_is_noticed() -> None:
    decision = Decision(
        supplies=(PLAN.decision.supplies[0], Supply(kits=(("LK-Q", 5),), cut=0)),
        patterns=PLAN.decision.patterns,
        stock_lengths=PLAN.decision.stock_lengths,
        packs=PLAN.decision.packs,
    )
    found = failures(plan=replace(PLAN, decision=decision))
    assert "Purchase LK-Q for D-1, D-2: it has 0 lines, expected 1." in found
    assert "Purchase LK-Z for D-1, D-2: it was not decided, expected no line." in found
