"""Two quotes side by side as plain text: for the customer, and what stays inside."""

from collections.abc import Iterator

from optimiser.domain.quote_difference import (
    Change,
    CustomerDifference,
    InsideDifference,
    OpeningChange,
)
from optimiser.render.quote_text import KINDS
from optimiser.render.table import write_heading, write_item, write_table
from optimiser.units.money import format_money

_AMOUNTS = ("Before", "After", "Difference")
_RIGHT = frozenset({0, 1, 2})


def render_customer_difference(difference: CustomerDifference) -> str:
    """Return what the customer sees of a change."""
    return "\n".join(_write_customer(difference)) + "\n"


def render_inside_difference(difference: InsideDifference) -> str:
    """Return what stays inside of a change."""
    return "\n".join(_write_inside(difference)) + "\n"


def _write_customer(difference: CustomerDifference) -> Iterator[str]:
    title = " ".join(part for part in ("Quote", difference.number) if part)
    yield from write_item(f"{title}: what the change does to it", bullet="")
    for label, stated in (("For", difference.customer), ("Work", difference.reference)):
        if stated:
            yield from write_item(f"{label}: {stated}", bullet="")
    currency = difference.currency
    yield from write_heading("Openings")
    openings = [
        (*_amounts(item.price, currency), _say_opening(item)) for item in difference.openings
    ]
    yield from write_table((*_AMOUNTS, "Mark"), openings, right=_RIGHT)
    yield from write_heading("Price")
    rows = [(*_amounts(difference.list_price, currency), "openings")]
    rows += [
        (*_amounts(_taken_off(item.amount), currency), f"discount: {item.name}")
        for item in difference.discounts
    ]
    if difference.rounding.before or difference.rounding.after:
        rows.append((*_amounts(difference.rounding, currency), "rounding"))
    if difference.taxes:
        rows.append((*_amounts(difference.net_price, currency), "net price"))
    rows += [(*_amounts(item.amount, currency), f"tax, {item.name}") for item in difference.taxes]
    rows.append((*_amounts(difference.total, currency), "total"))
    yield from write_table((*_AMOUNTS, "What"), rows, right=_RIGHT)


def _say_opening(item: OpeningChange) -> str:
    if item.quantity_before == item.quantity_after:
        return f"{item.mark}: {item.quantity_after:,} as before"
    if not item.quantity_before:
        return f"{item.mark}: {item.quantity_after:,} added"
    if not item.quantity_after:
        return f"{item.mark}: {item.quantity_before:,} left out"
    return f"{item.mark}: {item.quantity_before:,} before, {item.quantity_after:,} now"


def _write_inside(difference: InsideDifference) -> Iterator[str]:
    currency = difference.currency
    yield "What the change does to the quote: not for the customer"
    yield from write_heading("Cost")
    costs = [(*_amounts(line.cost, currency), KINDS[line.kind]) for line in difference.lines]
    costs.append((*_amounts(difference.cost, currency), "together"))
    yield from write_table((*_AMOUNTS, "What"), costs, right=_RIGHT)
    yield from write_heading("Price")
    prices = [(*_amounts(line.price, currency), KINDS[line.kind]) for line in difference.lines]
    prices += [
        (*_amounts(difference.list_price, currency), "together"),
        (*_amounts(difference.net_price, currency), "net price"),
        (*_amounts(difference.earned, currency), "earned"),
    ]
    yield from write_table((*_AMOUNTS, "What"), prices, right=_RIGHT)
    yield from write_heading("Cost by opening")
    openings = [(*_amounts(item.cost, currency), item.mark) for item in difference.openings]
    yield from write_table((*_AMOUNTS, "Mark"), openings, right=_RIGHT)


def _taken_off(change: Change) -> Change:
    return Change(before=-change.before, after=-change.after)


def _amounts(change: Change, currency: str) -> tuple[str, str, str]:
    return (
        format_money(change.before, currency),
        format_money(change.after, currency),
        _signed(change, currency),
    )


def _signed(change: Change, currency: str) -> str:
    """Return a difference with its sign: `USD +12.40`."""
    written = format_money(change.difference, currency)
    return written.replace(" ", " +", 1) if change.difference > 0 else written
