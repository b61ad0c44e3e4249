"""Two quotes side by side; every difference adds up as the amounts do."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from decimal import Decimal

from optimiser.domain.faults import Fault, QuoteRejected
from optimiser.domain.quote import CustomerQuote, InsideQuote, Quote
from optimiser.domain.quote_difference import (
    Change,
    CustomerDifference,
    InsideDifference,
    InsideLineChange,
    InsideOpeningChange,
    NamedChange,
    OpeningChange,
    QuoteDifference,
)
from optimiser.domain.quote_terms import LineKind
from optimiser.units.natural_order import natural_key

NONE = Decimal(0)


def compare_quotes(before: Quote, after: Quote) -> QuoteDifference:
    """Return what differs between a quote and the one that takes its place.

    Marks stand in their natural order, kinds in that of `LineKind`. Discounts and tax classes of
    one name are taken together.

    Raises:
        QuoteRejected: the two are in different currencies.
    """
    if before.customer.currency != after.customer.currency:
        fault = Fault(
            (),
            "currencies-differ",
            f"The quote was in {before.customer.currency} and is now in "
            f"{after.customer.currency}; amounts of two currencies have no difference: quote anew.",
        )
        raise QuoteRejected((fault,))
    return QuoteDifference(
        customer=_compare_customer(before.customer, after.customer),
        inside=_compare_inside(before.inside, after.inside),
    )


def _compare_customer(before: CustomerQuote, after: CustomerQuote) -> CustomerDifference:
    old = {item.opening.mark: item for item in before.openings}
    new = {item.opening.mark: item for item in after.openings}
    return CustomerDifference(
        number=after.number,
        customer=after.customer,
        reference=after.reference,
        currency=after.currency,
        unit=after.unit,
        openings=tuple(
            OpeningChange(
                mark=mark,
                quantity_before=old[mark].opening.quantity if mark in old else 0,
                quantity_after=new[mark].opening.quantity if mark in new else 0,
                price=Change(
                    before=old[mark].price if mark in old else NONE,
                    after=new[mark].price if mark in new else NONE,
                ),
            )
            for mark in _marks(old, new)
        ),
        list_price=Change(before=before.list_price, after=after.list_price),
        discounts=_compare_named(
            ((item.name, item.amount) for item in before.discounts),
            ((item.name, item.amount) for item in after.discounts),
        ),
        rounding=Change(before=before.rounding, after=after.rounding),
        net_price=Change(before=before.net_price, after=after.net_price),
        taxes=_compare_named(
            ((item.name, item.amount) for item in before.taxes),
            ((item.name, item.amount) for item in after.taxes),
        ),
        total=Change(before=before.total, after=after.total),
    )


def _compare_inside(before: InsideQuote, after: InsideQuote) -> InsideDifference:
    old = {line.kind: line for line in before.lines}
    new = {line.kind: line for line in after.lines}

    def change(kind: LineKind, name: str) -> Change:
        amounts = (getattr(lines.get(kind), name, NONE) for lines in (old, new))
        return Change(before=next(amounts), after=next(amounts))

    old_costs = {item.mark: item.cost for item in before.openings}
    new_costs = {item.mark: item.cost for item in after.openings}
    return InsideDifference(
        currency=after.currency,
        lines=tuple(
            InsideLineChange(
                kind=kind,
                cost=change(kind, "cost"),
                price=change(kind, "price"),
                net=change(kind, "net"),
            )
            for kind in LineKind
            if kind in old or kind in new
        ),
        openings=tuple(
            InsideOpeningChange(
                mark=mark,
                cost=Change(before=old_costs.get(mark, NONE), after=new_costs.get(mark, NONE)),
            )
            for mark in _marks(old_costs, new_costs)
        ),
        cost=Change(before=before.cost, after=after.cost),
        list_price=Change(before=before.list_price, after=after.list_price),
        net_price=Change(before=before.net_price, after=after.net_price),
        earned=Change(before=before.earned, after=after.earned),
    )


def _compare_named(
    before: Iterable[tuple[str, Decimal]], after: Iterable[tuple[str, Decimal]]
) -> tuple[NamedChange, ...]:
    """Return each name's amounts together, in the order in which the names first stand."""
    sums: dict[str, list[Decimal]] = defaultdict(lambda: [NONE, NONE])
    for position, amounts in enumerate((before, after)):
        for name, amount in amounts:
            sums[name][position] += amount
    return tuple(
        NamedChange(name=name, amount=Change(before=old, after=new))
        for name, (old, new) in sums.items()
    )


def _marks(before: Mapping[str, object], after: Mapping[str, object]) -> list[str]:
    return sorted({*before, *after}, key=natural_key)
