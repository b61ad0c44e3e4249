"""From a quote of the domain to that of the wire."""

from optimiser.domain import quote as domain
from optimiser.domain import quote_difference as domain_difference
from optimiser.units.lengths import LengthUnit
from service.mapping.shown import ValueWriter
from service.mapping.stating import state
from service.mapping.takeoff_out import size_members
from service.mapping.told_out import write_caution
from service.wire import quote as wire
from service.wire import quote_difference as wire_difference


def write_quote(quote: domain.Quote) -> wire.Quote:
    """Return a quote as an answer states it: both parts."""
    return wire.Quote(
        customer=write_customer_quote(quote.customer),
        inside=_write_inside(quote.inside, quote.customer.unit),
    )


def write_customer_quote(quote: domain.CustomerQuote) -> wire.CustomerQuote:
    """Return what the customer sees as an answer states it."""
    writer = ValueWriter(quote.unit, quote.currency)
    return state(
        wire.CustomerQuote,
        quote,
        writer,
        issued=quote.issued.isoformat(),
        valid_until=quote.valid_until.isoformat(),
        openings=[_write_opening(opening, writer) for opening in quote.openings],
        deposits=[
            wire.QuoteDeposit(due=item.due.isoformat(), amount=writer.amount(item.amount))
            for item in quote.deposits
        ],
        cautions=[write_caution(caution) for caution in quote.cautions],
    )


def _write_opening(quoted: domain.QuotedOpening, writer: ValueWriter) -> wire.QuotedOpening:
    opening = quoted.opening
    return wire.QuotedOpening(
        mark=opening.mark,
        kind=opening.kind,
        **size_members(opening, writer),
        quantity=opening.quantity,
        finish=opening.finish,
        price=writer.amount(quoted.price),
        each=[
            wire.QuotedEach(price=writer.amount(price), openings=openings)
            for price, openings in quoted.each
        ],
    )


def _write_inside(quote: domain.InsideQuote, unit: LengthUnit) -> wire.InsideQuote:
    percent = quote.earned_percent
    return state(
        wire.InsideQuote,
        quote,
        ValueWriter(unit, quote.currency),
        earned_percent=None if percent is None else f"{percent:f}",
    )


def write_quote_difference(
    difference: domain_difference.QuoteDifference, after: domain.Quote
) -> wire_difference.QuoteDifference:
    """Return two quotes side by side as an answer states them; `after` is the later one."""
    writer = ValueWriter(after.customer.unit, after.customer.currency)
    return wire_difference.QuoteDifference(
        customer=state(wire_difference.CustomerQuoteDifference, difference.customer, writer),
        inside=state(wire_difference.InsideQuoteDifference, difference.inside, writer),
        quote=write_quote(after),
    )
