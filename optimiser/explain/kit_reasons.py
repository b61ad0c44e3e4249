"""Reasons and notices for kits: what each holds and costs, and which openings get one."""

from collections.abc import Iterator
from fractions import Fraction

from optimiser.domain.catalogue import Kit
from optimiser.domain.decision import Supply
from optimiser.domain.kit_offer import KitQuote, quote_kit
from optimiser.domain.notices import KitShortOfFasteners
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.domain.reasons import (
    KitFastenersCounted,
    KitFastenersPriced,
    KitPriced,
    Reason,
    SetServed,
)
from optimiser.domain.takeoff import PieceSet, SetDemand, Takeoff, pool_of


def give_kit_reasons(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[Reason]:
    """Yield, for each piece set, what serves it, and the arithmetic of each kit bought."""
    kits = {kit.sku: kit for kit in order.catalogue.kits}
    for (demand, bought), supply in zip(
        _bought(takeoff, plan), plan.decision.supplies, strict=True
    ):
        yield _describe_service(demand, bought, kits, supply)
        for sku in bought:
            quote = quote_kit(kits[sku], demand.piece_set, order.catalogue.currency)
            yield from _give_kit_arithmetic(order, demand, kits[sku], quote)


def find_short_kits(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[KitShortOfFasteners]:
    """Yield the kits that hold fewer fasteners than their supplier's own spacing asks for."""
    kits = {kit.sku: kit for kit in order.catalogue.kits}
    for demand, bought in _bought(takeoff, plan):
        for sku, number in bought.items():
            fasteners = kits[sku].fasteners
            if fasteners is None:
                continue
            quote = quote_kit(kits[sku], demand.piece_set, order.catalogue.currency)
            held = quote.packs * int(fasteners.contents.nominal)
            if held < quote.fastener_count:
                yield KitShortOfFasteners(
                    marks=_marks(demand),
                    sku=sku,
                    kits=number,
                    fastener=fasteners.fastener,
                    spacing_nm=fasteners.spacing_nm,
                    fasteners=quote.fastener_count,
                    packs=quote.packs,
                    held=held,
                    short=quote.fastener_count - held,
                )


def _bought(takeoff: Takeoff, plan: Plan) -> Iterator[tuple[SetDemand, dict[str, int]]]:
    for demand, supply in zip(takeoff.demand.sets, plan.decision.supplies, strict=True):
        yield demand, {sku: number for sku, number in supply.kits if number}


def _marks(demand: SetDemand) -> tuple[str, ...]:
    return tuple(mark for mark, _ in demand.marks)


def _describe_service(
    demand: SetDemand, bought: dict[str, int], kits: dict[str, Kit], supply: Supply
) -> SetServed:
    with_fasteners = sum(n for sku, n in bought.items() if kits[sku].fasteners is not None)
    bare = sum(bought.values()) - with_fasteners
    return SetServed(
        marks=_marks(demand),
        material=demand.piece_set.material,
        lengths=demand.piece_set.lengths,
        openings=demand.quantity,
        kits_with_fasteners=with_fasteners,
        bare_kits=bare,
        cut=supply.cut,
        standard_kits=sum(n for _, n in supply.standard_kits),
        cut_instead=sum(n for _, n in supply.cut_instead),
    )


def _give_kit_arithmetic(
    order: Order, demand: SetDemand, kit: Kit, quote: KitQuote
) -> Iterator[Reason]:
    marks, pieces = _marks(demand), demand.piece_set
    if kit.fasteners is not None:
        yield KitFastenersCounted(
            marks=marks,
            sku=kit.sku,
            fastener=kit.fasteners.fastener,
            nailed_nm=dict(pieces.nailed_nm).get(kit.fasteners.fastener, 0),
            spacing_nm=kit.fasteners.spacing_nm,
            fasteners=quote.fastener_count,
            per_pack=kit.fasteners.contents.nominal,
            tolerance_percent=kit.fasteners.contents.tolerance_percent,
            rounding=kit.fasteners.rounding,
            packs=quote.packs,
            counted_on=quote.fasteners_low,
        )
    yield KitPriced(
        marks=marks,
        sku=kit.sku,
        base=kit.price.base,
        per_length=kit.price.per_length,
        per_length_nm=kit.price.per_length_nm,
        running_length_nm=pieces.running_length_nm,
        per_piece=kit.price.per_piece,
        pieces=pieces.piece_count,
        per_pack=kit.price.per_pack,
        packs=quote.packs,
        unit_price=quote.unit_price,
    )
    if kit.fasteners is not None and quote.packs:
        yield from _compare_with_loose(order, marks, pieces, kit, quote)


def _compare_with_loose(
    order: Order, marks: tuple[str, ...], pieces: PieceSet, kit: Kit, quote: KitQuote
) -> Iterator[KitFastenersPriced]:
    """Yield the price of a kit's fasteners over the cheapest bare kit, where one is offered."""
    catalogue = order.catalogue
    bare = [
        (quote_kit(other, pieces, catalogue.currency).unit_price, other.sku)
        for other in catalogue.kits
        if other.fasteners is None
        and other.material == kit.material
        and (other.longest_piece_nm is None or pieces.lengths[0][0] <= other.longest_piece_nm)
    ]
    if not bare or kit.fasteners is None:
        return
    bare_price, bare_sku = min(bare)
    pool = pool_of(kit.fasteners.fastener, kit.material.finish, order.policy)
    loose = [
        (Fraction(pack.price) / pack.contents.low_count, pack)
        for pack in catalogue.fastener_packs
        if pack.fastener == pool.fastener and pool.finish in {None, pack.finish}
    ]
    cheapest = min(loose, key=lambda priced: (priced[0], priced[1].sku))[1] if loose else None
    yield KitFastenersPriced(
        marks=marks,
        sku=kit.sku,
        bare_sku=bare_sku,
        extra=quote.unit_price - bare_price,
        packs=quote.packs,
        counted_on=quote.fasteners_low,
        loose=None
        if cheapest is None
        else (cheapest.sku, cheapest.price, cheapest.contents.low_count),
    )
