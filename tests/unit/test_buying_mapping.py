"""Each term of buying of the wire read into that of the domain, exactly."""

import json
from decimal import Decimal
from fractions import Fraction
from typing import Any

from optimiser.domain.buying import (
    BreakKind,
    CostRate,
    Freight,
    FreightBasis,
    FreightTier,
    KeptDrops,
    KitDiscount,
    OverLength,
    PriceBreak,
    WeightRate,
)
from optimiser.domain.catalogue import (
    Catalogue,
    Kit,
    Material,
    PackContents,
    StandardKit,
    StandardKitFasteners,
    StockLength,
)
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order
from optimiser.domain.order_terms import is_plain
from optimiser.domain.rack import FastenersOnHand, Offcut, Rack
from optimiser.units.lengths import NM_PER_INCH
from service.mapping.reading import read_order
from service.wire.order import Order as WireOrder
from service.wire.order import TakeoffOrder
from tests.harbour_row import Wire, ten_doors

INCH = NM_PER_INCH
ZINC = Material("interlocking-strip", "zinc")
BRONZE = Material("interlocking-strip", "bronze")


def read(order: Wire) -> Order:
    return read_order(json.dumps(order).encode(), WireOrder)


def read_catalogue(**terms: Any) -> Catalogue:
    order = ten_doors()
    order["catalogues"][0].update(terms)
    return read(order).catalogues[0]


def read_stock(**terms: Any) -> StockLength:
    order = ten_doors()
    order["catalogues"][0]["stock_lengths"][0].update(terms)
    return read(order).catalogues[0].stock_lengths[0]


def read_kit(**terms: Any) -> Kit:
    order = ten_doors()
    order["catalogues"][0]["kits"][0].update(terms)
    return read(order).catalogues[0].kits[0]


def test_an_order_that_states_no_terms_has_none() -> None:
    assert is_plain(read(ten_doors()))


def test_multiples_limits_and_bundles_of_a_stock_length() -> None:
    stock = read_stock(
        sold_in_multiples_of=5,
        least_quantity=10,
        least_value="75.50",
        available=40,
        bars_per_unit=6,
    )
    assert stock.least_value == Decimal("75.50")
    assert (
        stock.sold_in_multiples_of,
        stock.least_quantity,
        stock.available,
        stock.bars_per_unit,
    ) == (5, 10, 40, 6)


def test_price_breaks_of_both_kinds() -> None:
    breaks = [{"from_quantity": 12, "price": "10.90"}, {"from_quantity": 48, "price": "9.955"}]
    steps = (
        PriceBreak(from_quantity=12, price=Decimal("10.90")),
        PriceBreak(from_quantity=48, price=Decimal("9.955")),
    )
    stock = read_stock(breaks=breaks)
    assert (stock.break_kind, stock.breaks) == (BreakKind.ALL_UNITS, steps)
    stock = read_stock(breaks=breaks, break_kind="incremental")
    assert (stock.break_kind, stock.breaks) == (BreakKind.INCREMENTAL, steps)


def test_the_weight_of_a_unit_is_exact() -> None:
    # 1 lb = 453.59237 g exactly; 1 3/4 lb = 793.7866475 g.
    assert read_stock(unit_weight="1 3/4 lb").unit_weight_g == Fraction("793.7866475")
    assert read_stock().unit_weight_g is None


def test_terms_of_a_fastener_pack() -> None:
    order = ten_doors()
    order["catalogues"][0]["fastener_packs"][0].update(
        sold_in_multiples_of=2,
        least_quantity=4,
        available=100,
        breaks=[{"from_quantity": 10, "price": "2.60"}],
        unit_weight="35 g",
    )
    pack = read(order).catalogues[0].fastener_packs[0]
    assert (pack.sold_in_multiples_of, pack.least_quantity, pack.available) == (2, 4, 100)
    assert pack.breaks == (PriceBreak(from_quantity=10, price=Decimal("2.60")),)
    assert pack.unit_weight_g == 35


def test_limits_discounts_and_weight_of_a_kit() -> None:
    kit = read_kit(
        least_quantity=2,
        available=8,
        discounts=[
            {"from_quantity": 5, "percent": "2.5"},
            {"from_quantity": 10, "percent": 5},
        ],
        weight={"weight": "90 g", "length": "1 ft"},
    )
    assert (kit.least_quantity, kit.available) == (2, 8)
    assert kit.discounts == (
        KitDiscount(from_quantity=5, percent=Decimal("2.5")),
        KitDiscount(from_quantity=10, percent=Decimal(5)),
    )
    assert kit.weight == WeightRate(grams=Fraction(90), per_nm=12 * INCH)


def test_a_standard_kit_has_each_length_once_the_longest_first() -> None:
    catalogue = read_catalogue(
        standard_kits=[
            {
                "sku": "LT-3068",
                "product": "interlocking-strip",
                "finish": "zinc",
                "lengths": [
                    {"length": "37 in", "count": 2},
                    {"length": "7 ft", "count": 2},
                    {"length": 84},
                ],
                "price": "38.50",
                "fasteners": {"fastener": "strip-nail", "contents": {"count": 65}, "packs": 4},
                "available": 3,
                "unit_weight": "2 kg",
            }
        ]
    )
    assert catalogue.standard_kits == (
        StandardKit(
            sku="LT-3068",
            material=ZINC,
            lengths=((84 * INCH, 3), (37 * INCH, 2)),
            price=Decimal("38.50"),
            fasteners=StandardKitFasteners(
                fastener="strip-nail",
                contents=PackContents(nominal=Fraction(65), basis="65 per pack"),
                packs=4,
            ),
            available=3,
            unit_weight_g=Fraction(2000),
        ),
    )


def test_freight_by_value_with_surcharges_and_a_free_threshold() -> None:
    catalogue = read_catalogue(
        freight={
            "basis": "value",
            "tiers": [
                {"from_value": "0", "charge": "12.00"},
                {"from_value": "250.50", "charge": "20"},
            ],
            "over_length": [{"longer_than": "8 ft", "surcharge": "35.00"}],
            "free_from": "500.00",
        },
        least_order="50.00",
    )
    assert catalogue.freight == Freight(
        basis=FreightBasis.VALUE,
        tiers=(
            FreightTier(from_amount=Fraction(0), charge=Decimal("12.00")),
            FreightTier(from_amount=Fraction(501, 2), charge=Decimal(20)),
        ),
        over_length=(OverLength(longer_than_nm=96 * INCH, surcharge=Decimal("35.00")),),
        free_from=Decimal("500.00"),
    )
    assert catalogue.least_order == Decimal("50.00")


def test_freight_by_weight_begins_at_no_weight_and_goes_beyond_a_tonne() -> None:
    freight = read_catalogue(
        freight={
            "basis": "weight",
            "tiers": [
                {"from_weight": "0 lb", "charge": "9.80"},
                {"from_weight": "25 lb", "charge": "18.40"},
                {"from_weight": "2500 kg", "charge": "310.00"},
            ],
        },
    ).freight
    # 25 lb = 25 × 453.59237 g.
    assert freight == Freight(
        basis=FreightBasis.WEIGHT,
        tiers=(
            FreightTier(from_amount=Fraction(0), charge=Decimal("9.80")),
            FreightTier(from_amount=Fraction("11339.80925"), charge=Decimal("18.40")),
            FreightTier(from_amount=Fraction(2_500_000), charge=Decimal("310.00")),
        ),
    )


def test_several_suppliers_keep_their_own_terms() -> None:
    order = ten_doors()
    order["catalogues"].append(
        {"supplier": "Larkmoor Trade Counter", "currency": "USD", "least_order": "25"}
    )
    first, second = read(order).catalogues
    assert (first.supplier, first.least_order) == ("Larkmoor Strip & Seal", 0)
    assert (second.supplier, second.least_order) == ("Larkmoor Trade Counter", 25)


RACK = {
    "offcuts": [
        {
            "id": "R-01",
            "product": "interlocking-strip",
            "finish": "zinc",
            "length": "41 1/2 in",
            "quantity": 3,
            "value": "1.25",
        },
        {"id": "R-02", "product": "interlocking-strip", "finish": "bronze", "length": 60},
    ],
    "fasteners": [
        {"fastener": "strip-nail", "count": 130, "value": "0.02"},
        {"fastener": "strip-nail", "finish": "bronze", "count": 0},
    ],
}


def test_offcuts_and_fasteners_on_hand() -> None:
    assert read(ten_doors() | {"rack": RACK}).rack == Rack(
        offcuts=(
            Offcut(
                id="R-01",
                material=ZINC,
                length_nm=83 * INCH // 2,
                quantity=3,
                value=Decimal("1.25"),
            ),
            Offcut(id="R-02", material=BRONZE, length_nm=60 * INCH),
        ),
        fasteners=(
            FastenersOnHand(fastener="strip-nail", count=130, value=Decimal("0.02")),
            FastenersOnHand(fastener="strip-nail", finish="bronze", count=0),
        ),
    )


def test_a_takeoff_takes_the_same_order() -> None:
    order = ten_doors() | {"rack": RACK}
    body = json.dumps(order).encode()
    assert read_order(body, TakeoffOrder) == read(order)


def test_cut_charge_and_drops_worth_keeping() -> None:
    policy = read(
        ten_doors(
            cut_charge="0.15",
            keep_drops={
                "least_length": "18 in",
                "credit": {"price": "0.60", "length": "1 ft"},
            },
        )
    ).policy
    assert policy.cut_charge == Decimal("0.15")
    assert policy.keep_drops == KeptDrops(
        least_nm=18 * INCH, credit=CostRate(price=Decimal("0.60"), per_nm=12 * INCH)
    )


def test_a_rule_for_splices() -> None:
    splice = {
        "product": "interlocking-strip",
        "edges": ["hinge-jamb", "head"],
        "least_segment": "1 ft",
        "position_step": "100 mm",
    }
    rule = SpliceRule(
        product="interlocking-strip",
        edges=frozenset({Edge.HEAD, Edge.HINGE_JAMB}),
        least_segment_nm=12 * INCH,
        position_step_nm=100_000_000,
    )
    assert read(ten_doors(splices=[splice])).policy.splices == (rule,)
    (stated,) = read(
        ten_doors(splices=[{**splice, "least_head": "4 ft", "cost": "1.50"}])
    ).policy.splices
    assert (stated.least_head_nm, stated.cost) == (48 * INCH, Decimal("1.50"))


def test_a_substitution_with_its_preference() -> None:
    order = ten_doors(
        substitutions=[
            {
                "wanted": {"product": "interlocking-strip", "finish": "bronze"},
                "instead": {"product": "interlocking-strip", "finish": "zinc"},
                "preference": "7.00",
            }
        ]
    )
    assert read(order).policy.substitutions == (
        Substitution(wanted=BRONZE, instead=ZINC, preference=Decimal("7.00")),
    )
