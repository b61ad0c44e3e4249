"""A change of an accepted order as plain text: what is kept, bought beside, left over, and paid."""

from collections.abc import Iterator

from optimiser.domain.difference import DifferenceAccount, Holdings, KeptOpenings
from optimiser.domain.phrases import plural, write_count
from optimiser.render.fulfilment_text import write_return
from optimiser.render.table import write_heading, write_item, write_list, write_table
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.money import format_money


def render_difference(account: DifferenceAccount) -> str:
    """Return what a change of an order keeps, buys, leaves over, and comes to."""
    return "\n".join(_write(account)) + "\n"


def _write(account: DifferenceAccount) -> Iterator[str]:
    if account.unchanged:
        yield from write_item(
            "The openings need what they needed: the accepted plan serves them as it stands, and "
            "nothing more is bought.",
            bullet="",
        )
    else:
        kept = sum(item.quantity for item in account.kept)
        again = account.openings - kept
        rest = (
            f"{again:,} planned again with all else that is already bought"
            if again
            else "none planned again"
        )
        yield from write_item(
            f"{write_count(account.openings, 'opening')} after the change: {kept:,} kept with what "
            f"is made for them, {rest}.",
            bullet="",
        )
    yield from write_list("Kept", (_say_kept(item) for item in account.kept))
    yield from write_heading("Bought beside")
    yield from _write_purchases(account)
    yield from write_list("Left over", _say_surplus(account.surplus, account.unit))
    yield from write_heading("What may go back")
    yield from write_return(account.credit)
    yield from write_heading("Account")
    rows = [
        (format_money(amount, account.currency), what)
        for amount, what in (
            (account.accepted, "accepted so far"),
            (account.additional, "bought beside, with freight"),
            (-account.credit.total, "possible credit"),
            (account.net, "what suppliers are paid in all, if it goes back"),
        )
    ]
    yield from write_table(("Amount", "What"), rows, right=frozenset({0}))


def _say_kept(item: KeptOpenings) -> str:
    parts = []
    for supply in item.supplies:
        parts += [f"{number:,} by kit {sku} of {supply.material}" for sku, number in supply.kits]
        if supply.cut:
            parts.append(f"{supply.cut:,} by pieces of {supply.material} that are cut")
    return f"{item.mark}: {write_count(item.quantity, 'opening')}, {', '.join(parts)}."


def _write_purchases(account: DifferenceAccount) -> Iterator[str]:
    if not account.purchases:
        yield "Nothing."
        return
    rows = [
        (
            f"{line.quantity:,}",
            line.sku,
            format_money(line.amount, account.currency),
            line.supplier,
        )
        for line in account.purchases
    ]
    yield from write_table(("Qty", "SKU", "Amount", "Supplier"), rows, right=frozenset({0, 2}))
    freight = account.additional - sum(line.amount for line in account.purchases)
    if freight:
        yield f"Freight {format_money(freight, account.currency)}"


def _say_surplus(surplus: Holdings, unit: LengthUnit) -> Iterator[str]:
    for held in surplus.bars:
        length = format_length(held.length_nm, unit)
        yield f"{write_count(held.bars, 'bar')} {held.sku}, {length}, {held.material}."
    for kits in surplus.kits:
        pieces = ", ".join(f"{n} × {format_length(nm, unit)}" for nm, n in kits.lengths)
        yield f"{write_count(kits.kits, 'kit')} {kits.sku}, {kits.material}: {pieces}."
    for made in surplus.pieces:
        length = format_length(made.length_nm, unit)
        yield f"{write_count(made.pieces, 'piece')} cut already, {length}, {made.material}."
    for offcut in surplus.offcuts:
        yield f"{write_count(offcut.quantity, 'offcut')} {offcut.id}, back to the rack."
    for fasteners in surplus.fasteners:
        finish = "" if fasteners.pool.finish is None else f" in {fasteners.pool.finish}"
        yield f"{fasteners.count:,} {plural(fasteners.pool.fastener)}{finish}."
