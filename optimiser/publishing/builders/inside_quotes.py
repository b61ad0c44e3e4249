"""What stays inside of a quote: cost, what was added, labour, what is earned."""

from collections.abc import Iterator
from decimal import Decimal

from optimiser.domain.publication import (
    Block,
    Bullets,
    Edition,
    Heading,
    Paragraph,
    Publication,
    Table,
)
from optimiser.domain.quote import InsideLine, InsideQuote
from optimiser.publishing.builders.matter import Voice
from optimiser.publishing.figures import write_percent
from optimiser.units.lengths import LengthUnit

QUOTE_INSIDE = "quote-inside"


def build_inside_quote(quote: InsideQuote, edition: Edition) -> Publication:
    """Return the sheet that stays in the shop: its sums are the quote's own."""
    # No length stands in it.
    voice = Voice(edition=edition, currency=quote.currency, unit=LengthUnit.INCH)
    return Publication(
        kind=QUOTE_INSIDE,
        title=voice.word("inside.title-numbered", number=quote.number)
        if quote.number
        else voice.word("inside.title"),
        subtitle=quote.reference,
        blocks=tuple(_blocks(quote, voice)),
        edition=edition,
    )


def _blocks(quote: InsideQuote, voice: Voice) -> Iterator[Block]:
    yield Paragraph(voice.word("inside.not-for-customers"))
    yield Heading(2, voice.word("inside.lines"))
    yield _list_lines(quote, voice)
    yield Heading(2, voice.word("inside.openings"))
    yield _list_openings(quote, voice)
    if quote.labour:
        yield Heading(2, voice.word("inside.labour"))
        yield _list_labour(quote, voice)
    yield Heading(2, voice.word("inside.left"))
    yield Bullets(tuple(_say_rest(quote, voice)))


def _list_lines(quote: InsideQuote, voice: Voice) -> Table:
    return Table(
        name="lines",
        caption=voice.word("inside.lines"),
        columns=(
            voice.text("line", "inside.line"),
            voice.text("addition", "inside.addition"),
            voice.amounts("cost", "inside.cost"),
            voice.amounts("added", "inside.added"),
            voice.amounts("price", "inside.price"),
            voice.amounts("net", "inside.net"),
        ),
        rows=tuple(
            (
                voice.word(f"line.{line.kind}"),
                _say_addition(line, voice),
                line.cost,
                line.added,
                line.price,
                line.net,
            )
            for line in quote.lines
        ),
        totals=(
            (
                voice.word("inside.together"),
                None,
                quote.cost,
                quote.list_price - quote.cost,
                quote.list_price,
                quote.net_price,
            ),
        ),
    )


def _say_addition(line: InsideLine, voice: Voice) -> str | None:
    if line.addition is None:
        return None
    percent = write_percent(line.addition.percent, voice.edition.language)
    return voice.word(f"inside.{line.addition.basis}", percent=percent)


def _list_openings(quote: InsideQuote, voice: Voice) -> Table:
    return Table(
        name="openings",
        caption=voice.word("inside.openings"),
        columns=(
            voice.text("mark", "quote.mark"),
            voice.counts("quantity", "quote.quantity"),
            voice.amounts("cost", "inside.cost"),
            voice.amounts("price", "inside.price"),
        ),
        rows=tuple((item.mark, item.quantity, item.cost, item.price) for item in quote.openings),
        totals=(
            (
                voice.word("inside.together"),
                sum(item.quantity for item in quote.openings),
                quote.cost,
                quote.list_price,
            ),
        ),
    )


def _list_labour(quote: InsideQuote, voice: Voice) -> Table:
    return Table(
        name="labour",
        caption=voice.word("inside.labour"),
        columns=(
            voice.text("work", "inside.work"),
            voice.counts("pieces", "inside.pieces"),
            voice.counts("openings", "inside.openings-counted"),
            voice.counts("minutes", "inside.minutes"),
            voice.amounts("per-hour", "inside.per-hour"),
            voice.amounts("cost", "inside.cost"),
        ),
        rows=tuple(
            (
                voice.word(f"line.{work.work}"),
                work.pieces,
                work.openings,
                _count_minutes(work.minutes),
                work.rate_per_hour,
                work.cost,
            )
            for work in quote.labour
        ),
        totals=(
            (
                voice.word("inside.together"),
                None,
                None,
                None,
                None,
                sum((work.cost for work in quote.labour), Decimal(0)),
            ),
        ),
    )


def _count_minutes(minutes: Decimal) -> int | str:
    """Return whole minutes as a number, others as they are written."""
    return int(minutes) if minutes == int(minutes) else f"{minutes.normalize():f}"


def _say_rest(quote: InsideQuote, voice: Voice) -> Iterator[str]:
    figures = {
        "earned": voice.money(quote.earned),
        "net": voice.money(quote.net_price),
        "cost": voice.money(quote.cost),
    }
    if quote.earned_percent is None:
        yield voice.word("inside.earned", **figures)
    else:
        percent = write_percent(quote.earned_percent, voice.edition.language)
        yield voice.word("inside.earned-percent", percent=percent, **figures)
    if quote.absorbed:
        yield voice.word("inside.absorbed", absorbed=voice.money(quote.absorbed))
    if quote.left_out:
        yield voice.word(
            "inside.left-out",
            plan=voice.money(quote.plan_total),
            left_out=voice.money(quote.left_out),
        )
    yield voice.word(
        "inside.rounded",
        rule=voice.word(f"inside.{quote.rounding_rule}"),
        step=voice.money(quote.rounding_step),
    )
    if quote.tax_rounding is not None:
        yield voice.word(f"inside.tax-{quote.tax_rounding}")
