"""Break-even points and rankings of the Harbour Row doors, each beside its sum by hand."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest

from optimiser.domain.break_even import BreakEven
from optimiser.domain.catalogue import Catalogue
from optimiser.domain.order import Order
from optimiser.planning import make_plan
from optimiser.study.break_even import NumberAxis, find_break_evens
from optimiser.study.points import Point
from optimiser.study.ranking import Input, rank_inputs
from optimiser.study.solve_points import PointSolver
from service.mapping.reading import read_order
from service.wire.order import Order as WireOrder
from tests.harbour_row import mixed_order, ten_doors

CENT = Decimal("0.01")
BASE = read_order(json.dumps(ten_doors(alternatives=False)).encode(), WireOrder)
THREE_PACKS_MORE = replace(BASE, policy=replace(BASE.policy, spare_fasteners=3 * 65))


def priced(order: Order, **prices: str) -> Order:
    """Return the order with other prices: `pack`, or what a kit with nails costs more."""
    catalogue: Catalogue = order.catalogues[0]
    if "pack" in prices:
        pack = replace(catalogue.fastener_packs[0], price=Decimal(prices["pack"]))
        catalogue = replace(catalogue, fastener_packs=(pack,))
    if "per_pack" in prices:
        kits = tuple(
            replace(kit, price=replace(kit.price, per_pack=Decimal(prices["per_pack"])))
            if kit.fasteners
            else kit
            for kit in catalogue.kits
        )
        catalogue = replace(catalogue, kits=kits)
    if "per_piece" in prices:
        kits = tuple(
            replace(kit, price=replace(kit.price, per_piece=Decimal(prices["per_piece"])))
            for kit in catalogue.kits
        )
        catalogue = replace(catalogue, kits=kits)
    return replace(order, catalogues=(catalogue,))


def axis_of(order: Order, name: str, low: str, high: str, **options: object) -> BreakEven:
    solver = PointSolver()
    base = solver.plan(order)
    axis = NumberAxis(
        name=name,
        low=Decimal(low),
        high=Decimal(high),
        step=CENT,
        make=lambda value: Point(name=str(value), order=priced(order, **{name: str(value)})),
        **options,  # type: ignore[arg-type]
    )
    return find_break_evens(base, axis, solver)


def test_nails_come_loose_up_to_a_pack_price_of_2_40() -> None:
    # A kit with nails costs 9.60 more than a bare one (four packs at 2.40) and saves four loose
    # packs: 4 p = 9.60 at p = 2.40. Below, sixteen loose packs are cheaper; above, four kits with
    # nails. At 2.40 both cost 421.30 + 38.40 = 459.70; at 2.41 loose packs cost 38.56, 0.16 more.
    found = axis_of(BASE, "pack", "1.00", "5.00")
    (flip,) = found.flips
    assert (flip.low, flip.high) == (Decimal("2.40"), Decimal("2.41"))
    assert flip.even and flip.proved
    assert (flip.cost_low, flip.cost_high) == (Decimal("459.70"), Decimal("459.70"))
    assert flip.staying == Decimal("0.16")
    supplier = BASE.catalogues[0].supplier
    assert flip.below == ((supplier, "LK-Z", 10), (supplier, "LN-01", 16))
    assert flip.above == ((supplier, "LK-Z", 6), (supplier, "LK-Z-N", 4))
    assert found.complete


def test_the_other_way_round_the_kit_s_own_surcharge_flips_at_the_price_of_a_pack() -> None:
    # Loose packs cost 2.85: four for 11.40. A kit's four packs cost 4 x its price per pack: they
    # are the cheaper up to 2.85, where both cost 11.40.
    found = axis_of(BASE, "per_pack", "0.50", "4.00")
    assert [(flip.low, flip.high, flip.even) for flip in found.flips] == [
        (Decimal("2.85"), Decimal("2.86"), True)
    ]


def test_an_axis_may_have_several_flips() -> None:
    # With 195 spare nails nineteen packs are needed. Up to 2.40 they come loose. Then four kits
    # bring sixteen packs, and three come loose, as long as 3 p <= 9.60: up to 3.20. From there on
    # five kits bring twenty.
    found = axis_of(THREE_PACKS_MORE, "pack", "1.00", "5.00")
    assert [(flip.low, flip.even) for flip in found.flips] == [
        (Decimal("2.40"), True),
        (Decimal("3.20"), True),
    ]
    kits = [{sku: n for _, sku, n in flip.above or ()}["LK-Z-N"] for flip in found.flips]
    assert kits == [4, 5]


def test_a_flip_between_two_cents_is_bracketed_by_them() -> None:
    # A kit's packs at 2.41 cost 9.64, and the fifth kit saves three loose packs: 3 p = 9.64 at
    # p = 3.2133. At 3.21 they cost 9.63 and stay; at 3.22 they cost 9.66, 0.02 more than the kit.
    found = axis_of(priced(THREE_PACKS_MORE, per_pack="2.41"), "pack", "3.00", "3.50")
    (flip,) = found.flips
    assert (flip.low, flip.high, flip.even) == (Decimal("3.21"), Decimal("3.22"), False)
    assert flip.staying == Decimal("0.02")


def test_flips_of_a_mixed_order_are_where_its_packs_and_pounds_of_nails_cost_the_same() -> None:
    # Only loose nails change: n ounces at p are given up for m pounds at 39.00. Both cost the same
    # at p = m x 39.00 / n, which must lie in the bracket.
    order = read_order(json.dumps(mixed_order(12, seed=2)).encode(), WireOrder)
    solver = PointSolver()

    def make(value: Decimal) -> Point:
        (catalogue,) = order.catalogues
        ounce, pound = catalogue.fastener_packs
        packs = (replace(ounce, price=value), pound)
        return Point(
            name=str(value),
            order=replace(order, catalogues=(replace(catalogue, fastener_packs=packs),)),
        )

    axis = NumberAxis(
        name="ounce", low=Decimal("1.00"), high=Decimal("9.00"), step=CENT, make=make, money=True
    )
    found = find_break_evens(solver.plan(order), axis, solver)
    assert found.complete and found.flips
    for flip in found.flips:
        below = {sku: n for _, sku, n in flip.below or ()}
        above = {sku: n for _, sku, n in flip.above or ()}
        changed = {k for k in {*below, *above} if below.get(k, 0) != above.get(k, 0)}
        assert changed == {"LN-01", "LN-16"}
        ounces = below.get("LN-01", 0) - above.get("LN-01", 0)
        pounds = above.get("LN-16", 0) - below.get("LN-16", 0)
        even = Decimal("39.00") * pounds / ounces
        assert flip.low <= even < flip.high
        assert flip.even == (even == flip.low)
        assert flip.staying == ounces * flip.high - pounds * Decimal("39.00")


def test_the_curve_costs_what_its_plans_cost() -> None:
    found = axis_of(BASE, "pack", "2.00", "3.00", samples=4)
    for value, row in found.curve:
        assert row.cost == make_plan(priced(BASE, pack=str(value))).total
    costs = [row.cost for _, row in found.curve if row.cost is not None]
    assert costs == sorted(costs)


def test_watched_skus_alone_make_up_the_decision() -> None:
    assert axis_of(BASE, "pack", "1.00", "5.00", watched=("LS-Z-084",)).flips == ()


def test_too_many_flips_are_cut_short_and_said() -> None:
    spare, solver = THREE_PACKS_MORE, PointSolver()
    axis = NumberAxis(
        name="pack",
        low=Decimal("1.00"),
        high=Decimal("5.00"),
        step=CENT,
        make=lambda value: Point(name=str(value), order=priced(spare, pack=str(value))),
    )
    found = find_break_evens(solver.plan(spare), axis, solver, most_flips=1)
    assert (len(found.flips), found.searched_to) == (1, Decimal("2.41"))
    assert not found.complete


@pytest.mark.parametrize("samples", [1, 3, 8, 50])
def test_the_number_of_samples_changes_no_break_even_of_a_price(samples: int) -> None:
    found = axis_of(BASE, "pack", "1.00", "5.00", samples=samples)
    assert [flip.low for flip in found.flips] == [Decimal("2.40")]


def test_inputs_are_ranked_by_swing() -> None:
    # A piece of a kit costs 0.35, a door has five: 0.05 more on ten doors is 2.50, 0.05 less too.
    # A pack at 2.85 +- 0.50 is not bought either way up, and at 2.35 saves 16 x 0.05 = 0.80.
    solver = PointSolver()
    moved = [
        Input(
            name=name,
            base_value=base,
            low_value=low,
            high_value=high,
            low=Point(name=f"{name} {low}", order=priced(BASE, **{name: low})),
            high=Point(name=f"{name} {high}", order=priced(BASE, **{name: high})),
        )
        for name, low, base, high in (
            ("pack", "2.35", "2.85", "3.35"),
            ("per_piece", "0.30", "0.35", "0.40"),
        )
    ]
    ranked = rank_inputs(solver.plan(BASE), moved, solver)
    assert [(one.name, one.swing) for one in ranked] == [
        ("per_piece", Decimal("5.00")),
        ("pack", Decimal("0.80")),
    ]
