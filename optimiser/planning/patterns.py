"""Cutting patterns with their account of length, and what they leave for the next time."""

from collections import Counter
from dataclasses import dataclass
from decimal import Decimal

from optimiser.domain.catalogue import Material
from optimiser.domain.decision import CuttingPattern, Decision
from optimiser.domain.kept_drops import credit_drop, credit_rate_of_offcut
from optimiser.domain.order import Order
from optimiser.domain.plan import (
    NextFasteners,
    NextOffcut,
    PatternSheet,
    RackSource,
    UsedFasteners,
    UsedOffcut,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bar:
    """What a pattern is cut from."""

    material: Material
    length_nm: int
    trims_nm: int
    from_rack: bool


def _bars_of(order: Order) -> dict[str, _Bar]:
    bars = {
        stock.sku: _Bar(
            material=stock.material,
            length_nm=stock.length_nm,
            trims_nm=2 * order.policy.end_trim_nm,
            from_rack=False,
        )
        for stock in order.catalogue.stock_lengths
    }
    for offcut in order.rack.offcuts:
        bars[offcut.id] = _Bar(
            material=offcut.material, length_nm=offcut.length_nm, trims_nm=0, from_rack=True
        )
    return bars


def name_patterns(order: Order, decision: Decision) -> tuple[PatternSheet, ...]:
    """Return the patterns, named in order: by material, then what is cut, longest pieces first."""
    bars = _bars_of(order)
    in_order = sorted(
        decision.patterns,
        key=lambda p: (
            bars[p.sku].material,
            p.sku,
            [(-length, -count) for length, count in p.cuts],
        ),
    )
    return tuple(
        _sheet(order, f"P{number}", pattern, bars[pattern.sku])
        for number, pattern in enumerate(in_order, start=1)
    )


def _sheet(order: Order, name: str, pattern: CuttingPattern, bar: _Bar) -> PatternSheet:
    kerf_nm = order.policy.kerf_nm
    pieces = sum(count for _, count in pattern.cuts)
    used_nm = sum(length * count for length, count in pattern.cuts)
    between_nm = (pieces - 1) * kerf_nm
    left_nm = bar.length_nm - bar.trims_nm - used_nm - between_nm
    # A last cut parts the last piece from the drop, unless the piece ends the bar.
    last_kerf_nm = min(kerf_nm, left_nm)
    drop_nm = left_nm - last_kerf_nm
    return PatternSheet(
        name=name,
        sku=pattern.sku,
        material=bar.material,
        bars=pattern.bars,
        stock_nm=bar.length_nm,
        cuts=pattern.cuts,
        kerf_nm=between_nm + last_kerf_nm,
        end_trim_nm=bar.trims_nm,
        drop_nm=drop_nm,
        from_rack=bar.from_rack,
        credit=_credit(order, pattern.sku, drop_nm),
    )


def _credit(order: Order, name: str, length_nm: int) -> Decimal:
    """Return the credit of what is left of a SKU or an offcut."""
    keep = order.policy.keep_drops
    if keep is None:
        return Decimal(0)
    offcuts = {offcut.id: offcut for offcut in order.rack.offcuts}
    rate = credit_rate_of_offcut(keep, offcuts[name]) if name in offcuts else keep.credit
    return credit_drop(length_nm, keep.least_nm, rate, order.catalogue.currency)


def use_offcuts(order: Order, decision: Decision) -> tuple[UsedOffcut, ...]:
    """Return the offcuts that are cut, with the value that each is counted at."""
    used = dict(decision.offcuts)
    return tuple(
        UsedOffcut(
            id=offcut.id,
            material=offcut.material,
            length_nm=offcut.length_nm,
            used=used[offcut.id],
            value=offcut.value,
        )
        for offcut in sorted(order.rack.offcuts, key=lambda offcut: offcut.id)
        if used.get(offcut.id)
    )


def use_fasteners(order: Order, decision: Decision) -> tuple[UsedFasteners, ...]:
    """Return the fasteners on hand that are used, with the value that each is counted at."""
    values = {(held.fastener, held.finish): held.value for held in order.rack.fasteners}
    return tuple(
        UsedFasteners(fastener=fastener, finish=finish, used=count, value=values[fastener, finish])
        for fastener, finish, count in decision.fasteners_on_hand
        if count
    )


def leave_fasteners(order: Order, decision: Decision) -> tuple[NextFasteners, ...]:
    """Return the fasteners on hand that are not used."""
    used = {(fastener, finish): n for fastener, finish, n in decision.fasteners_on_hand}
    left = [
        (held, held.count - used.get((held.fastener, held.finish), 0))
        for held in order.rack.fasteners
    ]
    return tuple(
        NextFasteners(fastener=held.fastener, finish=held.finish, count=count)
        for held, count in left
        if count
    )


def left_whole(order: Order, decision: Decision) -> tuple[tuple[str, int], ...]:
    """Return the bars of each SKU that are bought and not cut."""
    cut = Counter[str]()
    for pattern in decision.patterns:
        cut[pattern.sku] += pattern.bars
    stock = {item.sku: item for item in order.catalogue.stock_lengths}
    left = [
        (sku, units * stock[sku].bars_per_unit - cut[sku])
        for sku, units in sorted(decision.stock_lengths)
    ]
    return tuple((sku, bars) for sku, bars in left if bars > 0)


def fill_next_rack(
    order: Order, decision: Decision, patterns: tuple[PatternSheet, ...]
) -> tuple[NextOffcut, ...]:
    """Return what is on the rack next time: kept drops, bars left whole, offcuts not used.

    Where the policy keeps no drops, only the offcuts that are not used remain.
    """
    kept: list[NextOffcut] = []
    keep = order.policy.keep_drops
    if keep is not None:
        kept.extend(
            NextOffcut(
                kind=RackSource.DROP,
                source=sheet.name,
                material=sheet.material,
                length_nm=sheet.drop_nm,
                quantity=sheet.bars,
                credit=sheet.credit,
            )
            for sheet in patterns
            if sheet.drop_nm > 0 and sheet.drop_nm >= keep.least_nm
        )
        stock = {item.sku: item for item in order.catalogue.stock_lengths}
        kept.extend(
            NextOffcut(
                kind=RackSource.WHOLE_BAR,
                source=sku,
                material=stock[sku].material,
                length_nm=stock[sku].length_nm,
                quantity=bars,
                credit=_credit(order, sku, stock[sku].length_nm),
            )
            for sku, bars in left_whole(order, decision)
            if stock[sku].length_nm >= keep.least_nm
        )
    used = dict(decision.offcuts)
    kept.extend(
        NextOffcut(
            kind=RackSource.NOT_USED,
            source=offcut.id,
            material=offcut.material,
            length_nm=offcut.length_nm,
            quantity=offcut.quantity - used.get(offcut.id, 0),
        )
        for offcut in sorted(order.rack.offcuts, key=lambda offcut: offcut.id)
        if offcut.quantity > used.get(offcut.id, 0)
    )
    return tuple(kept)
