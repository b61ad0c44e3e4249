"""The purchase program: worked by hand, beside each check. Prices are invented."""

import random
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest

from optimiser.domain.catalogue import (
    Catalogue,
    FastenerPack,
    Kit,
    KitFasteners,
    KitPrice,
    Material,
    PackContents,
    PackRounding,
    StockLength,
)
from optimiser.domain.decision import Aim, AimProof, Method, Restriction, Solution, Supply
from optimiser.domain.faults import NoPlanInTime
from optimiser.domain.order import Policy
from optimiser.domain.takeoff import Demand, FastenerNeed, FastenerPool, PieceSet, SetDemand
from optimiser.solver import ProgramInfeasible, solve_purchase

INCH = 25_400_000
ZINC = Material("interlocking-strip", "zinc")
BRONZE = Material("interlocking-strip", "bronze")
NAILS = FastenerPool("strip-nail")


def piece_set(*lengths: tuple[int, int], material: Material = ZINC) -> PieceSet:
    running = sum(length * count for length, count in lengths)
    return PieceSet(
        material=material,
        lengths=tuple((length * INCH, count) for length, count in lengths),
        nailed_nm=(("strip-nail", running * INCH),),
    )


def demand(*sets: tuple[PieceSet, int], nails: int = 0) -> Demand:
    return Demand(
        sets=tuple(
            SetDemand(piece_set=of, quantity=quantity, marks=((f"D-{n}", quantity),))
            for n, (of, quantity) in enumerate(sets)
        ),
        fasteners=(
            FastenerNeed(
                pool=NAILS,
                by_running_length=nails,
                per_piece=nails,
                counted=nails,
                allowance=0,
                spares=0,
            ),
        ),
    )


def stock(length: int, price: str, *, multiple: int = 1, material: Material = ZINC) -> StockLength:
    return StockLength(
        sku=f"LS-{material.finish}-{length}-{multiple}",
        material=material,
        length_nm=length * INCH,
        price=Decimal(price),
        sold_in_multiples_of=multiple,
    )


def pack(price: str, *, count: int = 65, multiple: int = 1) -> FastenerPack:
    return FastenerPack(
        sku=f"LN-{count}",
        fastener="strip-nail",
        contents=PackContents(nominal=Fraction(count)),
        price=Decimal(price),
        sold_in_multiples_of=multiple,
    )


def kits(
    bare: str, with_nails: str | None, *, rounding: PackRounding = PackRounding.UP
) -> tuple[Kit, ...]:
    offered = [Kit(sku="LK", material=ZINC, price=KitPrice(base=Decimal(bare)))]
    if with_nails is not None:
        offered.append(
            Kit(
                sku="LK-N",
                material=ZINC,
                price=KitPrice(base=Decimal(with_nails)),
                fasteners=KitFasteners(
                    fastener="strip-nail",
                    spacing_nm=3 * INCH // 2,
                    contents=PackContents(nominal=Fraction(65)),
                    rounding=rounding,
                ),
            )
        )
    return tuple(offered)


def catalogue(*offers: StockLength | FastenerPack | Kit) -> Catalogue:
    return Catalogue(
        supplier="Larkmoor Strip & Seal",
        currency="USD",
        stock_lengths=tuple(o for o in offers if isinstance(o, StockLength)),
        kits=tuple(o for o in offers if isinstance(o, Kit)),
        fastener_packs=tuple(o for o in offers if isinstance(o, FastenerPack)),
    )


DOOR = piece_set((80, 3), (36, 2))


def money(solution: Solution) -> tuple[Decimal, Decimal]:
    return solution.certificate.cost, solution.certificate.lower_bound


def test_four_kits_with_nails_are_enough_for_ten_doors() -> None:
    # 10 × 104 = 1,040 nails; a kit carries 4 × 65 = 260; 6 × 42.00 + 4 × 51.60 = 458.40.
    # Sixteen loose packs would be 45.60 for what costs 38.40 with the kits.
    offers = catalogue(*kits("42.00", "51.60"), pack("2.85"))
    solution = solve_purchase(demand((DOOR, 10), nails=1040), offers, Policy())
    assert money(solution) == (Decimal("458.40"), Decimal("458.40"))
    assert solution.decision.supplies == (Supply(kits=(("LK", 6), ("LK-N", 4)), cut=0),)
    assert solution.decision.packs == ()
    assert solution.certificate.aims == tuple(AimProof(aim=aim, proved=True) for aim in Aim)
    assert solution.certificate.method is Method.ALL_PATTERNS


def test_loose_packs_replace_kits_with_nails_where_they_are_cheaper() -> None:
    # Sixteen packs at 2.35 = 37.60, less than four upgrades at 9.60 = 38.40.
    offers = catalogue(*kits("42.00", "51.60"), pack("2.35"))
    solution = solve_purchase(demand((DOOR, 10), nails=1040), offers, Policy())
    assert money(solution) == (Decimal("457.60"), Decimal("457.60"))
    assert solution.decision.packs == (("LN-65", 16),)


@pytest.mark.parametrize(
    ("needed", "rounding", "loose", "with_nails", "packs"),
    [
        # Nails needed by the piece: 1,070 and 1,100 need five kits of 260 each.
        (1070, PackRounding.UP, "99.00", 5, 0),
        (1100, PackRounding.UP, "99.00", 5, 0),
        # 5 % on 1,040 = 1,092.
        (1092, PackRounding.UP, "99.00", 5, 0),
        # Rounded down, 208 / 65 = 3.2 is 3 packs, 195: six kits, or five (975) and one pack.
        (1040, PackRounding.DOWN, "99.00", 6, 0),
        (1040, PackRounding.DOWN, "2.85", 5, 1),
        (1040, PackRounding.NEAREST, "2.85", 5, 1),
    ],
)
def test_kits_with_nails_follow_the_count_and_the_supplier_s_rounding(
    needed: int, rounding: PackRounding, loose: str, with_nails: int, packs: int
) -> None:
    offers = catalogue(*kits("42.00", "49.20", rounding=rounding), pack(loose))
    solution = solve_purchase(demand((DOOR, 10), nails=needed), offers, Policy())
    (supply,) = solution.decision.supplies
    assert dict(supply.kits).get("LK-N", 0) == with_nails
    assert dict(solution.decision.packs).get("LN-65", 0) == packs
    assert solution.certificate.proved


def test_bars_are_cut_exactly_and_bought_in_whole_multiples() -> None:
    # 36 + 36 on an 80 in bar with a 1 in kerf is 73; three would need 110. Seven pieces take
    # four bars; sold in fives, five bars are bought.
    offers = catalogue(stock(80, "8.00", multiple=5))
    solution = solve_purchase(demand((piece_set((36, 7)), 1)), offers, Policy(kerf_nm=INCH))
    assert money(solution) == (Decimal("40.00"), Decimal("40.00"))
    assert solution.decision.stock_lengths == (("LS-zinc-80-5", 5),)
    assert sum(dict(p.cuts)[36 * INCH] * p.bars for p in solution.decision.patterns) == 7
    assert sum(p.bars for p in solution.decision.patterns) == 4


@pytest.mark.parametrize(("trim", "bars"), [("0", 1), ("1/4", 1), ("1/2", 2)])
def test_kerf_and_end_trim_decide_what_fits(trim: str, bars: int) -> None:
    # Two 36 in pieces and one 1/2 in kerf are 72 1/2 in; a 73 in bar has 1/2 in to spare.
    policy = Policy(kerf_nm=INCH // 2, end_trim_nm=int(Fraction(trim) * INCH))
    solution = solve_purchase(demand((piece_set((36, 2)), 1)), catalogue(stock(73, "1.00")), policy)
    assert solution.decision.stock_lengths == (("LS-zinc-73-1", bars),)


def test_same_length_from_two_skus_is_one_choice() -> None:
    # Seven bars: one bundle of five at 35.00 and two singles at 8.00.
    offers = catalogue(stock(40, "8.00"), stock(40, "7.00", multiple=5))
    solution = solve_purchase(demand((piece_set((36, 1)), 7)), offers, Policy())
    assert money(solution) == (Decimal("51.00"), Decimal("51.00"))
    assert solution.decision.stock_lengths == (("LS-zinc-40-1", 2), ("LS-zinc-40-5", 5))
    assert {(p.sku, p.bars) for p in solution.decision.patterns} == {
        ("LS-zinc-40-1", 2),
        ("LS-zinc-40-5", 5),
    }


def test_least_drop_decides_between_equal_costs() -> None:
    # One 50 in piece: a 96 and a 60 in bar cost the same; the 60 leaves less.
    offers = catalogue(stock(96, "9.00"), stock(60, "9.00"))
    solution = solve_purchase(demand((piece_set((50, 1)), 3)), offers, Policy())
    assert solution.decision.stock_lengths == (("LS-zinc-60-1", 3),)
    assert solution.certificate.aims[1] == AimProof(aim=Aim.DROP, proved=True)


def test_materials_are_never_mixed() -> None:
    wanted = demand((piece_set((30, 1)), 1), (piece_set((30, 1), material=BRONZE), 1))
    offers = catalogue(stock(60, "6.00"), stock(60, "9.00", material=BRONZE))
    solution = solve_purchase(wanted, offers, Policy())
    assert money(solution) == (Decimal("15.00"), Decimal("15.00"))


def test_restrictions_of_a_re_solve_are_kept() -> None:
    offers = catalogue(*kits("42.00", "51.60"), pack("2.85"), stock(120, "30.00"))
    wanted = demand((DOOR, 10), nails=1040)

    def solve(restriction: Restriction) -> tuple[Supply, ...]:
        return solve_purchase(wanted, offers, Policy(), restriction=restriction).decision.supplies

    assert solve(Restriction(bare_kits=False, cutting=False)) == (
        Supply(kits=(("LK-N", 10),), cut=0),
    )
    assert solve(Restriction(kits_with_fasteners=False, cutting=False)) == (
        Supply(kits=(("LK", 10),), cut=0),
    )
    (supply,) = solve(Restriction(kits_per_set=(3,)))
    assert (sum(n for _, n in supply.kits), supply.cut) == (3, 7)


def test_order_of_the_input_changes_nothing() -> None:
    offers = [
        *kits("42.00", "51.60"), pack("2.85"), pack("30.00", count=1000),
        *(stock(n, f"{n / 8:.2f}") for n in (84, 96, 108, 120, 144)),
    ]  # fmt: skip
    wanted = demand(
        (DOOR, 5), (piece_set((79, 3), (34, 2)), 4), (piece_set((42, 2), (30, 1)), 7), nails=900
    )
    first = solve_purchase(wanted, catalogue(*offers), Policy())
    for seed in range(3):
        shuffled = list(offers)
        random.Random(seed).shuffle(shuffled)
        assert solve_purchase(wanted, catalogue(*shuffled), Policy()) == first


MANY_SETS = tuple((piece_set((20 + n, 2), (50 + n, 1)), 3) for n in range(20))


def test_deadline_in_the_past_without_a_plan_is_said_so() -> None:
    offers = catalogue(
        *(stock(n, f"{n / 8:.2f}") for n in (84, 96, 120, 144)), *kits("12.00", None)
    )
    with pytest.raises(NoPlanInTime) as raised:
        solve_purchase(
            demand(*MANY_SETS),
            offers,
            Policy(time_limit_seconds=7),
            clock=lambda: 1.0,
            deadline=0.5,
        )
    assert raised.value.time_limit_seconds == 7


def test_deadline_in_the_past_still_gives_the_greedy_plan_with_an_honest_gap() -> None:
    offers = catalogue(*(stock(n, f"{n / 8:.2f}") for n in (84, 96, 120, 144)))
    certificate = solve_purchase(
        demand(*MANY_SETS), offers, Policy(), clock=lambda: 1.0, deadline=0.5
    ).certificate
    # By length alone: 3 × Σ (90 + 3 n) inches at 12.5 cents = 3 × 2,370 / 8 = 888.75; every
    # price is a multiple of 1.50, so no plan costs less than 593 × 1.50 = 889.50.
    assert certificate.lower_bound == Decimal("889.50")
    assert certificate.cost > certificate.lower_bound
    assert certificate.aims[0] == AimProof(aim=Aim.COST, proved=False)


def test_demand_that_nothing_serves_is_a_typed_error() -> None:
    with pytest.raises(ProgramInfeasible):
        solve_purchase(demand((DOOR, 1)), catalogue(stock(60, "6.00")), Policy())
    with pytest.raises(ProgramInfeasible):
        solve_purchase(demand((DOOR, 1), nails=5), catalogue(stock(84, "6.00")), Policy())


def test_prices_finer_than_a_cent_add_up_exactly() -> None:
    # Three bars at 1.3335 = 4.0005.
    solution = solve_purchase(
        demand((piece_set((50, 1)), 3)), catalogue(stock(60, "1.3335")), Policy()
    )
    assert money(solution) == (Decimal("4.0005"), Decimal("4.0005"))


def test_finishes_of_nails_are_matched_where_the_policy_says_so() -> None:
    pool = FastenerPool("strip-nail", "zinc")
    wanted = demand((DOOR, 1), nails=104)
    wanted = replace(wanted, fasteners=(replace(wanted.fasteners[0], pool=pool),))
    zinc = replace(pack("9.00"), finish="zinc")
    plain = replace(pack("1.00", count=64), finish="bronze")
    solution = solve_purchase(
        wanted,
        catalogue(zinc, plain, *kits("42.00", None)),
        Policy(fasteners_match_finish=True),
    )
    # Two packs of 65 in zinc; the cheaper bronze ones may not be used.
    assert solution.decision.packs == (("LN-65", 2),)
