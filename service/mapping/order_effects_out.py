"""Writing what a change of an order did, what openings wait for, and what a change comes to."""

from collections.abc import Iterator
from typing import Literal

from optimiser.domain import back_orders as domain
from optimiser.domain.deliveries import OpenPurchase
from optimiser.domain.difference import DifferenceAccount, Holdings
from optimiser.domain.rack import Rack
from optimiser.domain.returns import ReturnCredit
from optimiser.domain.takeoff import FastenerPool
from optimiser.fulfilment.lines import key_of
from optimiser.units.lengths import LengthUnit
from service.mapping.shown import ValueWriter
from service.wire import order_effects as wire


def write_rack_change(name: str, before: Rack, after: Rack) -> wire.RackChange:
    """Return what changed on a rack."""
    entries = [
        *_compare("offcut", _count_offcuts(before), _count_offcuts(after)),
        *_compare("fasteners", _count_fasteners(before), _count_fasteners(after)),
    ]
    return wire.RackChange(rack=name, entries=entries)


def _compare(
    kind: Literal["offcut", "fasteners"], was: dict[str, int], now: dict[str, int]
) -> Iterator[wire.RackEntryChange]:
    for entry in sorted({*was, *now}):
        before, after = was.get(entry, 0), now.get(entry, 0)
        if before != after:
            yield wire.RackEntryChange(kind=kind, name=entry, before=before, after=after)


def write_line_changes(before: OpenPurchase, after: OpenPurchase) -> list[wire.LineChange]:
    """Return the lines that changed."""
    was = {key_of(line): line for line in before.lines}
    changes = []
    for line in after.lines:
        known = was.get(key_of(line))
        if known == line:
            continue
        changes.append(
            wire.LineChange(
                supplier=line.supplier,
                sku=line.sku,
                made_for=list(line.made_for),
                open_before=known.open if known else 0,
                open_after=line.open,
                there_before=known.received - known.returned if known else 0,
                there_after=line.received - line.returned,
            )
        )
    return changes


def write_return_credit(credit: ReturnCredit) -> wire.ReturnCredit:
    """Return what is credited for what goes back."""
    money = ValueWriter(LengthUnit.INCH, credit.currency).amount
    return wire.ReturnCredit(
        currency=credit.currency,
        lines=[
            wire.ReturnedUnits(
                supplier=line.supplier,
                sku=line.sku,
                made_for=list(line.made_for),
                quantity=line.quantity,
                paid_before=money(line.paid_before),
                paid_after=money(line.paid_after),
                credit=money(line.credit),
                charge=money(line.charge),
            )
            for line in credit.lines
        ],
        suppliers=[
            wire.SupplierCredit(
                supplier=of.supplier,
                credit=money(of.credit),
                charge=money(of.charge),
                total=money(of.total),
            )
            for of in credit.suppliers
        ],
        total=money(credit.total),
    )


def write_back_orders(orders: domain.BackOrders) -> wire.BackOrders:
    """Return which openings can be finished, and what the others wait for."""
    return wire.BackOrders(
        ready=sum(opening.ready for opening in orders.openings),
        waiting=sum(opening.waiting for opening in orders.openings),
        openings=[_write_readiness(opening) for opening in orders.openings],
        late_lines=[
            wire.LateLine(
                supplier=line.supplier,
                sku=line.sku,
                made_for=list(line.made_for),
                open=line.open,
                holds_up=[
                    wire.WaitingOpenings(mark=mark, openings=openings)
                    for mark, openings in line.holds_up
                ],
            )
            for line in orders.late_lines
        ],
    )


def write_change_account(account: DifferenceAccount) -> wire.ChangeAccount:
    """Return what a change of an accepted order comes to."""
    writer = ValueWriter(account.unit, account.currency)
    return wire.ChangeAccount(
        currency=account.currency,
        openings=account.openings,
        unchanged=account.unchanged,
        kept=[
            wire.KeptOpenings(mark=item.mark, openings=item.quantity)
            for item in account.kept
            if item.quantity
        ],
        accepted=writer.amount(account.accepted),
        additional=writer.amount(account.additional),
        purchases=[
            wire.AddedPurchase(
                supplier=line.supplier,
                sku=line.sku,
                quantity=line.quantity,
                made_for=list(line.made_for),
                amount=writer.amount(line.amount),
            )
            for line in account.purchases
        ],
        left_over=list(_write_left_over(account.surplus, writer)),
        credit=write_return_credit(account.credit),
        net=writer.amount(account.net),
    )


def _write_left_over(held: Holdings, writer: ValueWriter) -> Iterator[wire.LeftOver]:
    for bars in held.bars:
        yield wire.LeftOver(
            kind="bars", name=bars.sku, length=writer.length(bars.length_nm), quantity=bars.bars
        )
    for kits in held.kits:
        yield wire.LeftOver(kind="kits", name=kits.sku, length=None, quantity=kits.kits)
    for made in held.pieces:
        yield wire.LeftOver(
            kind="pieces", name="", length=writer.length(made.length_nm), quantity=made.pieces
        )
    for offcut in held.offcuts:
        yield wire.LeftOver(
            kind="offcuts",
            name=offcut.id,
            length=writer.length(offcut.length_nm),
            quantity=offcut.quantity,
        )
    for fasteners in held.fasteners:
        yield wire.LeftOver(
            kind="fasteners", name=str(fasteners.pool), length=None, quantity=fasteners.count
        )


def _write_readiness(opening: domain.Readiness) -> wire.OpeningReadiness:
    return wire.OpeningReadiness(
        mark=opening.mark,
        quantity=opening.quantity,
        ready=opening.ready,
        waiting=opening.waiting,
        goods=[
            wire.ShortUnits(
                supplier=short.supplier,
                sku=short.sku,
                made_for=list(short.made_for),
                quantity=short.quantity,
            )
            for short in opening.goods
        ],
        fasteners=[
            wire.ShortFasteners(
                fastener=short.pool.fastener, finish=short.pool.finish, count=short.count
            )
            for short in opening.fasteners
        ],
    )


def _count_offcuts(rack: Rack) -> dict[str, int]:
    return {offcut.id: offcut.quantity for offcut in rack.offcuts}


def _count_fasteners(rack: Rack) -> dict[str, int]:
    return {str(FastenerPool(h.fastener, h.finish)): h.count for h in rack.fasteners}
