"""Quotes as plain text: the customer's, and the one that stays inside."""

from collections.abc import Iterator
from decimal import Decimal

from optimiser.domain.phrases import write_count, write_marks
from optimiser.domain.quote import CustomerQuote, InsideLine, InsideQuote, QuotedOpening
from optimiser.domain.quote_terms import AdditionBasis, LineKind
from optimiser.render.openings import describe_opening
from optimiser.render.table import write_heading, write_item, write_list, write_table
from optimiser.units.money import format_money

KINDS = {
    LineKind.STOCK_LENGTH: "stock lengths",
    LineKind.KIT: "kits",
    LineKind.FASTENER_PACK: "packs of fasteners",
    LineKind.STANDARD_KIT: "standard kits",
    LineKind.FREIGHT: "freight",
    LineKind.OVER_LENGTH: "surcharges for length",
    LineKind.CUT_CHARGE: "cut charges",
    LineKind.SPLICE: "splices",
    LineKind.RACK: "from the rack",
    LineKind.DROP_CREDIT: "credit of kept drops",
    LineKind.CUTTING: "labour, cutting",
    LineKind.PACKING: "labour, packing",
    LineKind.INSTALL: "labour, install",
}
"""What a reader inside calls each kind of line."""


def render_customer_quote(quote: CustomerQuote) -> str:
    """Return what the customer sees of a quote; days are written as ISO 8601 has them."""
    return "\n".join(_write_customer(quote)) + "\n"


def render_inside_quote(quote: InsideQuote) -> str:
    """Return what stays inside: cost, what was added, labour."""
    return "\n".join(_write_inside(quote)) + "\n"


def _write_customer(quote: CustomerQuote) -> Iterator[str]:
    yield from write_item(" ".join(part for part in ("Quote", quote.number) if part), bullet="")
    for label, stated in (("For", quote.customer), ("Work", quote.reference)):
        if stated:
            yield from write_item(f"{label}: {stated}", bullet="")
    yield f"Issued {quote.issued}, valid until {quote.valid_until}"
    yield from write_heading("Openings")
    rows = [row for opening in quote.openings for row in _opening_rows(opening, quote)]
    yield from write_table(("Mark", "Each", "Price", "What"), rows, right=frozenset({1, 2}))
    yield from write_heading("Price")
    yield from write_table(("Amount", "What"), _price_rows(quote), right=frozenset({0}))
    if quote.deposits:
        yield from write_heading("Payment")
        due = [(_money(d.amount, quote.currency), f"by {d.due}") for d in quote.deposits]
        due.append((_money(quote.balance, quote.currency), "balance"))
        yield from write_table(("Amount", "When"), due, right=frozenset({0}))
    yield from write_list(
        "Cautions",
        (
            f"{f'{write_marks(caution.marks)}: ' if caution.marks else ''}{caution.sentence} "
            f"[{caution.source}]"
            for caution in quote.cautions
        ),
    )


def _opening_rows(quoted: QuotedOpening, quote: CustomerQuote) -> Iterator[tuple[str, ...]]:
    """Yield the row of a mark; where openings differ in price, it says how many have which."""
    (first, _), *others = quoted.each
    amount = _amount(first, quote)
    what = describe_opening(quoted.opening, quote.unit)
    if others:
        counts = ", ".join(
            f"{openings:,} at {_amount(price, quote)}" for price, openings in quoted.each
        )
        amount, what = "", f"{what}; {counts}"
    yield quoted.opening.mark, amount, _amount(quoted.price, quote), what


def _price_rows(quote: CustomerQuote) -> Iterator[tuple[str, str]]:
    count = sum(opening.opening.quantity for opening in quote.openings)
    yield _money(quote.list_price, quote.currency), write_count(count, "opening")
    for discount in quote.discounts:
        yield _money(-discount.amount, quote.currency), f"discount: {discount.name}"
    if quote.rounding:
        yield _money(quote.rounding, quote.currency), "rounding"
    if quote.taxes:
        yield _money(quote.net_price, quote.currency), "net price"
    for tax in quote.taxes:
        taxable = _money(tax.taxable, quote.currency)
        yield (
            _money(tax.amount, quote.currency),
            f"tax, {tax.name}: {tax.percent.normalize():f} % of {taxable}",
        )
    yield _money(quote.total, quote.currency), "total"


def _write_inside(quote: InsideQuote) -> Iterator[str]:
    title = " ".join(part for part in ("Quote", quote.number) if part)
    yield from write_item(f"{title}: not for the customer", bullet="")
    if quote.reference:
        yield from write_item(f"Work: {quote.reference}", bullet="")
    yield from write_heading("From cost to price")
    money = frozenset({0, 1, 2, 3})
    rows = [_line_row(line, quote.currency) for line in quote.lines]
    added = quote.list_price - quote.cost
    figures = (quote.cost, added, quote.list_price, quote.net_price)
    cost, added_to, price, net = (_money(amount, quote.currency) for amount in figures)
    rows.append((cost, added_to, price, net, "together"))
    yield from write_table(("Cost", "Added", "Price", "Net", "What"), rows, right=money)
    yield from write_heading("By opening")
    openings = [
        (item.mark, f"{item.quantity:,}", *_both(item.cost, item.price, quote.currency))
        for item in quote.openings
    ]
    yield from write_table(("Mark", "Qty", "Cost", "Price"), openings, right=frozenset({1, 2, 3}))
    if quote.labour:
        yield from write_heading("Labour")
        works = [
            (
                item.work.value,
                f"{item.pieces:,}",
                f"{item.openings:,}",
                f"{item.minutes.normalize():f}",
                *_both(item.rate_per_hour, item.cost, quote.currency),
            )
            for item in quote.labour
        ]
        headings = ("Work", "Pieces", "Openings", "Minutes", "Per hour", "Cost")
        yield from write_table(headings, works, right=frozenset({1, 2, 3, 4, 5}))
    yield from write_list("What is left", _say_rest(quote))


def _line_row(line: InsideLine, currency: str) -> tuple[str, str, str, str, str]:
    what = KINDS[line.kind]
    if line.addition is not None:
        of = "price" if line.addition.basis is AdditionBasis.MARGIN else "cost"
        basis = line.addition.basis.value
        what += f": {basis} {line.addition.percent.normalize():f} % of the {of}"
    cost, added = _both(line.cost, line.added, currency)
    return cost, added, _money(line.price, currency), _money(line.net, currency), what


def _say_rest(quote: InsideQuote) -> Iterator[str]:
    percent = "" if quote.earned_percent is None else f", {quote.earned_percent} % of the net price"
    earned, cost = _money(quote.earned, quote.currency), _money(quote.cost, quote.currency)
    yield f"Earned: {earned}{percent}: net price less cost, {cost}."
    if quote.absorbed:
        absorbed = _money(quote.absorbed, quote.currency)
        yield f"Of freight and surcharges for length the shop bears {absorbed}."
    if quote.left_out:
        left_out = _money(quote.left_out, quote.currency)
        yield (
            f"The plan comes to {_money(quote.plan_total, quote.currency)}, of which nobody pays "
            f"{left_out}: the preference against substitutions, and what is already bought."
        )
    step = _money(quote.rounding_step, quote.currency)
    yield f"Rounded {quote.rounding_rule.value}, the net price to {step}."


def _both(first: Decimal, second: Decimal, currency: str) -> tuple[str, str]:
    return _money(first, currency), _money(second, currency)


def _amount(amount: Decimal, quote: CustomerQuote) -> str:
    return _money(amount, quote.currency)


def _money(amount: Decimal, currency: str) -> str:
    return format_money(amount, currency)
