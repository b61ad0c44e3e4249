"""What becomes of an accepted order, as plain text: rack, deliveries, back orders, returns."""

from collections.abc import Iterator

from optimiser.domain.back_orders import BackOrders, LateLine, Readiness
from optimiser.domain.deliveries import OpenPurchase, Receipt
from optimiser.domain.order_states import TRANSITIONS, OrderState
from optimiser.domain.phrases import plural, write_count, write_marks
from optimiser.domain.rack import Rack
from optimiser.domain.returns import ReturnCredit
from optimiser.render.buying_text import bare_money
from optimiser.render.table import write_item, write_list, write_table
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.money import format_money

RECEIVED = {
    Receipt.NOTHING: "Nothing has been received.",
    Receipt.PARTLY: "Partly received.",
    Receipt.WHOLLY: "Wholly received: nothing is open.",
}


def render_order_state(state: OrderState) -> str:
    """Return a state and what may be done in it."""
    allowed = ", ".join(action.replace("-", " ") for action in TRANSITIONS[state])
    next_steps = f"Allowed now: {allowed}." if allowed else "Nothing more is allowed."
    return f"The order is {state.replace('-', ' ')}. {next_steps}\n"


def render_rack(rack: Rack, unit: LengthUnit, currency: str) -> str:
    """Return all that is on a rack, with what using one of each is counted at."""
    return "\n".join(_write_rack(rack, unit, currency)) + "\n"


def _write_rack(rack: Rack, unit: LengthUnit, currency: str) -> Iterator[str]:
    rows = [
        (
            f"{offcut.quantity:,}",
            bare_money(offcut.value, currency),
            offcut.id,
            f"{format_length(offcut.length_nm, unit)} of {offcut.material}",
        )
        for offcut in rack.offcuts
    ]
    for held in rack.fasteners:
        finish = "" if held.finish is None else f" in {held.finish}"
        what = f"{plural(held.fastener)}{finish}"
        rows.append((f"{held.count:,}", bare_money(held.value, currency), "", what))
    if not rows:
        yield "The rack is empty."
        return
    yield from write_table(("Qty", "Value", "Offcut", "What"), rows, right=frozenset({0, 1}))


def render_open_purchase(purchase: OpenPurchase) -> str:
    """Return what is ordered, received and open of each line, and how much has arrived."""
    return "\n".join(_write_purchase(purchase)) + "\n"


def _write_purchase(purchase: OpenPurchase) -> Iterator[str]:
    yield RECEIVED[purchase.state] if purchase.lines else "Nothing is bought."
    if not purchase.lines:
        return
    yield ""
    heading = ["Ordered", "Received", "Open", "SKU", "Supplier"]
    rows = [
        [
            f"{line.ordered:,}",
            f"{line.received:,}",
            f"{line.open:,}",
            _name(line.sku, line.made_for),
            line.supplier,
        ]
        for line in purchase.lines
    ]
    if any(line.returned for line in purchase.lines):
        heading.insert(3, "Returned")
        for row, line in zip(rows, purchase.lines, strict=True):
            row.insert(3, f"{line.returned:,}")
    yield from write_table(heading, rows, right=frozenset(range(len(heading) - 2)))


def render_back_orders(orders: BackOrders) -> str:
    """Return which openings can be finished now, what the others wait for, and which line is late.

    Marks stand in the order in which they are served.
    """
    return "\n".join(_write_back_orders(orders)) + "\n"


def _write_back_orders(orders: BackOrders) -> Iterator[str]:
    ready = sum(opening.ready for opening in orders.openings)
    waiting = sum(opening.waiting for opening in orders.openings)
    yield f"{write_count(ready, 'opening')} can be finished now, {waiting:,} wait."
    yield from write_list("Openings", (_say_ready(opening) for opening in orders.openings))
    yield from write_list("Not received yet", (_say_late(line) for line in orders.late_lines))


def _say_ready(opening: Readiness) -> str:
    if not opening.waiting:
        return f"{opening.mark}: all {opening.quantity:,} can be finished."
    lacks = [
        f"{short.quantity:,} × {_name(short.sku, short.made_for)} of {short.supplier}"
        for short in opening.goods
    ]
    lacks += [f"{write_count(short.count, short.pool.fastener)}" for short in opening.fasteners]
    ready = "none" if not opening.ready else f"{opening.ready:,}"
    waits = "waits" if opening.waiting == 1 else "wait"
    return (
        f"{opening.mark}: {ready} of {opening.quantity:,} can be finished; {opening.waiting:,} "
        f"{waits} for {', '.join(lacks)}."
    )


def _say_late(line: LateLine) -> str:
    waiting = sum(openings for _, openings in line.holds_up)
    marks = write_marks(mark for mark, _ in line.holds_up)
    held_up = (
        f"holds up {write_count(waiting, 'opening')}: {marks}" if waiting else "holds up no opening"
    )
    return f"{line.open:,} × {_name(line.sku, line.made_for)} of {line.supplier}: {held_up}."


def render_return(credit: ReturnCredit) -> str:
    """Return what goes back, what it was paid, and what is credited less each charge."""
    return "\n".join(write_return(credit)) + "\n"


def write_return(credit: ReturnCredit) -> Iterator[str]:
    """Yield the lines of a return by SKU, then the charge and the total of each supplier."""
    if not credit.lines:
        yield "Nothing goes back."
        return
    currency = credit.currency
    rows = [
        (
            f"{line.quantity:,}",
            bare_money(line.paid_before, currency),
            bare_money(line.paid_after, currency),
            bare_money(line.credit, currency),
            bare_money(line.charge, currency),
            _name(line.sku, line.made_for),
        )
        for line in credit.lines
    ]
    heading = ("Qty", "Paid for all", "For the rest", "Credit", "Own charge", "SKU")
    yield from write_table(heading, rows, right=frozenset(range(5)))
    yield ""
    for supplier in credit.suppliers:
        yield from write_item(
            f"{supplier.supplier}: {format_money(supplier.credit, currency)} credited, less "
            f"{format_money(supplier.charge, currency)} for restocking: "
            f"{format_money(supplier.total, currency)}."
        )
    yield f"Total credit {format_money(credit.total, currency)}"


def _name(sku: str, made_for: tuple[str, ...]) -> str:
    return sku if not made_for else f"{sku} for {write_marks(made_for)}"
