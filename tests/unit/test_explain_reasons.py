"""The typed reasons behind the sentences: fields, marks and order. Prices are invented."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.catalogue import PackRounding
from optimiser.domain.notices import FastenersPooledOverFinishes, KitShortOfFasteners
from optimiser.domain.opening import OpeningKind
from optimiser.domain.order import FastenerCounting, Policy
from optimiser.domain.reasons import (
    FastenersCounted,
    FastenersSupplied,
    KitFastenersCounted,
    KitFastenersPriced,
    LengthAccounted,
    MeetingStilesByOthers,
    Reason,
    SetServed,
)
from optimiser.explain import give_reasons
from optimiser.units.lengths import NM_PER_INCH
from tests.ten_doors import CATALOGUE, NAILED, SMALL, TEN_DOORS, ZINC, Example, small, ten_doors

INCH = NM_PER_INCH


def reasons_of(example: Example) -> tuple[Reason, ...]:
    return give_reasons(example.order, example.takeoff, example.plan)[0]


def notices_of(example: Example) -> tuple[Reason, ...]:
    return give_reasons(example.order, example.takeoff, example.plan)[1]


def test_reasons_follow_the_order_of_the_work() -> None:
    assert [reason.code for reason in reasons_of(ten_doors())] == [
        *["rule-fired"] * 5,
        "fasteners-counted",
        "fasteners-needed",
        "set-served",
        "kit-priced",
        "kit-fasteners-counted",
        "kit-priced",
        "kit-fasteners-priced",
        "fasteners-supplied",
        "cost-accounted",
        "cost-bounded",
    ]


def test_alike_openings_share_one_count() -> None:
    counted = [r for r in reasons_of(small()) if isinstance(r, FastenersCounted)]
    assert [reason.marks for reason in counted] == [("D-1", "D-2"), ("W-1",)]
    # ⌈(80 − 2) ÷ 3⌉ + 1 = 27 and ⌈(36 − 2) ÷ 3⌉ + 1 = 13.
    assert counted[0] == FastenersCounted(
        marks=("D-1", "D-2"),
        fastener="strip-nail",
        finish=None,
        spacing_nm=3 * INCH,
        end_distance_nm=INCH,
        least_fasteners=2,
        running_length_nm=312 * INCH,
        by_running_length=104,
        per_piece=107,
        pieces=((80 * INCH, 3, 27), (36 * INCH, 2, 13)),
        bought_by=FastenerCounting.RUNNING_LENGTH,
    )


def test_per_piece_figures_add_up_to_the_takeoff() -> None:
    for example in (small(), ten_doors()):
        for reason in reasons_of(example):
            if isinstance(reason, FastenersCounted):
                assert sum(count * each for _, count, each in reason.pieces) == reason.per_piece


def test_what_serves_a_set_adds_up_to_its_openings() -> None:
    served = [r for r in reasons_of(small()) if isinstance(r, SetServed)]
    assert served[1] == SetServed(
        marks=("D-1", "D-2"),
        material=ZINC,
        lengths=((80 * INCH, 3), (36 * INCH, 2)),
        openings=5,
        kits_with_fasteners=1,
        bare_kits=1,
        cut=3,
    )


def test_a_kit_s_fasteners_carry_their_arithmetic() -> None:
    found = [r for r in reasons_of(ten_doors()) if isinstance(r, KitFastenersCounted)]
    assert found == [
        KitFastenersCounted(
            marks=("D-1",),
            sku="LK-Z-N",
            fastener="strip-nail",
            nailed_nm=312 * INCH,
            spacing_nm=3 * INCH // 2,
            fasteners=208,
            per_pack=Fraction(65),
            tolerance_percent=Decimal(0),
            rounding=PackRounding.UP,
            packs=4,
            counted_on=260,
        )
    ]


def test_a_kit_s_fasteners_are_priced_beside_the_cheapest_bare_kit_and_pack() -> None:
    bare, nailed = CATALOGUE.kits
    dear = replace(bare, sku="LK-A", price=replace(bare.price, base=Decimal("9.00")))
    short = replace(
        bare,
        sku="LK-B",
        price=replace(bare.price, base=Decimal(0)),
        longest_piece_nm=79 * INCH,
    )
    order = replace(TEN_DOORS, catalogues=(replace(CATALOGUE, kits=(dear, short, bare, nailed)),))
    found = [r for r in reasons_of(ten_doors(order)) if isinstance(r, KitFastenersPriced)]
    assert found == [
        KitFastenersPriced(
            marks=("D-1",),
            sku="LK-Z-N",
            bare_sku="LK-Z",
            extra=Decimal("5.20"),
            packs=4,
            counted_on=260,
            loose=("LN-1", Decimal("2.25"), 65),
        )
    ]


def test_without_a_bare_kit_there_is_nothing_to_compare_with() -> None:
    nailed = CATALOGUE.kits[1]
    order = replace(TEN_DOORS, catalogues=(replace(CATALOGUE, kits=(nailed,)),))
    decided = ten_doors(with_nails=10)
    supply = replace(decided.plan.decision.supplies[0], kits=(("LK-Z-N", 10),))
    plan = replace(decided.plan, decision=replace(decided.plan.decision, supplies=(supply,)))
    reasons, _ = give_reasons(order, decided.takeoff, plan)
    assert not [reason for reason in reasons if isinstance(reason, KitFastenersPriced)]


def test_without_a_loose_pack_the_comparison_has_none() -> None:
    order = replace(TEN_DOORS, catalogues=(replace(CATALOGUE, fastener_packs=()),))
    found = [r for r in reasons_of(ten_doors(order)) if isinstance(r, KitFastenersPriced)]
    assert [reason.loose for reason in found] == [None]


def test_the_margin_of_a_pool_is_the_least_count_that_is_enough() -> None:
    # 655 from 4 packs in the kit and 7 loose: 655 ÷ 11 = 59.5, so 60 of 65, 92.3 %.
    (supplied,) = (r for r in reasons_of(small()) if isinstance(r, FastenersSupplied))
    assert supplied == FastenersSupplied(
        fastener="strip-nail",
        finish=None,
        needed=655,
        kits=(("LK-Z-N", 1, 260),),
        packs=(("LN-1", 7, 65),),
        supplied=715,
        spare=60,
        least_percent=Decimal("92.4"),
        least_per_pack=60,
        stated_per_pack=Fraction(65),
    )
    # 92.3 % of 65 is 59.995, which a pack cannot be counted on to hold as 60; 92.4 % is 60.06.


def test_lengths_add_up_over_the_bars() -> None:
    for reason in reasons_of(small()):
        if isinstance(reason, LengthAccounted):
            parts = reason.pieces_nm + reason.kerf_nm + reason.end_trim_nm + reason.drop_nm
            assert parts == reason.bars * reason.stock_nm


def test_a_short_kit_is_a_notice_with_its_figures() -> None:
    bare, nailed = CATALOGUE.kits
    down = replace(nailed, fasteners=replace(NAILED, rounding=PackRounding.DOWN))
    order = replace(TEN_DOORS, catalogues=(replace(CATALOGUE, kits=(bare, down)),))
    found = [n for n in notices_of(ten_doors(order)) if isinstance(n, KitShortOfFasteners)]
    assert found == [
        KitShortOfFasteners(
            marks=("D-1",),
            sku="LK-Z-N",
            kits=4,
            fastener="strip-nail",
            spacing_nm=3 * INCH // 2,
            fasteners=208,
            packs=3,
            held=195,
            short=13,
        )
    ]


def test_finishes_kept_apart_are_not_pooled() -> None:
    assert [n for n in notices_of(small()) if isinstance(n, FastenersPooledOverFinishes)] == [
        FastenersPooledOverFinishes(fastener="strip-nail", finishes=("bronze", "zinc"))
    ]
    apart = replace(SMALL, openings=SMALL.openings[:2], policy=Policy(fasteners_match_finish=True))
    example = ten_doors(replace(apart, openings=(replace(apart.openings[0], quantity=10),)))
    found = notices_of(example)
    assert not [n for n in found if isinstance(n, FastenersPooledOverFinishes)]


def test_notices_of_the_takeoff_come_first() -> None:
    pair = replace(TEN_DOORS.openings[0], kind=OpeningKind.PAIR_OF_DOORS)
    example = ten_doors(replace(TEN_DOORS, openings=(pair,)))
    first = notices_of(example)[0]
    assert first == MeetingStilesByOthers(marks=("D-1",), height_nm=80 * INCH, offered=True)
