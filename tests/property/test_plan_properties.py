"""What holds for every plan, whatever the order: one class for each property."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.planning import make_plan
from tests.oracle.small_orders import Bar, SmallOrder, draw_small_order

settings.register_profile("plans", max_examples=40, deadline=None, derandomize=True)
settings.load_profile("plans")

small_orders = st.integers(0, 10_000).map(draw_small_order)


def cost(order: SmallOrder) -> Decimal:
    plan = make_plan(order.to_order())
    assert plan.certificate.proved
    return plan.total


def cut_pieces(plan: Plan) -> Counter[tuple[str, int]]:
    """Return the pieces that the patterns give, by finish and length."""
    given: Counter[tuple[str, int]] = Counter()
    for sheet in plan.patterns:
        for length_nm, count in sheet.cuts:
            given[sheet.material.finish, length_nm] += count * sheet.bars
    return given


class TestEveryPieceIsCutExactlyOnce:
    @given(small_orders)
    def test_patterns_give_just_the_pieces_of_the_openings_that_are_cut(
        self, small: SmallOrder
    ) -> None:
        plan = make_plan(small.to_order())
        needed: Counter[tuple[str, int]] = Counter()
        for opening in plan.openings:
            for supply in opening.supplies:
                kits = sum(count for _, count in supply.kits)
                assert kits + supply.cut == opening.takeoff.opening.quantity
                for piece in opening.takeoff.pieces:
                    needed[supply.material.finish, piece.length_nm] += piece.count * supply.cut
        assert +needed == +cut_pieces(plan)

    @given(small_orders)
    def test_the_cut_list_takes_all_that_the_patterns_give(self, small: SmallOrder) -> None:
        plan = make_plan(small.to_order())
        listed: Counter[tuple[str, int]] = Counter()
        for opening in plan.openings:
            for line in opening.cut_list:
                assert sum(count for _, count in line.from_patterns) == line.pieces
                listed[line.material.finish, line.length_nm] += line.pieces
        assert listed == cut_pieces(plan)


class TestEveryPatternFits:
    @given(small_orders)
    def test_pieces_kerfs_trims_and_drop_make_up_the_stock_length(self, small: SmallOrder) -> None:
        order = small.to_order()
        plan = make_plan(order)
        for sheet in plan.patterns:
            pieces_nm = sum(length * count for length, count in sheet.cuts)
            pieces = sum(count for _, count in sheet.cuts)
            assert sheet.drop_nm >= 0
            assert pieces_nm + sheet.kerf_nm + sheet.end_trim_nm + sheet.drop_nm == sheet.stock_nm
            assert sheet.kerf_nm >= (pieces - 1) * order.policy.kerf_nm


class TestTheCostIsProved:
    @given(small_orders)
    def test_cost_is_the_sum_of_its_lines_and_not_below_its_bound(self, small: SmallOrder) -> None:
        plan = make_plan(small.to_order())
        assert plan.total == sum(line.quantity * line.unit_price for line in plan.purchases)
        assert plan.total == sum(line.amount for line in plan.account)
        assert plan.total == plan.certificate.cost
        assert plan.certificate.lower_bound <= plan.total

    @given(small_orders)
    def test_fasteners_bought_are_enough(self, small: SmallOrder) -> None:
        plan = make_plan(small.to_order())
        assert sum(supply.supplied for supply in plan.fasteners) >= small.nails_needed()
        assert sum(supply.need.needed for supply in plan.fasteners) == small.nails_needed()


class TestCheaperNeverCostsMore:
    @given(small_orders, st.data())
    def test_a_lower_price_of_a_stock_length(self, small: SmallOrder, data: st.DataObject) -> None:
        position = data.draw(st.integers(0, len(small.bars) - 1))
        bar = small.bars[position]
        lower = replace(bar, cents=data.draw(st.integers(0, bar.cents)))
        bars = (*small.bars[:position], lower, *small.bars[position + 1 :])
        assert cost(replace(small, bars=bars)) <= cost(small)

    @given(small_orders, st.data())
    def test_a_lower_price_of_a_pack(self, small: SmallOrder, data: st.DataObject) -> None:
        pack = small.packs[0]
        lower = replace(pack, cents=data.draw(st.integers(0, pack.cents)))
        assert cost(replace(small, packs=(lower, *small.packs[1:]))) <= cost(small)


class TestOneMoreOptionNeverCostsMore:
    @given(small_orders.filter(lambda small: small.kits))
    def test_kits(self, small: SmallOrder) -> None:
        assert cost(small) <= cost(replace(small, kits=()))

    @given(small_orders, st.integers(84, 240), st.integers(0, 2_000))
    def test_one_more_stock_length(self, small: SmallOrder, inches: int, cents: int) -> None:
        more = Bar(finish=small.doors[0].finish, length=16 * inches, cents=cents)
        assert cost(replace(small, bars=(*small.bars, more))) <= cost(small)

    @given(small_orders)
    def test_no_need_to_buy_in_multiples(self, small: SmallOrder) -> None:
        single = tuple(replace(bar, multiple=1) for bar in small.bars)
        assert cost(replace(small, bars=single)) <= cost(small)


class TestTheInputsOrderChangesNothing:
    @given(small_orders, st.randoms(use_true_random=False))
    def test_the_same_plan_from_a_shuffled_order(self, small: SmallOrder, random: object) -> None:
        order = small.to_order()
        assert make_plan(_shuffle(order, random)) == make_plan(order)


def _shuffle(order: Order, random: object) -> Order:
    def mixed(items: tuple) -> tuple:  # type: ignore[type-arg]
        return tuple(random.sample(items, len(items)))  # type: ignore[attr-defined]

    catalogue = order.catalogue
    return replace(
        order,
        openings=mixed(order.openings),
        catalogues=(
            replace(
                catalogue,
                stock_lengths=mixed(catalogue.stock_lengths),
                kits=mixed(catalogue.kits),
                fastener_packs=mixed(catalogue.fastener_packs),
            ),
        ),
    )
