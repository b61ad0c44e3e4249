"""Turn a decision into the plan's tables: purchases, supply by mark, cut list, patterns."""

from collections import defaultdict
from collections.abc import Iterable
from decimal import Decimal

from optimiser.domain.catalogue import Material
from optimiser.domain.decision import Decision, Solution
from optimiser.domain.kit_offer import quote_kit
from optimiser.domain.order import Order
from optimiser.domain.plan import (
    AccountKind,
    AccountLine,
    CutListLine,
    FastenerSupply,
    OpeningPlan,
    PatternSheet,
    Plan,
    PurchaseKind,
    PurchaseLine,
    SetSupply,
)
from optimiser.domain.takeoff import FastenerPool, OpeningTakeoff, SetDemand, Takeoff


def assemble_plan(order: Order, takeoff: Takeoff, solution: Solution) -> Plan:
    """Return the plan of a solution, without alternatives, reasons, notices and cautions."""
    decision = solution.decision
    purchases = _list_purchases(order, takeoff, decision)
    patterns = _name_patterns(order, decision)
    account = tuple(
        AccountLine(
            kind=AccountKind(kind),
            amount=sum((p.amount for p in purchases if p.kind is kind), Decimal(0)),
        )
        for kind in PurchaseKind
    )
    return Plan(
        reference=order.reference,
        supplier=order.catalogue.supplier,
        currency=order.catalogue.currency,
        unit=order.unit,
        purchases=purchases,
        openings=_plan_openings(takeoff, decision, patterns),
        patterns=patterns,
        fasteners=_supply_fasteners(order, takeoff, decision),
        account=account,
        total=sum((line.amount for line in account), Decimal(0)),
        certificate=solution.certificate,
        decision=decision,
        alternatives=(),
        reasons=(),
        notices=(),
        cautions=(),
    )


def _list_purchases(order: Order, takeoff: Takeoff, decision: Decision) -> tuple[PurchaseLine, ...]:
    catalogue = order.catalogue
    stock_by_sku = {stock.sku: stock for stock in catalogue.stock_lengths}
    kit_by_sku = {kit.sku: kit for kit in catalogue.kits}
    pack_by_sku = {pack.sku: pack for pack in catalogue.fastener_packs}
    lines = []
    for sku, quantity in sorted(decision.stock_lengths):
        stock = stock_by_sku[sku]
        lines.append(
            PurchaseLine(
                kind=PurchaseKind.STOCK_LENGTH,
                sku=sku,
                quantity=quantity,
                unit_price=stock.price,
                amount=quantity * stock.price,
                material=stock.material,
                length_nm=stock.length_nm,
            )
        )
    for sku, set_demand, quantity in _bought_kits(takeoff, decision):
        kit = kit_by_sku[sku]
        quote = quote_kit(kit, set_demand.piece_set, catalogue.currency)
        lines.append(
            PurchaseLine(
                kind=PurchaseKind.KIT,
                sku=sku,
                quantity=quantity,
                unit_price=quote.unit_price,
                amount=quantity * quote.unit_price,
                material=kit.material,
                fastener=kit.fasteners.fastener if kit.fasteners else None,
                packs_per_kit=quote.packs if kit.fasteners else None,
                lengths=set_demand.piece_set.lengths,
                made_for=tuple(mark for mark, _ in set_demand.marks),
            )
        )
    for sku, quantity in sorted(decision.packs):
        pack = pack_by_sku[sku]
        lines.append(
            PurchaseLine(
                kind=PurchaseKind.FASTENER_PACK,
                sku=sku,
                quantity=quantity,
                unit_price=pack.price,
                amount=quantity * pack.price,
                fastener=pack.fastener,
            )
        )
    return tuple(lines)


def _bought_kits(takeoff: Takeoff, decision: Decision) -> list[tuple[str, SetDemand, int]]:
    bought = [
        (sku, position, quantity)
        for position, supply in enumerate(decision.supplies)
        for sku, quantity in supply.kits
        if quantity
    ]
    sets = takeoff.demand.sets
    return [(sku, sets[position], quantity) for sku, position, quantity in sorted(bought)]


def _name_patterns(order: Order, decision: Decision) -> tuple[PatternSheet, ...]:
    stock_by_sku = {stock.sku: stock for stock in order.catalogue.stock_lengths}
    kerf_nm = order.policy.kerf_nm
    trims_nm = 2 * order.policy.end_trim_nm
    sheets = []
    in_order = sorted(
        decision.patterns,
        key=lambda p: (
            stock_by_sku[p.sku].material,
            p.sku,
            [(-length, -count) for length, count in p.cuts],
        ),
    )
    for number, pattern in enumerate(in_order, start=1):
        stock = stock_by_sku[pattern.sku]
        pieces = sum(count for _, count in pattern.cuts)
        used_nm = sum(length * count for length, count in pattern.cuts)
        between_nm = (pieces - 1) * kerf_nm
        left_nm = stock.length_nm - trims_nm - used_nm - between_nm
        # A last cut parts the last piece from the drop, unless the piece ends the bar.
        last_kerf_nm = min(kerf_nm, left_nm)
        sheets.append(
            PatternSheet(
                name=f"P{number}",
                sku=pattern.sku,
                material=stock.material,
                bars=pattern.bars,
                stock_nm=stock.length_nm,
                cuts=pattern.cuts,
                kerf_nm=between_nm + last_kerf_nm,
                end_trim_nm=trims_nm,
                drop_nm=left_nm - last_kerf_nm,
            )
        )
    return tuple(sheets)


class _Allotment:
    """Hands out counted things in a fixed order, as many at a time as are asked for."""

    def __init__(self, stacks: Iterable[tuple[str, int]]) -> None:
        self._stacks = [(name, count) for name, count in stacks if count]
        self._stacks.reverse()

    def take(self, wanted: int) -> tuple[tuple[str, int], ...]:
        """Return up to `wanted` things as (name, count), less when the stacks run out."""
        taken: list[tuple[str, int]] = []
        while wanted and self._stacks:
            name, left = self._stacks.pop()
            count = min(wanted, left)
            taken.append((name, count))
            wanted -= count
            if count < left:
                self._stacks.append((name, left - count))
        return tuple(taken)


def _plan_openings(
    takeoff: Takeoff, decision: Decision, patterns: tuple[PatternSheet, ...]
) -> tuple[OpeningPlan, ...]:
    supply_of = _share_supplies(takeoff, decision)
    yields: dict[tuple[Material, int], list[tuple[str, int]]] = defaultdict(list)
    for sheet in patterns:
        for length_nm, count in sheet.cuts:
            yields[sheet.material, length_nm].append((sheet.name, count * sheet.bars))
    allotments = {key: _Allotment(stacks) for key, stacks in yields.items()}
    return tuple(
        OpeningPlan(
            takeoff=opening,
            supplies=tuple(supply_of[opening.opening.mark].values()),
            cut_list=_list_cuts(opening, supply_of[opening.opening.mark], allotments),
        )
        for opening in takeoff.openings
    )


def _share_supplies(takeoff: Takeoff, decision: Decision) -> dict[str, dict[Material, SetSupply]]:
    """Share the kits of each piece set among its marks: in the order of the marks."""
    shared: dict[str, dict[Material, SetSupply]] = defaultdict(dict)
    for set_demand, supply in zip(takeoff.demand.sets, decision.supplies, strict=True):
        material = set_demand.piece_set.material
        kits = _Allotment(supply.kits)
        for mark, quantity in set_demand.marks:
            taken = kits.take(quantity)
            shared[mark][material] = SetSupply(
                material=material,
                kits=taken,
                cut=quantity - sum(count for _, count in taken),
            )
    return shared


def _list_cuts(
    opening: OpeningTakeoff,
    supplies: dict[Material, SetSupply],
    allotments: dict[tuple[Material, int], _Allotment],
) -> tuple[CutListLine, ...]:
    mark = opening.opening.mark
    lines = []
    for piece in opening.pieces:
        pieces = piece.count * supplies[piece.material].cut
        if not pieces:
            continue
        lines.append(
            CutListLine(
                label=f"{mark} {piece.edge.value.replace('-', ' ')}, {piece.member}",
                edge=piece.edge,
                member=piece.member,
                lies_on=piece.lies_on,
                material=piece.material,
                length_nm=piece.length_nm,
                pieces=pieces,
                from_patterns=allotments[piece.material, piece.length_nm].take(pieces),
            )
        )
    return tuple(lines)


def _supply_fasteners(
    order: Order, takeoff: Takeoff, decision: Decision
) -> tuple[FastenerSupply, ...]:
    catalogue = order.catalogue
    match = order.policy.fasteners_match_finish
    kits: dict[FastenerPool, dict[tuple[str, int], int]] = defaultdict(lambda: defaultdict(int))
    kit_by_sku = {kit.sku: kit for kit in catalogue.kits}
    for sku, set_demand, quantity in _bought_kits(takeoff, decision):
        kit = kit_by_sku[sku]
        if kit.fasteners is None:
            continue
        each = quote_kit(kit, set_demand.piece_set, catalogue.currency).fasteners_low
        pool = FastenerPool(kit.fasteners.fastener, kit.material.finish if match else None)
        kits[pool][sku, each] += quantity
    bought = dict(decision.packs)
    return tuple(
        FastenerSupply(
            pool=need.pool,
            need=need,
            kits=tuple((sku, n, each) for (sku, each), n in sorted(kits[need.pool].items())),
            packs=tuple(
                (pack.sku, bought[pack.sku], pack.contents.low_count)
                for pack in sorted(catalogue.fastener_packs, key=lambda p: p.sku)
                if pack.sku in bought
                and pack.fastener == need.pool.fastener
                and (not match or pack.finish == need.pool.finish)
            ),
        )
        for need in takeoff.demand.fasteners
    )
