"""The purchase list: what to order of each supplier, and what it comes to."""

from collections.abc import Iterator
from decimal import Decimal

from optimiser.domain.buying import FreightBasis
from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.phrases import plural
from optimiser.domain.plan import Plan
from optimiser.domain.publication import (
    Block,
    Bullets,
    Edition,
    Heading,
    Paragraph,
    Publication,
    Row,
    Table,
)
from optimiser.domain.shipment import Shipment
from optimiser.explain.wording import capital
from optimiser.publishing.builders.account import paid_in_all, read_account, shipments_paid
from optimiser.publishing.builders.matter import PlanMatter, Voice, voice_of
from optimiser.render.buying_text import describe_purchase
from optimiser.units.masses import format_mass

PURCHASE_LIST = "purchase-list"


def build_purchase_list(matter: PlanMatter, edition: Edition) -> Publication:
    """Return the purchase list of a plan: its sums are the plan's own."""
    voice = voice_of(matter.plan, edition)
    return Publication(
        kind=PURCHASE_LIST,
        title=voice.word("purchases.title"),
        subtitle=matter.plan.reference,
        blocks=tuple(_blocks(matter.plan, voice)),
        edition=edition,
    )


def _blocks(plan: Plan, voice: Voice) -> Iterator[Block]:
    shipments = shipments_paid(plan)
    if not shipments:
        yield Paragraph(voice.word("purchases.nothing"))
    for number, shipment in enumerate(shipments, 1):
        yield from _of_supplier(number, shipment, plan, voice)
    yield Heading(2, voice.word("purchases.together"))
    yield _to_pay(plan, voice)
    if any(line.supplier == ALREADY_BOUGHT for line in plan.purchases):
        yield Heading(2, voice.word("purchases.held"))
        yield Paragraph(voice.word("purchases.held-why"))
        yield _already_bought(plan, voice)
    if plan.offcuts_used or plan.fasteners_used:
        yield Heading(2, voice.word("purchases.rack"))
        yield Paragraph(voice.word("purchases.rack-why"))
        yield _from_rack(plan, voice)
    yield Heading(2, voice.word("purchases.account"))
    yield from _account(plan, voice)
    if plan.notices:
        yield Heading(2, voice.word("purchases.notices"))
        yield Bullets(tuple(voice.say(notice) for notice in plan.notices))


def _of_supplier(number: int, shipment: Shipment, plan: Plan, voice: Voice) -> Iterator[Block]:
    heading = voice.word("purchases.from-supplier", supplier=shipment.supplier)
    yield Heading(2, heading)
    yield Table(
        name=f"purchases-{number}",
        caption=heading,
        columns=(
            voice.counts("quantity", "purchases.quantity"),
            voice.text("sku", "purchases.sku"),
            voice.text("what", "purchases.what"),
            voice.amounts("unit-price", "purchases.each"),
            voice.amounts("amount", "purchases.amount"),
        ),
        rows=tuple(
            (
                line.quantity,
                line.sku,
                capital(describe_purchase(line, voice.length)),
                line.unit_price,
                line.amount,
            )
            for line in plan.purchases
            if line.supplier == shipment.supplier
        ),
        totals=tuple((None, None, what, None, amount) for what, amount in _sum_up(shipment, voice)),
    )
    if shipment.least_order:
        least = voice.money(shipment.least_order)
        yield Paragraph(
            voice.word("purchases.least-order", supplier=shipment.supplier, least=least)
        )


def _sum_up(shipment: Shipment, voice: Voice) -> Iterator[tuple[str, Decimal]]:
    """Yield what a shipment is made of, and what the supplier is paid for it."""
    if shipment.basis is None and not shipment.over_length:
        yield voice.word("purchases.to-pay"), shipment.total
        return
    if shipment.basis is FreightBasis.WEIGHT and shipment.weight_g is not None:
        mass = format_mass(shipment.weight_g, voice.one_unit)
        yield voice.word("purchases.goods-weighing", mass=mass), shipment.goods
    else:
        yield voice.word("purchases.goods"), shipment.goods
    if shipment.free and shipment.free_from is not None:
        threshold = voice.money(shipment.free_from)
        yield voice.word("purchases.freight-free", threshold=threshold), shipment.charge
    elif shipment.basis is not None:
        yield voice.word("purchases.freight"), shipment.charge
    for limit_nm, surcharge in shipment.over_length:
        length = voice.length(limit_nm)
        yield voice.word("purchases.over-length", length=length), surcharge
    yield voice.word("purchases.to-pay"), shipment.total


def _to_pay(plan: Plan, voice: Voice) -> Table:
    return Table(
        name="to-pay",
        caption=voice.word("purchases.together"),
        columns=(
            voice.text("supplier", "purchases.supplier"),
            voice.amounts("to-pay", "purchases.amount"),
        ),
        rows=tuple((shipment.supplier, shipment.total) for shipment in shipments_paid(plan)),
        totals=((voice.word("purchases.total-to-pay"), paid_in_all(plan)),),
    )


def _already_bought(plan: Plan, voice: Voice) -> Table:
    """Return what is taken of what is already bought; it has no price any more."""
    return Table(
        name="already-bought",
        caption=voice.word("purchases.held"),
        columns=(
            voice.counts("quantity", "purchases.quantity"),
            voice.text("sku", "purchases.sku"),
            voice.text("what", "purchases.what"),
        ),
        rows=tuple(
            (line.quantity, line.sku, capital(describe_purchase(line, voice.length)))
            for line in plan.purchases
            if line.supplier == ALREADY_BOUGHT
        ),
    )


def _from_rack(plan: Plan, voice: Voice) -> Table:
    taken: list[tuple[int, str, Decimal]] = []
    for offcut in plan.offcuts_used:
        what = voice.word(
            "purchases.offcut",
            id=offcut.id,
            length=voice.length(offcut.length_nm),
            material=str(offcut.material),
        )
        taken.append((offcut.used, what, offcut.value))
    for held in plan.fasteners_used:
        fasteners = capital(plural(held.fastener))
        what = (
            voice.word("purchases.on-hand", fasteners=fasteners)
            if held.finish is None
            else voice.word("purchases.on-hand-in", fasteners=fasteners, finish=held.finish)
        )
        taken.append((held.used, what, held.value))
    total = sum((quantity * value for quantity, _, value in taken), Decimal(0))
    return Table(
        name="from-rack",
        caption=voice.word("purchases.rack"),
        columns=(
            voice.counts("quantity", "purchases.quantity"),
            voice.text("what", "purchases.what"),
            voice.amounts("value", "purchases.value"),
            voice.amounts("amount", "purchases.amount"),
        ),
        rows=tuple((quantity, what, value, quantity * value) for quantity, what, value in taken),
        totals=((None, voice.word("purchases.total-value"), None, total),),
    )


def _account(plan: Plan, voice: Voice) -> Iterator[Block]:
    """Yield what the cost is made of; what is only weighed has a column of its own."""
    lines = list(read_account(plan))
    any_weighed = any(not line.paid for line in lines)
    if any_weighed:
        payable = voice.money(paid_in_all(plan))
        yield Paragraph(voice.word("purchases.account-why", payable=payable))
    rows: Iterator[Row] = (
        (
            voice.word(f"account.{line.name}"),
            line.amount if line.paid else None,
            None if line.paid else line.amount,
        )
        for line in lines
    )
    weighed = sum((line.amount for line in lines if not line.paid), Decimal(0))
    totals: list[Row] = [(voice.word("purchases.sums"), paid_in_all(plan), weighed)]
    columns = (
        voice.text("for-what", "purchases.for-what"),
        voice.amounts("paid", "purchases.paid"),
        voice.amounts("weighed", "purchases.weighed"),
    )
    wide = 3 if any_weighed else 2
    yield Table(
        name="account",
        caption=voice.word("purchases.account"),
        columns=columns[:wide],
        rows=tuple(row[:wide] for row in rows),
        totals=tuple(row[:wide] for row in totals),
    )
    if any_weighed:
        yield Paragraph(voice.word("purchases.cost", cost=voice.money(plan.total)))
