"""The ten-door example and a small mixed order, with decisions made by hand.

Harbour Row and Larkmoor Strip & Seal are invented, and so are all prices. Counts of pieces
and nails are worked out by hand beside them.
"""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.catalogue import (
    Catalogue,
    FastenerPack,
    Kit,
    KitFasteners,
    KitPrice,
    Material,
    PackContents,
    StockLength,
)
from optimiser.domain.decision import (
    Aim,
    AimProof,
    Certificate,
    CuttingPattern,
    Decision,
    Method,
    Restriction,
    Solution,
    Supply,
)
from optimiser.domain.opening import Opening, OpeningKind
from optimiser.domain.order import Order, Policy
from optimiser.domain.plan import Plan
from optimiser.domain.takeoff import Takeoff
from optimiser.planning.assemble import assemble_plan
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH

ZINC = Material("interlocking-strip", "zinc")
BRONZE = Material("interlocking-strip", "bronze")
OUNCE = PackContents(nominal=Fraction(65), basis="65 per ounce")
NAILED = KitFasteners(fastener="strip-nail", spacing_nm=3 * NM_PER_INCH // 2, contents=OUNCE)
BARE_PRICE = KitPrice(base=Decimal("6.00"), per_length=Decimal("2.10"), per_piece=Decimal("0.35"))
CATALOGUE = Catalogue(
    supplier="Larkmoor Strip & Seal",
    currency="USD",
    stock_lengths=(
        StockLength(
            sku="LS-96-Z", material=ZINC, length_nm=96 * NM_PER_INCH, price=Decimal("21.90")
        ),
        StockLength(
            sku="LS-120-Z",
            material=ZINC,
            length_nm=120 * NM_PER_INCH,
            price=Decimal("27.40"),
            sold_in_multiples_of=5,
        ),
        StockLength(
            sku="LS-96-B", material=BRONZE, length_nm=96 * NM_PER_INCH, price=Decimal("31.15")
        ),
    ),
    kits=(
        Kit(sku="LK-Z", material=ZINC, price=BARE_PRICE, longest_piece_nm=96 * NM_PER_INCH),
        Kit(
            sku="LK-Z-N",
            material=ZINC,
            price=replace(BARE_PRICE, per_pack=Decimal("1.30")),
            fasteners=NAILED,
            longest_piece_nm=96 * NM_PER_INCH,
        ),
    ),
    fastener_packs=(
        FastenerPack(
            sku="LN-1", fastener="strip-nail", contents=OUNCE, price=Decimal("2.25"), finish="zinc"
        ),
    ),
)
TEN_DOORS = Order(
    openings=(
        Opening(
            mark="D-1",
            kind=OpeningKind.SINGLE_DOOR,
            width_nm=36 * NM_PER_INCH,
            height_nm=80 * NM_PER_INCH,
            quantity=10,
            finish="zinc",
            fastener_spacing_nm=3 * NM_PER_INCH,
        ),
    ),
    catalogues=(CATALOGUE,),
    reference="Harbour Row, ten doors",
)
SMALL = replace(
    TEN_DOORS,
    openings=(
        replace(TEN_DOORS.openings[0], quantity=4),
        replace(TEN_DOORS.openings[0], mark="D-2", quantity=1),
        Opening(
            mark="W-1",
            kind=OpeningKind.FIXED_WINDOW,
            width_nm=30 * NM_PER_INCH,
            height_nm=40 * NM_PER_INCH,
            quantity=2,
            finish="bronze",
            fastener_spacing_nm=3 * NM_PER_INCH,
        ),
    ),
    policy=Policy(
        kerf_nm=NM_PER_INCH // 8,
        end_trim_nm=NM_PER_INCH // 4,
        fastener_allowance_percent=Decimal(5),
        spare_fasteners=10,
    ),
    reference="Harbour Row, small",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """An order with its takeoff, a solution made by hand, and the plan assembled from it."""

    order: Order
    takeoff: Takeoff
    solution: Solution
    plan: Plan


def solution_of(decision: Decision, cost: str, *, lower_bound: str | None = None) -> Solution:
    return Solution(
        decision=decision,
        certificate=Certificate(
            cost=Decimal(cost),
            lower_bound=Decimal(lower_bound or cost),
            method=Method.ALL_PATTERNS,
            patterns_considered=14,
            aims=(
                AimProof(aim=Aim.COST, proved=lower_bound is None),
                AimProof(aim=Aim.DROP, proved=True),
                AimProof(aim=Aim.PATTERNS, proved=False),
            ),
        ),
    )


def example_of(order: Order, solution: Solution) -> Example:
    takeoff = take_off(order)
    return Example(
        order=order,
        takeoff=takeoff,
        solution=solution,
        plan=assemble_plan(order, takeoff, solution),
    )


def ten_doors(order: Order = TEN_DOORS, *, with_nails: int = 4) -> Example:
    """Return ten kits: 62.35 each bare, and 4 × 1.30 = 5.20 more with nails.

    Bare: 6.00 + 312 in at 2.10 per 12 in (26 × 2.10 = 54.60) + 5 × 0.35 (1.75) = 62.35.
    Four with nails: 4 × 67.55 + 6 × 62.35 = 270.20 + 374.10 = 644.30.
    """
    bare = 10 - with_nails
    decision = Decision(
        supplies=(Supply(kits=(("LK-Z", bare), ("LK-Z-N", with_nails)), cut=0),),
        patterns=(),
        stock_lengths=(),
        packs=(),
    )
    cost = Decimal("62.35") * 10 + Decimal("5.20") * with_nails
    return example_of(order, solution_of(decision, str(cost)))


def small(order: Order = SMALL) -> Example:
    """Return five doors, by one kit with nails, one bare and three cut; two windows cut.

    Pieces to cut: zinc 9 × 80 in and 6 × 36 in, bronze 4 × 30 in and 4 × 40 in.
    Nails: 5 × 104 + 2 × ⌈140 ÷ 3⌉ (47) = 614, + 5 % (30.7, so 31) + 10 = 655;
    one kit brings 260 and seven packs 455, 715 in all, 60 left over.
    Cost: 3 × 21.90 + 10 × 27.40 + 4 × 31.15 = 464.30; kits 67.55 + 62.35 = 129.90;
    packs 7 × 2.25 = 15.75; total 609.95.
    """
    inch = NM_PER_INCH
    decision = Decision(
        supplies=(
            Supply(kits=(), cut=2),
            Supply(kits=(("LK-Z", 1), ("LK-Z-N", 1)), cut=3),
        ),
        patterns=(
            CuttingPattern(sku="LS-120-Z", cuts=((80 * inch, 1), (36 * inch, 1)), bars=6),
            CuttingPattern(sku="LS-96-B", cuts=((40 * inch, 1), (30 * inch, 1)), bars=4),
            CuttingPattern(sku="LS-96-Z", cuts=((80 * inch, 1),), bars=3),
        ),
        stock_lengths=(("LS-120-Z", 10), ("LS-96-B", 4), ("LS-96-Z", 3)),
        packs=(("LN-1", 7),),
    )
    return example_of(order, solution_of(decision, "609.95", lower_bound="600.00"))


def never_solve(restriction: Restriction) -> Solution:
    raise AssertionError(f"solved for {restriction}")


Solve = Callable[[Restriction], Solution]
