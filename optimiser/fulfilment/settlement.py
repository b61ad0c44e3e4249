"""What a change of an accepted order comes to: what is bought beside, and what is left over."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal

from optimiser.domain.deliveries import OpenLine, OpenPurchase
from optimiser.domain.difference import (
    ALREADY_BOUGHT,
    Difference,
    DifferenceAccount,
    HeldFasteners,
    Holdings,
)
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan, PurchaseKind
from optimiser.domain.rack import Rack
from optimiser.domain.returns import ReturnTerms
from optimiser.domain.takeoff import FastenerPool
from optimiser.fulfilment.goods import Goods
from optimiser.fulfilment.holdings import (
    MADE_PIECE,
    name_kits,
    name_pieces,
    named_already_bought,
)
from optimiser.fulfilment.lines import LineKey, key_of
from optimiser.fulfilment.rack import put_on, take
from optimiser.fulfilment.returns import credit_returns, may_go_back


def settle_difference(
    order: Order,
    plan: Plan,
    purchase: OpenPurchase,
    difference: Difference,
    additional: Plan | None = None,
    *,
    terms: tuple[ReturnTerms, ...] = (),
    accepted: Decimal | None = None,
) -> DifferenceAccount:
    """Return what a change comes to, in what suppliers are paid.

    `order`, `plan` and `purchase` are those that the difference was made from, `additional` the
    plan of its order, where it has one. `accepted` is what has been paid or is owed so far;
    without it what the plan pays. Surplus counts whole bars, kits, cut pieces and fasteners that
    no opening needs; what may be returned of it is counted in whole units as sold, arrived or
    not, on the `terms` of the suppliers.
    """
    surplus = _find_surplus(difference, additional)
    goods = Goods(order, plan)
    back = _whole_units(goods, purchase, surplus)
    credit = credit_returns(
        order,
        plan,
        purchase,
        {
            key_of(line): back[key_of(line)]
            for line in purchase.lines
            if back[key_of(line)] and may_go_back(line, terms)
        },
        terms,
    )
    bought = () if additional is None else additional.purchases
    shipments = tuple(
        shipment
        for shipment in (() if additional is None else additional.shipments)
        if shipment.supplier != ALREADY_BOUGHT
    )
    return DifferenceAccount(
        currency=plan.currency,
        unit=plan.unit,
        accepted=plan.payable if accepted is None else accepted,
        additional=sum((shipment.total for shipment in shipments), Decimal(0)),
        purchases=tuple(line for line in bought if line.supplier != ALREADY_BOUGHT),
        shipments=shipments,
        surplus=surplus,
        credit=credit,
        openings=difference.openings,
        kept=difference.kept,
        unchanged=difference.unchanged,
    )


def retake(rack: Rack, difference: Difference, additional: Plan | None = None) -> Rack:
    """Return the rack when a change is accepted.

    `rack` is what it holds beside what the accepted plan takes. The offcuts that are reserved and
    not cut come back to it, and the plan of the difference, where there is one, takes its own.

    Raises:
        RackRejected: the rack no longer holds what the plan wants; every fault is named.
    """
    if difference.unchanged:
        return rack
    whole = put_on(rack, Rack(offcuts=difference.holdings.offcuts))
    if additional is None:
        return whole
    taken = tuple(u for u in additional.offcuts_used if not u.id.startswith(MADE_PIECE))
    return take(whole, replace(additional, offcuts_used=taken))


def _find_surplus(difference: Difference, additional: Plan | None) -> Holdings:
    """Return what is left of the holdings when the plan of the rest has taken what it needs."""
    left = difference.left
    if additional is None:
        # Fasteners of the openings that are kept are not left any more.
        return replace(left, fasteners=tuple(f for f in left.fasteners if f.count > 0))
    cut = Counter[str]()
    for sheet in additional.patterns:
        cut[sheet.sku] += sheet.bars
    served = Counter[str]()
    for supply in additional.decision.supplies:
        for sku, openings in supply.standard_kits:
            served[sku] += openings
    kits = []
    for held, name in zip(left.kits, name_kits(left.kits), strict=True):
        kits.append(replace(held, kits=held.kits - served[name]))
    return Holdings(
        bars=tuple(
            replace(held, bars=held.bars - cut[named_already_bought(held.sku)])
            for held in left.bars
            if held.bars > cut[named_already_bought(held.sku)]
        ),
        kits=tuple(held for held in kits if held.kits),
        pieces=tuple(
            replace(made, pieces=made.pieces - cut[name])
            for made, name in zip(left.pieces, name_pieces(left.pieces), strict=True)
            if made.pieces > cut[name]
        ),
        fasteners=tuple(_spare_fasteners(left, additional)),
        offcuts=tuple(
            replace(offcut, quantity=offcut.quantity - cut[offcut.id])
            for offcut in left.offcuts
            if offcut.quantity > cut[offcut.id]
        ),
    )


def _spare_fasteners(left: Holdings, additional: Plan) -> Iterator[HeldFasteners]:
    """Yield what is left of each pool: held and not taken, or taken and to spare.

    Those that are bought in the additional plan are counted as used last.
    """
    units = {line.sku: line.quantity for line in additional.purchases}
    spare = {supply.pool: supply.spare for supply in additional.fasteners}
    for held in left.fasteners:
        taken = units.get(named_already_bought(str(held.pool)), 0)
        count = min(held.count, held.count - taken + spare.get(held.pool, 0))
        if count > 0:
            yield replace(held, count=count)


def _whole_units(goods: Goods, purchase: OpenPurchase, surplus: Holdings) -> Counter[LineKey]:
    """Return how many whole units of each line are to spare.

    Of packs of one pool the largest are counted first, as many as the spare fasteners fill.
    """
    units: Counter[LineKey] = Counter()
    bars = {held.sku: held.bars for held in surplus.bars}
    kits = {(held.sku, held.lengths): held.kits for held in surplus.kits}
    packs: dict[FastenerPool, list[tuple[int, OpenLine]]] = defaultdict(list)
    for line in purchase.lines:
        key = key_of(line)
        match line.kind:
            case PurchaseKind.STOCK_LENGTH:
                units[key] = min(bars.get(line.sku, 0) // goods.bars(line), line.held)
            case PurchaseKind.KIT | PurchaseKind.STANDARD_KIT:
                units[key] = min(kits.get((line.sku, line.lengths), 0), line.held)
            case PurchaseKind.FASTENER_PACK:
                brought = goods.fasteners(line)
                assert brought is not None
                packs[brought[0]].append((brought[1], line))
    spare = {held.pool: held.count for held in surplus.fasteners}
    for pool, of_pool in packs.items():
        left = spare.get(pool, 0)
        for each, line in sorted(of_pool, key=lambda pack: (-pack[0], pack[1].sku)):
            units[key_of(line)] = min(left // each, line.held)
            left -= units[key_of(line)] * each
    return units
