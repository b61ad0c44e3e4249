"""What holds for every change of an accepted order, over drawn orders of Harbour Row."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from optimiser.check import check_plan
from optimiser.domain.catalogue import Material
from optimiser.domain.deliveries import CutBars
from optimiser.domain.difference import ALREADY_BOUGHT, Difference
from optimiser.domain.opening import Opening
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.fulfilment import difference_order, open_purchase, settle_difference, take
from optimiser.planning import make_plan
from optimiser.takeoff import take_off
from tests.harbour_row import mixed_order
from tests.harbour_row_terms import TERMS, with_terms

NO_SHRINKING = [phase for phase in Phase if phase not in {Phase.shrink, Phase.explain}]
"""Each example makes three plans: a failing one is told as it was drawn."""

few = settings(max_examples=6, deadline=None, derandomize=True, phases=NO_SHRINKING)
QUICK = sorted(set(TERMS) - {"splices", "least-order"})
MOST, ACCEPTED = 5, 3


@lru_cache(maxsize=8)
def accepted(seed: int, term: str, keen_kits: bool) -> tuple[Order, Plan]:
    wire = mixed_order(MOST, seed=seed, sizes=4, keen_kits=keen_kits)
    order = with_terms(wire, *([term] if term else []))
    order = replace(order, policy=replace(order.policy, alternatives=False))
    order = replace(order, openings=order.openings[:ACCEPTED])
    return order, make_plan(order)


def added(seed: int, term: str, keen_kits: bool) -> tuple[Opening, ...]:
    wire = mixed_order(MOST, seed=seed, sizes=4, keen_kits=keen_kits)
    return with_terms(wire, *([term] if term else [])).openings[ACCEPTED:]


orders = st.tuples(st.integers(0, 200), st.sampled_from(["", *QUICK]), st.booleans())
Pieces = Counter[tuple[Material, int]]


def pieces_of(openings: tuple[Opening, ...], order: Order) -> Pieces:
    """Return the pieces that openings need."""
    needed: Pieces = Counter()
    if not openings:
        return needed
    for taken in take_off(replace(order, openings=openings)).openings:
        for piece in taken.pieces:
            needed[piece.material, piece.length_nm] += piece.count * taken.opening.quantity
    return needed


def serves_exactly(
    openings: tuple[Opening, ...], order: Order, difference: Difference, additional: Plan | None
) -> None:
    """Hold that kept openings and planned ones are those of the changed order, each once."""
    wanted = {opening.mark: opening for opening in openings}
    served = Counter({item.mark: item.quantity for item in difference.kept})
    kept = tuple(replace(wanted[k.mark], quantity=k.quantity) for k in difference.kept)
    if difference.order is not None:
        assert additional is not None
        served.update({o.mark: o.quantity for o in difference.order.openings})
        for opening in difference.order.openings:
            assert opening == replace(wanted[opening.mark], quantity=opening.quantity)
        assert check_plan(difference.order, take_off(difference.order), additional) == ()
    assert served == {opening.mark: opening.quantity for opening in openings}
    # The kits and pieces that keep openings are those that are gone from the holdings.
    used: Pieces = Counter()
    left = Counter({(h.sku, h.lengths): h.kits for h in difference.left.kits})
    for held in difference.holdings.kits:
        gone = held.kits - left[held.sku, held.lengths]
        assert gone >= 0
        for length_nm, count in held.lengths:
            used[held.material, length_nm] += gone * count
    for made in difference.holdings.pieces:
        used[made.material, made.length_nm] += made.pieces
    for made in difference.left.pieces:
        used[made.material, made.length_nm] -= made.pieces
    assert +used == pieces_of(kept, order)


@few
@given(orders, st.integers(0, 4))
def test_a_change_costs_no_more_than_the_added_openings_alone(
    drawn: tuple[int, str, bool], bars_cut: int
) -> None:
    """What the accepted plan weighs and does not pay is weighed again; see the README.

    Cut charges of pieces that are cut already are weighed twice: then nothing is cut here.
    """
    order, plan = accepted(*drawn)
    more = added(*drawn)
    cut = [CutBars(pattern=sheet.name, bars=1) for sheet in plan.patterns[:bars_cut]]
    if order.policy.cut_charge or order.policy.keep_drops or order.rack.offcuts:
        cut = []
    openings = (*order.openings, *more)
    difference = difference_order(order, plan, openings, cut=tuple(cut))
    assert difference.order is not None
    additional = make_plan(difference.order)
    serves_exactly(openings, order, difference, additional)
    alone = make_plan(replace(order, openings=more, rack=take(order.rack, plan)))
    held = difference.order.catalogues[-1]
    bars = held.stock_lengths if held.supplier == ALREADY_BOUGHT else ()
    worth = sum((bar.price * (bar.available or 0) for bar in bars), Decimal(0))
    weighed = plan.total - plan.payable
    bound = additional.certificate.lower_bound
    assert bound - worth <= alone.total + weighed
    if additional.certificate.proved:
        assert additional.total - worth <= alone.total + weighed
    account = settle_difference(order, plan, open_purchase(plan), difference, additional)
    assert account.net == plan.payable + account.additional - account.credit.total
    assert account.additional == additional.payable - sum(
        (s.total for s in additional.shipments if s.supplier == ALREADY_BOUGHT), Decimal(0)
    )
    if not weighed and additional.certificate.proved and not alone.total - alone.payable:
        assert account.additional <= alone.payable


@few
@given(orders, st.sets(st.integers(0, 2), min_size=1, max_size=2), st.integers(0, 4))
def test_openings_that_fall_away_cost_nothing_and_leave_what_they_needed(
    drawn: tuple[int, str, bool], gone: set[int], bars_cut: int
) -> None:
    order, plan = accepted(*drawn)
    openings = tuple(o for n, o in enumerate(order.openings) if n not in gone)
    cut = tuple(CutBars(pattern=sheet.name, bars=1) for sheet in plan.patterns[:bars_cut])
    difference = difference_order(order, plan, openings, cut=cut)
    additional = None if difference.order is None else make_plan(difference.order)
    serves_exactly(openings, order, difference, additional)
    account = settle_difference(order, plan, open_purchase(plan), difference, additional)
    if not plan.total - plan.payable:
        assert account.additional == 0
    needed = {s.pool: s.need.needed for s in additional.fasteners} if additional else {}
    if not any(line.fastener for line in account.purchases):
        assert {held.pool: held.count for held in account.surplus.fasteners} == {
            held.pool: held.count - needed.get(held.pool, 0)
            for held in difference.left.fasteners
            if held.count > needed.get(held.pool, 0)
        }
    # Nothing that is bought or cut vanishes: what is left over was needed by what fell away.
    spare_nm = sum(h.length_nm * h.bars for h in account.surplus.bars)
    held_nm = sum(h.length_nm * h.bars for h in difference.holdings.bars)
    cut_nm = 0
    for sheet in additional.patterns if additional else ():
        if sheet.sku.endswith("(already bought)"):
            cut_nm += sheet.stock_nm * sheet.bars
    assert spare_nm == held_nm - cut_nm


@few
@given(orders)
def test_an_unchanged_order_has_no_difference(drawn: tuple[int, str, bool]) -> None:
    order, plan = accepted(*drawn)
    difference = difference_order(order, plan, tuple(reversed(order.openings)))
    account = settle_difference(order, plan, open_purchase(plan), difference)
    assert difference.order is None
    assert (account.additional, account.net) == (0, plan.payable)
