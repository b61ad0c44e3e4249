"""The sentences on the terms of buying, word for word, from a plan worked by hand.

Harbour Row, both suppliers and all prices are invented.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimiser.domain.account import AccountKind, AccountLine
from optimiser.domain.buying import (
    BreakKind,
    CostRate,
    Freight,
    FreightBasis,
    FreightTier,
    KeptDrops,
    OverLength,
    PriceBreak,
)
from optimiser.domain.buying_reasons import (
    BreakReached,
    DiscountReached,
    DropsKept,
    LeastValueReached,
    PiecesSpliced,
    SetSubstituted,
    ShipmentPriced,
    StandardKitsTrimmed,
)
from optimiser.domain.catalogue import Catalogue, StockLength
from optimiser.domain.notices import BoughtBeyondUse
from optimiser.domain.order import Order, Policy
from optimiser.domain.plan import Plan
from optimiser.domain.rack import FastenersOnHand, Offcut, Rack
from optimiser.domain.reasons import CostAccounted, Reason
from optimiser.domain.shipment import Shipment
from optimiser.explain import sentence
from optimiser.planning import make_plan
from optimiser.units.lengths import NM_PER_INCH, LengthUnit
from tests.ten_doors import BRONZE, CATALOGUE, TEN_DOORS, ZINC

INCH = NM_PER_INCH


def order() -> Order:
    """Return ten doors, 30 × 80 in and 20 × 36 in, bought of two suppliers."""
    bar = replace(
        CATALOGUE.stock_lengths[0],
        unit_weight_g=Fraction(900),
        breaks=(PriceBreak(from_quantity=20, price=Decimal("19.90")),),
    )
    strip_and_seal = replace(
        CATALOGUE,
        kits=(),
        stock_lengths=(bar,),
        fastener_packs=(replace(CATALOGUE.fastener_packs[0], unit_weight_g=Fraction(30)),),
        freight=Freight(
            basis=FreightBasis.WEIGHT,
            tiers=(
                FreightTier(from_amount=Fraction(0), charge=Decimal("9.50")),
                FreightTier(from_amount=Fraction(20_000), charge=Decimal("24.00")),
            ),
            over_length=(OverLength(longer_than_nm=90 * INCH, surcharge=Decimal("12.00")),),
            free_from=Decimal(1500),
        ),
        least_order=Decimal(50),
    )
    trade_counter = Catalogue(
        supplier="Larkmoor Trade Counter",
        currency="USD",
        stock_lengths=(
            StockLength(
                sku="TC-120-Z", material=ZINC, length_nm=120 * INCH, price=Decimal("27.00")
            ),
        ),
    )
    return replace(
        TEN_DOORS,
        catalogues=(strip_and_seal, trade_counter),
        rack=Rack(
            offcuts=(
                Offcut(
                    id="R-1", material=ZINC, length_nm=40 * INCH, quantity=3, value=Decimal("2.00")
                ),
            ),
            fasteners=(FastenersOnHand(fastener="strip-nail", count=100, value=Decimal("0.01")),),
        ),
        policy=Policy(
            cut_charge=Decimal("0.50"),
            keep_drops=KeptDrops(
                least_nm=12 * INCH, credit=CostRate(price=Decimal("0.10"), per_nm=INCH)
            ),
        ),
    )


@pytest.fixture(scope="module")
def plan() -> Plan:
    return make_plan(order())


def told(plan: Plan, code: str) -> list[str]:
    return [sentence(r, LengthUnit.INCH, "USD") for r in plan.reasons if r.code == code]


def test_a_break_says_what_it_saves(plan: Plan) -> None:
    # 21 × (21.90 − 19.90) = 42.00.
    assert told(plan, "break-reached") == [
        "LS-96-Z: 21 bought, every one at the price of the break reached: 21 at USD 19.90; "
        "USD 42.00 less than at USD 21.90 each."
    ]


def test_each_shipment_shows_its_sum(plan: Plan) -> None:
    # 21 × 19.90 + 15 × 2.25 = 417.90 + 33.75 = 451.65; 21 × 900 g + 15 × 30 g = 19.35 kg.
    assert told(plan, "shipment-priced") == [
        "Larkmoor Strip & Seal: goods USD 451.65 + freight USD 9.50 for 42.65… lb + USD 12.00 "
        "for anything longer than 90 in = USD 473.15. Freight is free from USD 1,500.00 of goods "
        "on: USD 1,048.35 short of it. The supplier takes orders from USD 50.00 of goods on.",
        "Larkmoor Trade Counter: goods USD 324.00, and no freight.",
    ]


def test_what_is_taken_from_the_rack_is_told(plan: Plan) -> None:
    assert told(plan, "offcut-used") == [
        "From the rack: 3 of 3 of offcut R-1, 40 in of interlocking-strip, zinc, counted at "
        "USD 2.00 each, USD 6.00."
    ]
    assert told(plan, "fasteners-on-hand-used") == [
        "Strip-nails: 65 of 100 on hand are used, counted at USD 0.01 each, USD 0.65."
    ]


def test_kept_drops_are_told_with_their_credit(plan: Plan) -> None:
    # 4.00 + 21 × 1.60 + 3 × 1.20 = 41.20.
    assert told(plan, "drops-kept") == [
        "Kept for the next time, from 12 in on, at USD 0.10 per 1 in, each credit rounded down: "
        "interlocking-strip, zinc, 1 × 40 in at USD 4.00, 21 × 16 in at USD 1.60, 3 × 12 in at "
        "USD 1.20 = USD 41.20."
    ]


def test_the_account_tells_what_is_paid_from_what_is_weighed(plan: Plan) -> None:
    assert told(plan, "cuts-charged") == ["Cutting: 50 pieces at USD 0.50 = USD 25.00."]
    assert told(plan, "cost-accounted") == [
        "Stock lengths USD 741.90 + loose packs USD 33.75 + freight USD 9.50 + over-length "
        "USD 12.00 = USD 797.15 to pay. Weighed with it: cut charges USD 25.00 + from the rack "
        "USD 6.65 − credit for drops USD 41.20; the cost is USD 787.60."
    ]
    assert plan.payable == Decimal("797.15")
    assert {line.kind: line.amount for line in plan.account}[AccountKind.DROP_CREDIT] == Decimal(
        "-41.20"
    )


def test_buying_of_one_supplier_only_is_an_alternative_for_each(plan: Plan) -> None:
    told_last = [sentence(other, LengthUnit.INCH, "USD") for other in plan.alternatives][-2:]
    assert told_last == [
        "Everything from Larkmoor Strip & Seal only: USD 804.30, USD 16.70 more than the plan.",
        "Everything from Larkmoor Trade Counter only: not possible. 1,040 strip-nails are needed: "
        "no loose pack of them is offered, and no kit that may be used brings any, and 100 are on "
        "hand; add a loose pack.",
    ]


@pytest.mark.parametrize(
    ("reason", "expected"),
    [
        (
            BreakReached(
                sku="LS-96-Z",
                quantity=21,
                price=Decimal("21.90"),
                break_kind=BreakKind.INCREMENTAL,
                tiers=((19, Decimal("21.90")), (2, Decimal("19.90"))),
                saved=Decimal("4.00"),
            ),
            "LS-96-Z: 21 bought, each at the price of its own break: 19 at USD 21.90 + 2 at "
            "USD 19.90; USD 4.00 less than at USD 21.90 each.",
        ),
        (
            LeastValueReached(
                sku="LS-96-Z",
                quantity=1200,
                value=Decimal("2628.00"),
                least_value=Decimal("2500.00"),
            ),
            "LS-96-Z: 1,200 bought for USD 2,628.00; it is sold from USD 2,500.00 on.",
        ),
        (
            ShipmentPriced(
                shipment=Shipment(
                    supplier="Larkmoor Strip & Seal",
                    goods=Decimal("180.00"),
                    basis=FreightBasis.VALUE,
                    tier_from=Fraction(100),
                    free_from=Decimal("150.00"),
                    free=True,
                    over_length=((96 * INCH, Decimal("6.00")),),
                )
            ),
            "Larkmoor Strip & Seal: goods USD 180.00 + USD 6.00 for anything longer than 96 in = "
            "USD 186.00. Freight is free from USD 150.00 of goods on.",
        ),
        (
            ShipmentPriced(
                shipment=Shipment(
                    supplier="Larkmoor Strip & Seal",
                    goods=Decimal("180.00"),
                    basis=FreightBasis.VALUE,
                    tier_from=Fraction(100),
                    charge=Decimal("7.50"),
                )
            ),
            "Larkmoor Strip & Seal: goods USD 180.00 + freight USD 7.50 by value, the tier from "
            "USD 100.00 on = USD 187.50.",
        ),
        (
            DropsKept(
                material=ZINC,
                least_nm=12 * INCH,
                rate=Decimal("0.10"),
                per_nm=INCH,
                # The second is the rest of an offcut of 60 in that was counted at 3.00.
                lengths=((40 * INCH, 1, Decimal("4.00")), (24 * INCH, 2, Decimal("1.20"))),
                amount=Decimal("6.40"),
            ),
            "Kept for the next time, from 12 in on, at USD 0.10 per 1 in, each credit rounded "
            "down: interlocking-strip, zinc, 1 × 40 in at USD 4.00, 2 × 24 in at USD 1.20 = "
            "USD 6.40. The rest of an offcut earns no more than its own value for its length.",
        ),
        (
            CostAccounted(
                stock_lengths=Decimal(0),
                kits=Decimal(0),
                fastener_packs=Decimal(0),
                others=(AccountLine(kind=AccountKind.RACK, amount=Decimal("2.00")),),
                payable=Decimal(0),
                total=Decimal("2.00"),
            ),
            "Nothing to pay. Weighed with it: from the rack USD 2.00; the cost is USD 2.00.",
        ),
        (
            CostAccounted(
                stock_lengths=Decimal("40.00"),
                kits=Decimal(0),
                fastener_packs=Decimal(0),
                others=(AccountLine(kind=AccountKind.DROP_CREDIT, amount=Decimal("-1.50")),),
                payable=Decimal("40.00"),
                total=Decimal("38.50"),
            ),
            "Stock lengths USD 40.00 to pay. Weighed with it: less credit for drops USD 1.50; the "
            "cost is USD 38.50.",
        ),
        (
            BoughtBeyondUse(sku="LS-96-Z", bought=15, cut=6, sold_in_multiples_of=5),
            "LS-96-Z: 15 bought, 6 cut, 9 left whole: fewer would cost no less on its terms.",
        ),
        (
            DiscountReached(
                sku="LK-Z",
                kits=12,
                from_quantity=10,
                percent=Decimal("7.5"),
                prices=(
                    (Decimal("54.05"), Decimal("50.00")),
                    (Decimal("62.35"), Decimal("57.67")),
                ),
            ),
            "Kit LK-Z: 12 kits of all sizes together, 10 or more, so each costs 7.5 % less: "
            "USD 50.00 instead of USD 54.05, USD 57.67 instead of USD 62.35.",
        ),
        (
            PiecesSpliced(
                marks=("D-2",),
                material=ZINC,
                length_nm=100 * INCH,
                segments_nm=(60 * INCH, 40 * INCH),
                pieces=2,
                cost=Decimal("1.50"),
                amount=Decimal("3.00"),
            ),
            "D-2: 2 pieces of 100 in of interlocking-strip, zinc are spliced, each of 60 in + "
            "40 in, at USD 1.50 a splice = USD 3.00.",
        ),
        (
            SetSubstituted(
                marks=("D-1",),
                wanted=ZINC,
                instead=BRONZE,
                openings=3,
                preference=Decimal("4.00"),
                amount=Decimal("12.00"),
            ),
            "D-1: 3 openings in interlocking-strip, bronze instead of interlocking-strip, zinc, "
            "weighed at USD 4.00 each, USD 12.00, which nobody is paid.",
        ),
        (
            StandardKitsTrimmed(
                marks=("D-1", "D-2"),
                sku="LT-1",
                lengths=((84 * INCH, 3), (36 * INCH, 2)),
                used=2,
                bought=3,
                trimmed_nm=24 * INCH,
            ),
            "D-1, D-2: standard kit LT-1, 3 × 84 in + 2 × 36 in, for 2 openings, trimmed on site "
            "by 24 in in all; 1 left whole.",
        ),
    ],
)
def test_other_terms_are_told_word_for_word(reason: Reason, expected: str) -> None:
    assert sentence(reason, LengthUnit.INCH, "USD") == expected
