"""What holds for every plan with a term of buying, re-computed from the plan alone."""

from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given, settings

from optimiser.domain.account import PAID
from optimiser.domain.plan import Plan
from tests.oracle.buying_orders import FEATURES, BuyingOrder
from tests.oracle.small_orders import NM_PER_SIXTEENTH
from tests.property.buying_strategies import few, orders_with, plan_of

Cut = tuple[str, int]
"""A finish and a length in nanometres."""


def pieces_needed(plan: Plan) -> Counter[Cut]:
    """Return what the openings that are cut need, with segments for spliced pieces."""
    needed: Counter[Cut] = Counter()
    for opening in plan.openings:
        for supply in opening.supplies:
            cut = [(supply.material, supply.cut), *supply.cut_instead]
            for piece in opening.takeoff.pieces:
                for material, openings in cut:
                    if piece.material == supply.material:
                        needed[material.finish, piece.length_nm] += piece.count * openings
    for splice in plan.decision.splices:
        needed[splice.material.finish, splice.length_nm] -= splice.pieces
        for segment_nm in splice.segments_nm:
            needed[splice.material.finish, segment_nm] += splice.pieces
    return needed


def hold_every_piece_is_cut_exactly_once(plan: Plan) -> None:
    given_by_patterns: Counter[Cut] = Counter()
    for sheet in plan.patterns:
        for length_nm, count in sheet.cuts:
            given_by_patterns[sheet.material.finish, length_nm] += count * sheet.bars
    listed: Counter[Cut] = Counter()
    for opening in plan.openings:
        for line in opening.cut_list:
            assert sum(count for _, count in line.from_patterns) == line.pieces
            listed[line.material.finish, line.length_nm] += line.pieces
    assert +given_by_patterns == +listed == +pieces_needed(plan)


def hold_every_opening_is_served_once(plan: Plan) -> None:
    for opening in plan.openings:
        for supply in opening.supplies:
            served = [*supply.kits, *supply.standard_kits, *supply.cut_instead]
            number = sum(count for _, count in served) + supply.cut
            assert number == opening.takeoff.opening.quantity


def hold_every_pattern_fits(order: BuyingOrder, plan: Plan) -> None:
    kerf_nm, trim_nm = (n * NM_PER_SIXTEENTH for n in (order.base.kerf, order.base.trim))
    lengths = {f"LS-{n}": bar.length for n, bar in enumerate(order.base.bars, start=1)}
    lengths |= {f"R-{n}": rest.length for n, rest in enumerate(order.rack, start=1)}
    for sheet in plan.patterns:
        pieces = sum(count for _, count in sheet.cuts)
        pieces_nm = sum(length_nm * count for length_nm, count in sheet.cuts)
        ends_nm = 0 if sheet.sku.startswith("R-") else 2 * trim_nm
        stock_nm = lengths[sheet.sku] * NM_PER_SIXTEENTH
        assert pieces_nm + (pieces - 1) * kerf_nm + ends_nm <= stock_nm == sheet.stock_nm
        parts_nm = pieces_nm + sheet.kerf_nm + sheet.end_trim_nm + sheet.drop_nm
        assert parts_nm == stock_nm
        assert sheet.drop_nm >= 0


def hold_every_splice_keeps_its_rule(order: BuyingOrder, plan: Plan) -> None:
    for splice in plan.decision.splices:
        assert order.splices is not None
        longer, shorter = (nm // NM_PER_SIXTEENTH for nm in splice.segments_nm)
        assert longer >= shorter >= order.splices.least_segment
        assert 0 in (longer % order.splices.step, shorter % order.splices.step)
        heights = {door.height for door in order.base.doors}
        assert longer + shorter in heights or longer + shorter >= order.splices.least_head


def hold_the_cost_is_the_sum_of_its_lines(plan: Plan) -> None:
    assert plan.total == sum(line.amount for line in plan.account) == plan.certificate.cost
    assert plan.payable == sum(
        (line.amount for line in plan.account if line.kind in PAID), Decimal(0)
    )
    assert plan.payable == sum((shipment.total for shipment in plan.shipments), Decimal(0))
    for line in plan.purchases:
        assert line.amount == line.quantity * line.unit_price
    goods = sum((line.amount for line in plan.purchases), Decimal(0))
    assert goods == sum((shipment.goods for shipment in plan.shipments), Decimal(0))
    assert plan.certificate.lower_bound <= plan.total


@pytest.mark.parametrize("feature", FEATURES)
def test_pieces_openings_patterns_and_cost_of_a_plan_with_the_term_are_sound(feature: str) -> None:
    @settings(few, max_examples=6)
    @given(orders_with(feature, most=3))
    def hold(order: BuyingOrder) -> None:
        plan = plan_of(order)
        if plan is None:
            return
        hold_every_piece_is_cut_exactly_once(plan)
        hold_every_opening_is_served_once(plan)
        hold_every_pattern_fits(order, plan)
        hold_every_splice_keeps_its_rule(order, plan)
        hold_the_cost_is_the_sum_of_its_lines(plan)
        assert sum(f.supplied for f in plan.fasteners) >= order.base.nails_needed()

    hold()
