"""What is bought, what comes from the rack and what goes back on it, as plain text."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import partial

from optimiser.domain.buying import FreightBasis
from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.phrases import plural, write_count, write_marks
from optimiser.domain.plan import NextOffcut, Plan, PurchaseKind, PurchaseLine, RackSource
from optimiser.domain.shipment import Shipment
from optimiser.render.table import write_item, write_table
from optimiser.units.lengths import format_length
from optimiser.units.masses import format_mass
from optimiser.units.money import format_money

Row = tuple[str, str, str, str, str]


def write_purchases(plan: Plan) -> Iterator[str]:
    """Yield what to order of each supplier, what it comes to, and the total."""
    say_length = partial(format_length, unit=plan.unit)
    if not plan.purchases:
        yield "Nothing."
    for number, shipment in enumerate(plan.shipments):
        several = shipment.supplier != plan.supplier
        if number:
            yield ""
        if several:
            yield from write_item(shipment.supplier, bullet="")
        lines = [line for line in plan.purchases if line.supplier == shipment.supplier]
        rows: list[Row] = [
            (
                f"{line.quantity:,}",
                line.sku,
                bare_money(line.unit_price, plan.currency),
                bare_money(line.amount, plan.currency),
                describe_purchase(line, say_length),
            )
            for line in lines
        ]
        if several or shipment.basis is not None:
            rows += _sum_up(shipment, plan)
        heading = ("Qty", "SKU", "Each", "Amount", "What")
        yield from write_table(heading, rows, right=frozenset({0, 2, 3}))
    yield ""
    if plan.payable == plan.total:
        yield f"Total {format_money(plan.total, plan.currency)}"
        return
    yield f"Total to pay {format_money(plan.payable, plan.currency)}"
    yield (
        f"Cost {format_money(plan.total, plan.currency)}, with what is weighed beside it and not "
        "paid to a supplier"
    )


def bare_money(amount: Decimal, currency: str) -> str:
    """Return an amount without its currency, which stands at the head of the plan."""
    return format_money(amount, currency).removeprefix(f"{currency} ")


def _sum_up(shipment: Shipment, plan: Plan) -> Iterator[Row]:
    """Yield the goods, the freight and the surcharges of a shipment, and what they come to."""
    weight = (
        ""
        if shipment.basis is not FreightBasis.WEIGHT or shipment.weight_g is None
        else f", {format_mass(shipment.weight_g, plan.unit)}"
    )
    parts = [(shipment.goods, f"goods{weight}")]
    if shipment.free and shipment.free_from is not None:
        threshold = bare_money(shipment.free_from, plan.currency)
        parts.append((shipment.charge, f"freight, free from {threshold} of goods on"))
    elif shipment.basis is not None:
        parts.append((shipment.charge, "freight"))
    parts += [
        (surcharge, f"surcharge, longer than {format_length(limit_nm, plan.unit)}")
        for limit_nm, surcharge in shipment.over_length
    ]
    if len(parts) > 1:
        parts.append((shipment.total, "to pay"))
    for amount, what in parts:
        yield "", "", "", bare_money(amount, plan.currency), what


def describe_purchase(line: PurchaseLine, say_length: Callable[[int], str]) -> str:
    """Return what a line buys, in words; `say_length` writes a length in nanometres."""
    pieces = ", ".join(f"{count} × {say_length(nm)}" for nm, count in line.lengths)
    match line.kind:
        case PurchaseKind.STOCK_LENGTH:
            length = say_length(line.length_nm or 0)
            if line.bars_per_unit > 1:
                return f"bundle of {line.bars_per_unit:,} × {length}, {line.material}"
            return f"stock length {length}, {line.material}"
        case PurchaseKind.FASTENER_PACK if line.supplier == ALREADY_BOUGHT:
            return f"{plural(line.fastener or '')}, one by one"
        case PurchaseKind.FASTENER_PACK:
            return f"loose pack, {line.fastener}"
        case PurchaseKind.STANDARD_KIT:
            return f"standard kit{_packed(line)}, {line.material}: {pieces}"
        case PurchaseKind.KIT:
            kit = "bare kit" if line.packs_per_kit is None else f"kit{_packed(line)}"
            return f"{kit}, {line.material}: {pieces}; for {write_marks(line.made_for)}"


def _packed(line: PurchaseLine) -> str:
    if line.packs_per_kit is None:
        return ""
    return f" with {write_count(line.packs_per_kit, 'pack')} of {line.fastener}"


def write_from_rack(plan: Plan) -> Iterator[str]:
    """Yield what is taken from the rack, with the value that it is counted at."""
    taken = [
        (
            offcut.used,
            offcut.value,
            f"offcut {offcut.id}, {format_length(offcut.length_nm, plan.unit)}, {offcut.material}",
        )
        for offcut in plan.offcuts_used
    ]
    for held in plan.fasteners_used:
        finish = "" if held.finish is None else f" in {held.finish}"
        taken.append((held.used, held.value, f"{plural(held.fastener)}{finish} on hand"))
    rows = [
        (
            f"{quantity:,}",
            bare_money(value, plan.currency),
            bare_money(quantity * value, plan.currency),
            what,
        )
        for quantity, value, what in taken
    ]
    yield from write_table(("Qty", "Value", "Amount", "What"), rows, right=frozenset({0, 1, 2}))


def write_next_rack(plan: Plan) -> Iterator[str]:
    """Yield what lies on the rack when the work is done, with its credit."""
    rows = [
        (
            f"{kept.quantity:,}",
            format_length(kept.length_nm, plan.unit),
            bare_money(kept.credit, plan.currency),
            bare_money(kept.quantity * kept.credit, plan.currency),
            _name_source(kept),
            str(kept.material),
        )
        for kept in plan.next_rack
    ]
    for left in plan.next_fasteners:
        finish = "" if left.finish is None else f" in {left.finish}"
        what = f"{plural(left.fastener)}{finish}"
        rows.append((f"{left.count:,}", "", "", "", "on hand, not used", what))
    yield from write_table(
        ("Qty", "Length", "Credit", "Amount", "From", "What"),
        rows,
        right=frozenset({0, 1, 2, 3}),
    )


def _name_source(kept: NextOffcut) -> str:
    return {
        RackSource.DROP: f"drop of {kept.source}",
        RackSource.WHOLE_BAR: f"{kept.source}, whole",
        RackSource.NOT_USED: f"{kept.source}, not used",
    }[kept.kind]
