"""Orders with one term of buying each, worked out by hand in the comments. Prices are invented."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import (
    BreakKind,
    Freight,
    FreightBasis,
    FreightTier,
    OverLength,
    PriceBreak,
)
from optimiser.domain.buying_reasons import LeastValueReached
from optimiser.domain.catalogue import Catalogue, StandardKit, StockLength
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.domain.opening import Edge, Opening, OpeningKind
from optimiser.domain.order import Order, Policy
from optimiser.domain.plan import Plan
from optimiser.domain.rack import Offcut, Rack
from optimiser.planning import make_plan
from optimiser.units.lengths import NM_PER_INCH
from tests.ten_doors import BRONZE, CATALOGUE, ZINC

INCH = NM_PER_INCH
NAILS = replace(CATALOGUE.fastener_packs[0], price=Decimal(0))


def bar(sku: str, inches: int, price: str, **terms: object) -> StockLength:
    return replace(
        StockLength(sku=sku, material=ZINC, length_nm=inches * INCH, price=Decimal(price)), **terms
    )


def order_of(*bars: StockLength, doors: int = 1, height: int = 80, **changes: object) -> Order:
    """Return doors 36 in wide, nails for nothing: 3 jambs and 2 heads each."""
    catalogue = Catalogue(
        supplier="Larkmoor Strip & Seal",
        currency="USD",
        stock_lengths=bars,
        fastener_packs=(NAILS,),
    )
    plain = Order(
        openings=(
            Opening(
                mark="D-1",
                kind=OpeningKind.SINGLE_DOOR,
                width_nm=36 * INCH,
                height_nm=height * INCH,
                quantity=doors,
                finish="zinc",
            ),
        ),
        catalogues=(catalogue,),
        policy=Policy(alternatives=False),
    )
    return replace(plain, **changes)


def with_terms(order: Order, **terms: object) -> Order:
    return replace(order, catalogues=(replace(order.catalogues[0], **terms),))


def bought(plan: Plan) -> dict[str, int]:
    return dict(plan.decision.stock_lengths)


def test_a_fifth_bar_is_bought_to_reach_a_break() -> None:
    # 3 × 80 and 2 × 36 need four bars of 84, 4 × 10 = 40; five at 7 are 35.
    steps = (PriceBreak(from_quantity=5, price=Decimal(7)),)
    assert make_plan(order_of(bar("LS-84", 84, "10", breaks=steps))).total == 35
    # Each unit at its own break: a fifth would cost 7 more, so four it stays.
    incremental = bar("LS-84", 84, "10", breaks=steps, break_kind=BreakKind.INCREMENTAL)
    assert make_plan(order_of(incremental)).total == 40


def test_a_line_is_filled_up_to_its_least_value() -> None:
    # 3 × 80 and 2 × 36 need four bars of 84, 4 × 10; a line of 41 takes a fifth.
    assert make_plan(order_of(bar("LS-84", 84, "10", least_value=Decimal(40)))).total == 40
    plan = make_plan(order_of(bar("LS-84", 84, "10", least_value=Decimal(41))))
    assert (plan.total, bought(plan)) == (50, {"LS-84": 5})
    assert [reason for reason in plan.reasons if isinstance(reason, LeastValueReached)] == [
        LeastValueReached(sku="LS-84", quantity=5, value=Decimal(50), least_value=Decimal(41))
    ]


def test_units_below_the_break_keep_their_price_where_no_fewer_are_sold() -> None:
    # Five at once, at least four: 2 × 10 below the break and 3 × 7 from it on.
    terms = {
        "sold_in_multiples_of": 5,
        "least_quantity": 4,
        "break_kind": BreakKind.INCREMENTAL,
        "breaks": (PriceBreak(from_quantity=3, price=Decimal(7)),),
    }
    assert make_plan(order_of(bar("LS-84", 84, "10", **terms))).total == 41


def test_a_longer_bar_is_cheaper_a_foot_and_dearer_to_ship() -> None:
    # A 120 holds 80 + 36: two of them and an 84 serve a door, 2 × 11 + 9 = 31; four 84, 36.
    bars = (bar("LS-84", 84, "9"), bar("LS-120", 120, "11"))
    assert bought(make_plan(order_of(*bars))) == {"LS-120": 2, "LS-84": 1}
    freight = Freight(
        basis=FreightBasis.VALUE,
        tiers=(FreightTier(from_amount=Fraction(0), charge=Decimal(5)),),
        over_length=(OverLength(longer_than_nm=96 * INCH, surcharge=Decimal(10)),),
    )
    # 31 + 5 + 10 = 46 against 36 + 5 = 41 for one door; for five, 155 + 15 = 170 against
    # 15 + 5 bars of 84 (two heads share one), 180 + 5 = 185.
    plan = make_plan(with_terms(order_of(*bars), freight=freight))
    assert (plan.total, bought(plan)) == (41, {"LS-84": 4})
    plan = make_plan(with_terms(order_of(*bars, doors=5), freight=freight))
    assert (plan.total, bought(plan)) == (170, {"LS-120": 10, "LS-84": 5})


def test_one_bar_more_makes_the_freight_free() -> None:
    # Four bars are 40 and their freight 12; a fifth makes 50, from where it is free.
    freight = Freight(
        basis=FreightBasis.VALUE,
        tiers=(FreightTier(from_amount=Fraction(0), charge=Decimal(12)),),
        free_from=Decimal(50),
    )
    plan = make_plan(with_terms(order_of(bar("LS-84", 84, "10")), freight=freight))
    assert (plan.total, plan.shipments[0].free, bought(plan)) == (50, True, {"LS-84": 5})


def test_a_least_order_is_filled_up() -> None:
    plan = make_plan(with_terms(order_of(bar("LS-84", 84, "10")), least_order=Decimal(61)))
    assert (plan.total, bought(plan)) == (70, {"LS-84": 7})


def test_what_serves_nothing_is_not_bought_to_reach_a_least_order() -> None:
    # Four zinc bars are 60; a bronze one would make 72, but nothing is bronze: a fifth zinc bar.
    bronze = replace(bar("LS-B", 84, "12"), material=BRONZE)
    order = order_of(bar("LS-84", 84, "15"), bronze)
    plan = make_plan(with_terms(order, least_order=Decimal(70)))
    assert (plan.total, bought(plan)) == (75, {"LS-84": 5})


def test_a_bundle_is_bought_whole() -> None:
    # Four bars in bundles of three: two bundles.
    plan = make_plan(order_of(bar("LS-84", 84, "25", bars_per_unit=3)))
    assert (plan.total, bought(plan)) == (50, {"LS-84": 2})


def test_two_suppliers_are_used_only_where_that_pays_their_freight() -> None:
    def of(supplier: str, stock: StockLength, charge: str) -> Catalogue:
        return Catalogue(
            supplier=supplier,
            currency="USD",
            stock_lengths=(stock,),
            fastener_packs=(NAILS,) if supplier == "Larkmoor Strip & Seal" else (),
            freight=Freight(
                basis=FreightBasis.VALUE,
                tiers=(FreightTier(from_amount=Fraction(0), charge=Decimal(charge)),),
            ),
        )

    # Nails come from the first, so its freight of 3 is paid anyway: 4 × 10 + 3 = 43.
    # With two bars of the second, 2 × 11 + 10 + 3 + 5 = 40; at a freight of 9 it would be 44.
    for charge, total, skus in (("5", 40, {"LS-84", "TC-120"}), ("9", 43, {"LS-84"})):
        catalogues = (
            of("Larkmoor Strip & Seal", bar("LS-84", 84, "10"), "3"),
            of("Larkmoor Trade Counter", bar("TC-120", 120, "11"), charge),
        )
        plan = make_plan(replace(order_of(), catalogues=catalogues))
        assert (plan.total, set(bought(plan))) == (total, skus)


def test_an_offcut_is_used_where_it_saves_a_bar() -> None:
    # Two heads fit an offcut of 72 in: three bars at 10 and the offcut at 4.
    rest = Offcut(id="R-1", material=ZINC, length_nm=72 * INCH, value=Decimal(4))
    order = replace(order_of(bar("LS-84", 84, "10")), rack=Rack(offcuts=(rest,)))
    assert make_plan(order).total == 34
    dear = replace(rest, value=Decimal("10.01"))
    plan = make_plan(replace(order, rack=Rack(offcuts=(dear,))))
    assert (plan.total, plan.next_rack[0].source) == (40, "R-1")


def test_a_standard_kit_is_trimmed_where_it_is_cheaper() -> None:
    kit = StandardKit(
        sku="LT-84",
        material=ZINC,
        lengths=((84 * INCH, 3), (40 * INCH, 2)),
        price=Decimal(39),
    )
    order = with_terms(order_of(bar("LS-84", 84, "10")), standard_kits=(kit,))
    plan = make_plan(order)
    assert (plan.total, plan.decision.standard_kits) == (39, (("LT-84", 1),))
    # One of its heads is too short for 36 in: cut instead.
    short = replace(kit, lengths=((84 * INCH, 3), (40 * INCH, 1), (35 * INCH, 1)))
    assert make_plan(with_terms(order, standard_kits=(short,))).total == 40


def test_bronze_stands_in_for_zinc_where_the_preference_is_less_than_it_saves() -> None:
    bronze = replace(bar("LS-B", 84, "8"), material=BRONZE)
    # 4 × 8 = 32 and a preference of 7 make 39, below 40; with 9 it is 41.
    for preference, total, paid in (("7", 39, 32), ("9", 40, 40)):
        rule = Substitution(wanted=ZINC, instead=BRONZE, preference=Decimal(preference))
        policy = Policy(alternatives=False, substitutions=(rule,))
        plan = make_plan(replace(order_of(bar("LS-84", 84, "10"), bronze), policy=policy))
        assert (plan.total, plan.payable) == (total, paid)


def test_jambs_longer_than_any_bar_are_spliced_where_that_is_allowed() -> None:
    # Jambs of 100 in from bars of 84: 100 = 80 + 20 = 70 + 30 = 60 + 40 = 50 + 50, a joint every
    # 10 in from 20 in on. Three jambs and two heads of 36 are 372 in, five bars at least (420).
    # Five do: 80 | 80 | 60 + 20 | 36 + 40 | 36 + 20. Three splices at 2: 5 × 10 + 6 = 56.
    rule = SpliceRule(
        product="interlocking-strip",
        edges=frozenset({Edge.HINGE_JAMB, Edge.STRIKE_JAMB}),
        least_segment_nm=20 * INCH,
        position_step_nm=10 * INCH,
        cost=Decimal(2),
    )
    policy = Policy(alternatives=False, splices=(rule,))
    plan = make_plan(replace(order_of(bar("LS-84", 84, "10"), height=100), policy=policy))
    assert plan.total == 56
    assert sum(splice.pieces for splice in plan.decision.splices) == 3
    assert {line.segment_of_nm for line in plan.openings[0].cut_list} == {None, 100 * INCH}
