"""Reasons for what the terms of buying decide: breaks, shipments, rack, drops, concessions."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from decimal import Decimal

from optimiser.domain.buying_reasons import (
    BreakReached,
    CutsCharged,
    DiscountReached,
    DropsKept,
    FastenersOnHandUsed,
    LeastValueReached,
    OffcutUsed,
    PiecesSpliced,
    SetSubstituted,
    ShipmentPriced,
    StandardKitsTrimmed,
)
from optimiser.domain.catalogue import FastenerPack, Material, StandardKit, StockLength
from optimiser.domain.decision import Splice
from optimiser.domain.kit_offer import discount_kit, quote_kit
from optimiser.domain.order import Order, articles_of
from optimiser.domain.plan import CutListLine, Plan, PurchaseKind, RackSource
from optimiser.domain.reasons import Reason
from optimiser.domain.standing_in import count_stand_ins
from optimiser.domain.takeoff import PieceSet, SetDemand, Takeoff


def give_buying_reasons(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[Reason]:
    """Yield a reason for each term of buying that bears on the plan; none for a plain order."""
    yield from _substitutions(order, takeoff, plan)
    yield from _standard_kits(order, takeoff, plan)
    yield from _splices(order, plan)
    yield from _rack(order, plan)
    yield from _drops(order, plan)
    yield from _cuts(order, plan)
    yield from _breaks(order, plan)
    yield from _discounts(order, takeoff, plan)
    yield from _least_values(order, plan)
    yield from _shipments(order, plan)


def _substitutions(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[SetSubstituted]:
    preference = {(r.wanted, r.instead): r.preference for r in order.policy.substitutions}
    for demand, material, openings in count_stand_ins(order, takeoff, plan.decision):
        each = preference[demand.piece_set.material, material]
        yield SetSubstituted(
            marks=_marks(demand),
            wanted=demand.piece_set.material,
            instead=material,
            openings=openings,
            preference=each,
            amount=openings * each,
        )


def _standard_kits(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[StandardKitsTrimmed]:
    used: Counter[str] = Counter()
    pieces_nm: Counter[str] = Counter()
    marks: dict[str, list[str]] = defaultdict(list)
    for demand, supply in zip(takeoff.demand.sets, plan.decision.supplies, strict=True):
        for sku, number in supply.standard_kits:
            if number:
                used[sku] += number
                pieces_nm[sku] += number * demand.piece_set.running_length_nm
                marks[sku].extend(_marks(demand))
    kits = {kit.sku: kit for kit in order.catalogue.standard_kits}
    for sku, bought in plan.decision.standard_kits:
        held_nm = sum(length_nm * count for length_nm, count in kits[sku].lengths)
        yield StandardKitsTrimmed(
            marks=tuple(marks[sku]),
            sku=sku,
            lengths=kits[sku].lengths,
            used=used[sku],
            bought=bought,
            trimmed_nm=used[sku] * held_nm - pieces_nm[sku],
        )


def _splices(order: Order, plan: Plan) -> Iterator[PiecesSpliced]:
    costs = {rule.product: rule.cost for rule in order.policy.splices}
    for splice in plan.decision.splices:
        cost = costs[splice.material.product]
        yield PiecesSpliced(
            marks=tuple(
                opening.takeoff.opening.mark
                for opening in plan.openings
                if any(_is_segment(line, splice) for line in opening.cut_list)
            ),
            material=splice.material,
            length_nm=splice.length_nm,
            segments_nm=splice.segments_nm,
            pieces=splice.pieces,
            cost=cost,
            amount=splice.pieces * cost,
        )


def _is_segment(line: CutListLine, splice: Splice) -> bool:
    return (
        line.material == splice.material
        and line.segment_of_nm == splice.length_nm
        and line.length_nm in splice.segments_nm
    )


def _rack(order: Order, plan: Plan) -> Iterator[Reason]:
    there = {offcut.id: offcut.quantity for offcut in order.rack.offcuts}
    for used in plan.offcuts_used:
        yield OffcutUsed(
            id=used.id,
            material=used.material,
            length_nm=used.length_nm,
            used=used.used,
            there=there[used.id],
            value=used.value,
            amount=used.used * used.value,
        )
    on_hand = {(held.fastener, held.finish): held.count for held in order.rack.fasteners}
    for taken in plan.fasteners_used:
        yield FastenersOnHandUsed(
            fastener=taken.fastener,
            finish=taken.finish,
            used=taken.used,
            there=on_hand[taken.fastener, taken.finish],
            value=taken.value,
            amount=taken.used * taken.value,
        )


def _drops(order: Order, plan: Plan) -> Iterator[DropsKept]:
    keep = order.policy.keep_drops
    if keep is None:
        return
    kept: dict[Material, Counter[tuple[int, Decimal]]] = defaultdict(Counter)
    for item in plan.next_rack:
        if item.kind is not RackSource.NOT_USED:
            kept[item.material][item.length_nm, item.credit] += item.quantity
    for material, lengths in sorted(kept.items()):
        yield DropsKept(
            material=material,
            least_nm=keep.least_nm,
            rate=keep.credit.price,
            per_nm=keep.credit.per_nm,
            lengths=tuple(
                (length_nm, number, credit)
                for (length_nm, credit), number in sorted(lengths.items(), reverse=True)
            ),
            amount=sum((n * credit for (_, credit), n in lengths.items()), Decimal(0)),
        )


def _cuts(order: Order, plan: Plan) -> Iterator[CutsCharged]:
    charge = order.policy.cut_charge
    pieces = sum(sheet.bars * count for sheet in plan.patterns for _, count in sheet.cuts)
    if charge and pieces:
        yield CutsCharged(pieces=pieces, charge=charge, amount=pieces * charge)


def _breaks(order: Order, plan: Plan) -> Iterator[BreakReached]:
    catalogue = order.catalogue
    articles: list[StockLength | FastenerPack | StandardKit] = [*catalogue.stock_lengths]
    articles += [*catalogue.fastener_packs, *catalogue.standard_kits]
    for article in articles:
        tiers = tuple(
            (line.quantity, line.unit_price)
            for line in plan.purchases
            if line.sku == article.sku and line.kind is not PurchaseKind.KIT
        )
        quantity = sum(units for units, _ in tiers)
        if not article.breaks or quantity < article.breaks[0].from_quantity:
            continue
        paid = sum((units * price for units, price in tiers), Decimal(0))
        yield BreakReached(
            sku=article.sku,
            quantity=quantity,
            price=article.price,
            break_kind=article.break_kind,
            tiers=tiers,
            saved=quantity * article.price - paid,
        )


def _discounts(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[DiscountReached]:
    bought: Counter[str] = Counter()
    sizes: dict[str, list[PieceSet]] = defaultdict(list)
    for demand, supply in zip(takeoff.demand.sets, plan.decision.supplies, strict=True):
        for sku, number in supply.kits:
            if number:
                bought[sku] += number
                sizes[sku].append(demand.piece_set)
    currency = order.catalogue.currency
    for kit in order.catalogue.kits:
        reached = [step for step in kit.discounts if bought[kit.sku] >= step.from_quantity]
        if reached and reached[-1].percent:
            yield DiscountReached(
                sku=kit.sku,
                kits=bought[kit.sku],
                from_quantity=reached[-1].from_quantity,
                percent=reached[-1].percent,
                prices=tuple(
                    (full, discount_kit(full, reached[-1].percent, currency))
                    for full in sorted(
                        {quote_kit(kit, size, currency).unit_price for size in sizes[kit.sku]}
                    )
                ),
            )


def _least_values(order: Order, plan: Plan) -> Iterator[LeastValueReached]:
    for article in articles_of(order.catalogue):
        lines = [line for line in plan.purchases if line.sku == article.sku]
        if lines and article.least_value > 0:
            yield LeastValueReached(
                sku=article.sku,
                quantity=sum(line.quantity for line in lines),
                value=sum((line.amount for line in lines), Decimal(0)),
                least_value=article.least_value,
            )


def _shipments(order: Order, plan: Plan) -> Iterator[ShipmentPriced]:
    for shipment in plan.shipments:
        if shipment.basis is None and not shipment.least_order and len(order.catalogues) == 1:
            continue
        yield ShipmentPriced(shipment=shipment)


def _marks(demand: SetDemand) -> tuple[str, ...]:
    return tuple(mark for mark, _ in demand.marks)
