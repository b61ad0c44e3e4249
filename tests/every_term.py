"""An order in which every term of buying bears on the plan, with a decision made by hand.

Harbour Row, both suppliers and all prices are invented.

Pieces, by opening (jambs 3, heads 2):

- D-1, two zinc doors 36 × 80 in: two standard kits of 3 × 84 and 2 × 40 in, trimmed on site.
- D-2, one zinc door 36 × 100 in: cut. No bar is 100 in long: two jambs of 60 + 40, one of
  80 + 20, and 2 × 36.
- D-3, one bronze door 36 × 80 in: cut from zinc, 3 × 80 and 2 × 36.
- D-4, three zinc doors 34 × 79 in: made-to-measure kits.

Cut: 4 × 80 from bars of 84 (five bought, since they are sold in fives: one is left whole);
60 + 36 twice and 36 + 36 + 20 from a bundle of three bars of 96; 2 × 40 from offcuts. 13 pieces.

Nails at 3 in: 2 × 104 + 124 + 104 + 3 × 102 = 742; two standard kits bring 130, eight packs 520,
and 92 of the 100 on hand are used.
"""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import (
    CostRate,
    Freight,
    FreightBasis,
    FreightTier,
    KeptDrops,
    KitDiscount,
    OverLength,
    PriceBreak,
)
from optimiser.domain.catalogue import Catalogue, Kit, StandardKit, StandardKitFasteners
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.domain.decision import CuttingPattern, Decision, Splice, Supply
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order, Policy
from optimiser.domain.rack import FastenersOnHand, Offcut, Rack
from optimiser.units.lengths import NM_PER_INCH
from tests.ten_doors import (
    BARE_PRICE,
    BRONZE,
    CATALOGUE,
    OUNCE,
    TEN_DOORS,
    ZINC,
    Example,
    example_of,
    solution_of,
)

INCH = NM_PER_INCH
DOOR = replace(TEN_DOORS.openings[0], quantity=1)

STRIP_AND_SEAL = Catalogue(
    supplier="Larkmoor Strip & Seal",
    currency="USD",
    stock_lengths=(
        replace(
            CATALOGUE.stock_lengths[0],
            sku="LS-84-Z",
            length_nm=84 * INCH,
            price=Decimal("10.00"),
            breaks=(PriceBreak(from_quantity=4, price=Decimal("9.50")),),
            sold_in_multiples_of=5,
            least_value=Decimal("45.00"),
            unit_weight_g=Fraction(900),
        ),
    ),
    standard_kits=(
        StandardKit(
            sku="LT-84-Z",
            material=ZINC,
            lengths=((84 * INCH, 3), (40 * INCH, 2)),
            price=Decimal("39.00"),
            fasteners=StandardKitFasteners(fastener="strip-nail", contents=OUNCE, packs=1),
            unit_weight_g=Fraction(2_000),
        ),
    ),
    fastener_packs=(replace(CATALOGUE.fastener_packs[0], unit_weight_g=Fraction(30)),),
    freight=Freight(
        basis=FreightBasis.WEIGHT,
        tiers=(
            FreightTier(from_amount=Fraction(0), charge=Decimal("9.50")),
            FreightTier(from_amount=Fraction(8_000), charge=Decimal("11.00")),
        ),
        over_length=(OverLength(longer_than_nm=80 * INCH, surcharge=Decimal("6.00")),),
        free_from=Decimal("150.00"),
    ),
    least_order=Decimal("50.00"),
)
TRADE_COUNTER = Catalogue(
    supplier="Larkmoor Trade Counter",
    currency="USD",
    stock_lengths=(
        replace(
            CATALOGUE.stock_lengths[0],
            sku="TC-96-Z",
            length_nm=96 * INCH,
            price=Decimal("27.00"),
            bars_per_unit=3,
        ),
    ),
    kits=(
        Kit(
            sku="TK-Z",
            material=ZINC,
            price=BARE_PRICE,
            discounts=(KitDiscount(from_quantity=3, percent=Decimal(10)),),
        ),
    ),
    freight=Freight(
        basis=FreightBasis.VALUE,
        tiers=(
            FreightTier(from_amount=Fraction(0), charge=Decimal("7.00")),
            FreightTier(from_amount=Fraction(100), charge=Decimal("5.00")),
        ),
    ),
)
ORDER = Order(
    openings=(
        replace(DOOR, mark="D-1", quantity=2),
        replace(DOOR, mark="D-2", height_nm=100 * INCH),
        replace(DOOR, mark="D-3", finish="bronze"),
        replace(DOOR, mark="D-4", quantity=3, width_nm=34 * INCH, height_nm=79 * INCH),
    ),
    catalogues=(STRIP_AND_SEAL, TRADE_COUNTER),
    rack=Rack(
        offcuts=(
            Offcut(id="R-1", material=ZINC, length_nm=40 * INCH, quantity=3, value=Decimal("2.00")),
            Offcut(id="R-2", material=BRONZE, length_nm=20 * INCH, value=Decimal("1.00")),
        ),
        fasteners=(FastenersOnHand(fastener="strip-nail", count=100, value=Decimal("0.01")),),
    ),
    policy=Policy(
        cut_charge=Decimal("0.40"),
        keep_drops=KeptDrops(
            least_nm=24 * INCH, credit=CostRate(price=Decimal("0.05"), per_nm=INCH)
        ),
        splices=(
            SpliceRule(
                product="interlocking-strip",
                edges=frozenset({Edge.HINGE_JAMB, Edge.STRIKE_JAMB}),
                least_segment_nm=20 * INCH,
                position_step_nm=10 * INCH,
                cost=Decimal("1.50"),
            ),
        ),
        substitutions=(Substitution(wanted=BRONZE, instead=ZINC, preference=Decimal("3.00")),),
    ),
    reference="Harbour Row, every term",
)


def every_term() -> Example:
    """Return the order with its plan.

    Larkmoor Strip & Seal: 5 × 9.50 + 8 × 2.25 + 2 × 39.00 = 143.50; 5 × 900 + 8 × 30 +
    2 × 2,000 g = 8.74 kg, so freight 11.00; over 80 in, 6.00: 160.50.
    Larkmoor Trade Counter: 27.00 + 3 × 55.02 = 192.06 and freight 5.00: 197.06. A kit of 305 in:
    6.00 + 53.375 + 1.75 = 61.125, rounded 61.13; less 10 %, 55.017, rounded 55.02.
    Payable: 357.56. Weighed: cuts 13 × 0.40 = 5.20, splices 3 × 1.50 = 4.50, the rack
    2 × 2.00 + 92 × 0.01 = 4.92, the whole bar −84 × 0.05 = −4.20, bronze 3.00. Cost 370.98.
    """
    decision = Decision(
        supplies=(
            Supply(kits=(), cut=0, cut_instead=((ZINC, 1),)),
            Supply(kits=(), cut=1),
            Supply(kits=(), cut=0, standard_kits=(("LT-84-Z", 2),)),
            Supply(kits=(("TK-Z", 3),), cut=0),
        ),
        patterns=(
            CuttingPattern(sku="LS-84-Z", cuts=((80 * INCH, 1),), bars=4),
            CuttingPattern(sku="R-1", cuts=((40 * INCH, 1),), bars=2),
            CuttingPattern(sku="TC-96-Z", cuts=((60 * INCH, 1), (36 * INCH, 1)), bars=2),
            CuttingPattern(sku="TC-96-Z", cuts=((36 * INCH, 2), (20 * INCH, 1)), bars=1),
        ),
        stock_lengths=(("LS-84-Z", 5), ("TC-96-Z", 1)),
        packs=(("LN-1", 8),),
        standard_kits=(("LT-84-Z", 2),),
        offcuts=(("R-1", 2),),
        fasteners_on_hand=(("strip-nail", None, 92),),
        splices=(
            Splice(
                material=ZINC, length_nm=100 * INCH, segments_nm=(60 * INCH, 40 * INCH), pieces=2
            ),
            Splice(
                material=ZINC, length_nm=100 * INCH, segments_nm=(80 * INCH, 20 * INCH), pieces=1
            ),
        ),
    )
    return example_of(ORDER, solution_of(decision, "370.98"))
