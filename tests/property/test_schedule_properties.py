"""What a schedule may be written as, without a change of cost: one class for each property."""

import random
from dataclasses import fields, is_dataclass, replace
from decimal import Decimal
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.catalogue import FastenerPack, Material, StockLength
from optimiser.domain.opening import Opening, OpeningKind, SashCords, Threshold
from optimiser.domain.order import Order
from optimiser.planning import make_plan
from optimiser.takeoff import take_off
from optimiser.units.lengths import NM_PER_INCH, LengthUnit, format_length, parse_length
from tests.oracle.small_orders import draw_small_order

plans = settings(max_examples=25, deadline=None, derandomize=True)

seeds = st.integers(0, 10_000)


def cost(order: Order) -> Decimal:
    plan = make_plan(order)
    assert plan.certificate.proved
    return plan.total


def with_works(order: Order, seed: int) -> Order:
    """Return the order with a mark of another kind and rule sets, and what its pieces need.

    Stock of 2 1/4 times the longest piece of each material, and packs of 50 of each fastener.
    """
    draw = random.Random(seed)
    height_nm = draw.choice((60, 66, 80)) * NM_PER_INCH
    usual: dict[str, Any] = {
        "width_nm": draw.choice((24, 30, 36)) * NM_PER_INCH,
        "height_nm": height_nm,
        "quantity": draw.randint(2, 3),
    }
    opening = draw.choice(
        (
            Opening(
                mark="E-1",
                kind=OpeningKind.SINGLE_DOOR,
                rule_set="spring-metal",
                also=("threshold", "sweep"),
                threshold=Threshold.PLAIN,
                finish="bronze",
                finishes=(("sweep", "aluminium"),),
                **usual,
            ),
            Opening(
                mark="E-1",
                kind=OpeningKind.DOUBLE_HUNG_WINDOW,
                rule_set="double-hung-set",
                sash_cords=SashCords.OVER_PULLEYS,
                lower_height_nm=25 * NM_PER_INCH,
                finish="bronze",
                **usual,
            ),
            Opening(
                mark="E-1",
                kind=OpeningKind.DUTCH_DOOR,
                rule_set="perimeter-gasket",
                finish="bronze",
                **usual,
            ),
        )
    )
    (taken,) = take_off(replace(order, openings=(opening,))).openings
    longest: dict[Material, int] = {}
    for piece in taken.pieces:
        longest[piece.material] = max(longest.get(piece.material, 0), piece.length_nm)
    catalogue = order.catalogues[0]
    offered = {stock.material for stock in catalogue.stock_lengths}
    sold = {pack.fastener for pack in catalogue.fastener_packs}
    stock = tuple(
        StockLength(
            sku=f"LX-{number}",
            material=material,
            length_nm=length_nm * 9 // 4 // NM_PER_INCH * NM_PER_INCH,
            price=Decimal(draw.randint(5, 40)),
        )
        for number, (material, length_nm) in enumerate(sorted(longest.items()))
        if material not in offered
    )
    needed = sorted({piece.fastener for piece in taken.pieces if piece.fastener} - sold)
    packs = tuple(
        replace(
            catalogue.fastener_packs[0], sku=f"LF-{number}", fastener=name, price=Decimal("1.95")
        )
        for number, name in enumerate(needed)
    )
    assert all(isinstance(pack, FastenerPack) for pack in packs)
    catalogue = replace(
        catalogue,
        stock_lengths=(*catalogue.stock_lengths, *stock),
        fastener_packs=(*catalogue.fastener_packs, *packs),
    )
    return replace(order, openings=(*order.openings, opening), catalogues=(catalogue,))


orders = seeds.map(lambda seed: with_works(draw_small_order(seed).to_order(), seed))


class TestSplittingAGroup:
    @plans
    @given(orders, st.data())
    def test_a_mark_split_in_two_costs_the_same(self, order: Order, data: st.DataObject) -> None:
        whole = data.draw(st.sampled_from([o for o in order.openings if o.quantity > 1]))
        part = data.draw(st.integers(1, whole.quantity - 1))
        split = [opening for opening in order.openings if opening is not whole]
        split += [
            replace(whole, quantity=part),
            replace(whole, mark="Z-9", quantity=whole.quantity - part),
        ]
        assert cost(replace(order, openings=tuple(split))) == cost(order)


class TestRenamingMarks:
    @plans
    @given(orders, st.randoms(use_true_random=False))
    def test_other_marks_in_another_order_cost_the_same(
        self, order: Order, draw: random.Random
    ) -> None:
        names = [f"{draw.choice('ABC')}{number}" for number in range(len(order.openings))]
        draw.shuffle(names)
        renamed = tuple(
            replace(opening, mark=name) for opening, name in zip(order.openings, names, strict=True)
        )
        assert cost(replace(order, openings=renamed)) == cost(order)


class TestChangingUnits:
    @plans
    @given(orders)
    def test_the_same_order_in_millimetres_costs_the_same(self, order: Order) -> None:
        written = {unit: write_in(order, unit) for unit in LengthUnit}
        assert written[LengthUnit.INCH] != written[LengthUnit.MILLIMETRE]
        read = {unit: read_in(order, texts, unit) for unit, texts in written.items()}
        assert cost(read[LengthUnit.MILLIMETRE]) == cost(read[LengthUnit.INCH]) == cost(order)


def write_in(value: Any, unit: LengthUnit, name: str = "") -> Any:
    """Return every length of an order as bare text in a unit, in the order of its fields."""
    if name.endswith("_nm") and isinstance(value, int):
        text = format_length(value, unit)
        assert text.endswith(f" {unit}")
        return text.removesuffix(f" {unit}")
    if is_dataclass(value):
        return {
            field.name: write_in(getattr(value, field.name), unit, field.name)
            for field in fields(value)
            if field.init
        }
    return [write_in(item, unit) for item in value] if isinstance(value, tuple) else value


def read_in(value: Any, texts: Any, unit: LengthUnit, name: str = "") -> Any:
    """Return an order with every length read from the text that `write_in` made of it."""
    if name.endswith("_nm") and isinstance(value, int):
        return parse_length(texts, unit)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(
            value,
            **{
                field.name: read_in(getattr(value, field.name), texts[field.name], unit, field.name)
                for field in fields(value)
                if field.init
            },
        )
    if isinstance(value, tuple):
        return tuple(read_in(item, text, unit) for item, text in zip(value, texts, strict=True))
    return value
