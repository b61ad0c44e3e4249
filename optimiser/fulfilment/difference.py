"""A change of an accepted order, as an order for what is not served yet.

What is held enters that order as goods of one more supplier, whose shipment costs nothing: whole
bars at the price of `bar_prices.py`, with the end trim of any bar; kits at no price, as standard
kits, which may be trimmed; fasteners one by one. Cut pieces lie on its rack as offcuts of just
their length, at no value.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.catalogue import (
    Catalogue,
    FastenerPack,
    PackContents,
    StandardKit,
    StockLength,
)
from optimiser.domain.deliveries import CutBars, OpenPurchase
from optimiser.domain.difference import ALREADY_BOUGHT, Difference, Holdings
from optimiser.domain.faults import DifferenceRejected, Fault
from optimiser.domain.opening import Opening
from optimiser.domain.order import Order, articles_of
from optimiser.domain.plan import Plan
from optimiser.domain.rack import Offcut, Rack
from optimiser.domain.takeoff import OpeningTakeoff
from optimiser.fulfilment.bar_prices import price_bars
from optimiser.fulfilment.holdings import (
    MADE_PIECE,
    hold_goods,
    name_kits,
    name_pieces,
    named_already_bought,
)
from optimiser.fulfilment.keeping import Kept, keep_openings
from optimiser.fulfilment.lines import open_purchase
from optimiser.fulfilment.rack import put_on, take
from optimiser.rule_sets import RuleSet
from optimiser.takeoff import take_off


def difference_order(
    order: Order,
    plan: Plan,
    openings: tuple[Opening, ...],
    *,
    purchase: OpenPurchase | None = None,
    cut: tuple[CutBars, ...] = (),
    rack: Rack | None = None,
    before: Holdings | None = None,
    rule_sets: Iterable[RuleSet] = (),
    most_offcuts: int | None = None,
) -> Difference:
    """Return what an accepted order keeps when its openings change, and an order for the rest.

    `openings` are all openings of the changed order. `purchase` is what is bought, arrived or
    not; without it all that the plan buys. `cut` is what is cut already. `rack` is what the rack
    holds beside what the plan takes; without it what the plan leaves there. Where the accepted
    order is itself that of a difference, `before` are the holdings of that one. `most_offcuts` is
    how many entries the rack of the order may have; `None` leaves it open.

    Raises:
        InvalidOrder: the openings are wrong; every fault is named.
        CutRejected: `cut` is not in the plan.
        RackRejected: the rack of the order does not hold what its plan takes.
        DifferenceRejected: names clash with those of what is held, or the rack has too many
            entries; every fault is named.
    """
    changed = replace(order, openings=openings)
    takeoff = take_off(changed, rule_sets=rule_sets)
    bought = open_purchase(plan) if purchase is None else purchase
    holdings = hold_goods(order, plan, bought, cut, before=before)
    count = sum(opening.quantity for opening in openings)
    if before is None and _stands(plan, bought, takeoff.openings):
        return Difference(
            openings=count,
            holdings=holdings,
            left=Holdings(),
            kept=(),
            order=None,
            unchanged=True,
        )
    kept = keep_openings(takeoff, order.policy, holdings)
    to_plan = tuple(
        replace(opening, quantity=kept.to_plan[opening.mark])
        for opening in openings
        if kept.to_plan[opening.mark]
    )
    free = _without_pieces(take(order.rack, plan)) if rack is None else rack
    return Difference(
        openings=count,
        holdings=holdings,
        left=kept.left,
        kept=kept.openings,
        order=_write_order(order, to_plan, kept, free, most_offcuts) if to_plan else None,
    )


def _without_pieces(rack: Rack) -> Rack:
    """Return a rack without the cut pieces of an earlier difference: the holdings have them."""
    offcuts = tuple(offcut for offcut in rack.offcuts if not offcut.id.startswith(MADE_PIECE))
    return replace(rack, offcuts=offcuts)


def _stands(plan: Plan, bought: OpenPurchase, openings: tuple[OpeningTakeoff, ...]) -> bool:
    """Return whether the plan serves the openings as it stands: the same needs, all bought."""
    accepted = _count_needs(item.takeoff for item in plan.openings)
    held = {(line.supplier, line.sku, line.made_for): line.held for line in bought.lines}
    wanted = {
        (line.supplier, line.sku, line.made_for): line.ordered for line in open_purchase(plan).lines
    }
    return accepted == _count_needs(openings) and held == wanted


def _count_needs(openings: Iterable[OpeningTakeoff]) -> Counter[object]:
    needs: Counter[object] = Counter()
    for taken in openings:
        needs[taken.pieces, taken.fasteners] += taken.opening.quantity
    return needs


def _write_order(
    order: Order, openings: tuple[Opening, ...], kept: Kept, rack: Rack, most_offcuts: int | None
) -> Order:
    suppliers = tuple(c for c in order.catalogues if c.supplier != ALREADY_BOUGHT)
    pieces = tuple(_lay_out_pieces(kept.left))
    reserved = Rack(offcuts=(*pieces, *kept.left.offcuts))
    on_hand = put_on(rack, reserved, unit=order.unit)
    held = _already_bought(replace(order, catalogues=suppliers), on_hand, kept.left)
    faults = list(_find_clashes(suppliers, held, pieces, rack))
    entries = len(on_hand.offcuts)
    if most_offcuts is not None and entries > most_offcuts:
        faults.append(
            Fault(
                ("rack", "offcuts"),
                "too-many-offcuts",
                f"The rack of the changed order has {entries:,} entries, of which {len(pieces):,} "
                f"are pieces cut already, and may have {most_offcuts:,}; leave some offcuts out of "
                "the rack.",
            )
        )
    if faults:
        raise DifferenceRejected(tuple(faults))
    return replace(
        order,
        openings=openings,
        catalogues=(*suppliers, held) if articles_of(held) else suppliers,
        rack=on_hand,
        policy=replace(order.policy, alternatives=False),
    )


def _find_clashes(
    suppliers: tuple[Catalogue, ...], held: Catalogue, pieces: tuple[Offcut, ...], rack: Rack
) -> Iterator[Fault]:
    """Yield a fault for each name of what is held that something else has already."""
    names = {article.sku for article in articles_of(held)} | {piece.id for piece in pieces}
    for number, catalogue in enumerate(suppliers):
        for article in articles_of(catalogue):
            if article.sku in names:
                yield Fault(
                    ("catalogues", number),
                    "repeated-sku",
                    f"SKU {article.sku} of {catalogue.supplier} has the name of what is already "
                    "bought; give it another one.",
                )
    for position, offcut in enumerate(rack.offcuts):
        if offcut.id in names:
            yield Fault(
                ("rack", "offcuts", position, "id"),
                "repeated-id",
                f"Offcut {offcut.id} has the name of what is already bought or cut; give it "
                "another one.",
            )


def _already_bought(order: Order, rack: Rack, left: Holdings) -> Catalogue:
    """Return what is left of the holdings, but the cut pieces, as goods of one more supplier."""
    return Catalogue(
        supplier=ALREADY_BOUGHT,
        currency=order.catalogue.currency,
        stock_lengths=tuple(
            StockLength(
                sku=named_already_bought(held.sku),
                material=held.material,
                length_nm=held.length_nm,
                price=price,
                available=held.bars,
            )
            for held, price in zip(left.bars, price_bars(order, rack, left.bars), strict=True)
        ),
        standard_kits=tuple(_held_kits(left)),
        fastener_packs=tuple(
            FastenerPack(
                sku=named_already_bought(str(held.pool)),
                fastener=held.pool.fastener,
                finish=held.pool.finish,
                contents=PackContents(nominal=Fraction(1), basis="already bought"),
                price=Decimal(0),
                available=held.count,
            )
            for held in left.fasteners
            if held.count > 0
        ),
    )


def _held_kits(left: Holdings) -> Iterator[StandardKit]:
    for held, name in zip(left.kits, name_kits(left.kits), strict=True):
        yield StandardKit(
            sku=name,
            material=held.material,
            lengths=held.lengths,
            price=Decimal(0),
            available=held.kits,
        )


def _lay_out_pieces(left: Holdings) -> Iterator[Offcut]:
    for made, name in zip(left.pieces, name_pieces(left.pieces), strict=True):
        yield Offcut(
            id=name, material=made.material, length_nm=made.length_nm, quantity=made.pieces
        )
