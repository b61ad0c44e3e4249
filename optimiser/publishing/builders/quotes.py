"""The customer's quote: openings and prices, how the total comes about, what is to be paid when.

It is built of what the customer sees alone: cost, additions and suppliers are not in its reach.
"""

from collections.abc import Iterator

from optimiser.domain.publication import (
    Block,
    Cell,
    Column,
    ColumnKind,
    Edition,
    Heading,
    Paragraph,
    Publication,
    Row,
    Table,
)
from optimiser.domain.quote import CustomerQuote, QuotedOpening
from optimiser.explain.wording import capital
from optimiser.publishing.builders.matter import Voice, list_cautions
from optimiser.publishing.figures import write_date, write_percent
from optimiser.render.openings import describe_one

QUOTE = "quote"


def build_quote(quote: CustomerQuote, edition: Edition) -> Publication:
    """Return the quote that a customer reads: its sums are the quote's own."""
    voice = Voice(edition=edition, currency=quote.currency, unit=quote.unit)
    return Publication(
        kind=QUOTE,
        title=voice.word("quote.title-numbered", number=quote.number)
        if quote.number
        else voice.word("quote.title"),
        subtitle=quote.reference,
        blocks=tuple(_blocks(quote, voice)),
        edition=edition,
    )


def _blocks(quote: CustomerQuote, voice: Voice) -> Iterator[Block]:
    if quote.customer:
        yield Paragraph(voice.word("quote.for", customer=quote.customer))
    language = voice.edition.language
    yield Paragraph(
        voice.word(
            "quote.validity",
            issued=write_date(quote.issued, language),
            valid_until=write_date(quote.valid_until, language),
        )
    )
    yield Heading(2, voice.word("quote.openings"))
    yield _list_openings(quote, voice)
    yield Heading(2, voice.word("quote.how"))
    yield _sum_up(quote, voice)
    if quote.deposits:
        yield Heading(2, voice.word("quote.payment"))
        yield _list_deposits(quote, voice)
    yield from list_cautions(quote.cautions, voice.word("quote.cautions"), voice)


def _list_openings(quote: CustomerQuote, voice: Voice) -> Table:
    return Table(
        name="openings",
        caption=voice.word("quote.openings"),
        columns=(
            voice.text("mark", "quote.mark"),
            voice.counts("quantity", "quote.quantity"),
            voice.text("what", "quote.what"),
            voice.amounts("each", "quote.each"),
            voice.amounts("price", "quote.price"),
        ),
        rows=tuple(
            (
                item.opening.mark,
                item.opening.quantity,
                capital(describe_one(item.opening, voice.length)),
                _price_each(item, voice),
                item.price,
            )
            for item in quote.openings
        ),
        totals=((None, _count(quote), voice.word("quote.list-price"), None, quote.list_price),),
    )


def _count(quote: CustomerQuote) -> int:
    return sum(item.opening.quantity for item in quote.openings)


def _price_each(item: QuotedOpening, voice: Voice) -> Cell:
    """Return the price of one opening, or how many have which price where they differ."""
    if len(item.each) == 1:
        return item.each[0][0]
    return ", ".join(
        voice.word("quote.several", openings=voice.count(openings), price=voice.amount(price))
        for price, openings in item.each
    )


def _sum_up(quote: CustomerQuote, voice: Voice) -> Table:
    rows: list[Row] = [(voice.word("quote.list-price"), quote.list_price)]
    rows += [
        (voice.word("quote.discount", name=discount.name), -discount.amount)
        for discount in quote.discounts
    ]
    if quote.rounding:
        rows.append((voice.word("quote.rounding"), quote.rounding))
    if quote.taxes:
        rows.append((voice.word("quote.net-price"), quote.net_price))
    rows += [
        (
            voice.word(
                "quote.tax",
                name=tax.name,
                percent=write_percent(tax.percent, voice.edition.language),
                taxable=voice.money(tax.taxable),
            ),
            tax.amount,
        )
        for tax in quote.taxes
    ]
    return Table(
        name="price",
        caption=voice.word("quote.how"),
        columns=(voice.text("what", "quote.what"), voice.amounts("amount", "quote.amount")),
        rows=tuple(rows),
        totals=((voice.word("quote.total"), quote.total),),
    )


def _list_deposits(quote: CustomerQuote, voice: Voice) -> Table:
    due = Column(name="due", heading=voice.word("quote.due"), kind=ColumnKind.DATE)
    return Table(
        name="payment",
        caption=voice.word("quote.payment"),
        columns=(due, voice.amounts("amount", "quote.amount")),
        rows=tuple((deposit.due, deposit.amount) for deposit in quote.deposits),
        totals=((voice.word("quote.balance"), quote.balance),),
    )
