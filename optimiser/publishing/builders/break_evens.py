"""Where the decision flips along a number, as blocks of a study's document."""

from collections.abc import Iterator
from decimal import Decimal

from optimiser.domain.break_even import Bought, BreakEven, Flip
from optimiser.domain.publication import (
    Block,
    Bullets,
    Chart,
    ChartKind,
    Column,
    ColumnKind,
    Heading,
    Paragraph,
    Table,
)
from optimiser.publishing.builders.matter import Voice


def tell_break_even(found: BreakEven, number: int, voice: Voice) -> Iterator[Block]:
    """Yield the flips in words, the curve of the least cost, and its points; `number` names it."""
    yield Heading(2, voice.word("study.flips", axis=found.axis))
    if found.flips:
        yield Bullets(tuple(_tell_flip(flip, found, voice) for flip in found.flips))
    else:
        low, high = (_value(end, found, voice) for end in (found.low, found.searched_to))
        yield Paragraph(voice.word("study.no-flip", low=low, high=high))
    if not found.complete:
        searched, high = (_value(end, found, voice) for end in (found.searched_to, found.high))
        yield Paragraph(voice.word("study.searched-to", searched=searched, high=high))
    costs = [(value, row.cost) for value, row in found.curve if row.cost is not None]
    if len(costs) > 1 and (found.money or _whole(found)):
        yield _draw_curve(found, costs, number, voice)
    yield _list_curve(found, number, voice)


def _whole(found: BreakEven) -> bool:
    return all(value == value.to_integral_value() for value, _ in found.curve)


def _value(value: Decimal, found: BreakEven, voice: Voice) -> str:
    if found.money:
        return voice.money(value)
    return voice.count(int(value)) if value == value.to_integral_value() else f"{value:f}"


def _tell_flip(flip: Flip, found: BreakEven, voice: Voice) -> str:
    low, high = _value(flip.low, found, voice), _value(flip.high, found, voice)
    if flip.below is None:
        return voice.word("study.plan-begins", low=low, high=high)
    if flip.above is None:
        return voice.word("study.plan-ends", low=low, high=high)
    changes = _tell_changes(flip.below, flip.above, voice)
    told = [voice.word("study.flip", low=low, high=high, changes=changes)]
    if flip.even:
        told.append(voice.word("study.even", low=low))
    if flip.staying is not None:
        staying = voice.money(flip.staying)
        told.append(voice.word("study.staying", staying=staying, high=high))
    if not flip.proved:
        told.append(voice.word("study.flip-open", low=low))
    return " ".join(told)


def _tell_changes(below: Bought, above: Bought, voice: Voice) -> str:
    before = {(supplier, sku): count for supplier, sku, count in below}
    now = {(supplier, sku): count for supplier, sku, count in above}
    return ", ".join(
        voice.word(
            "study.change",
            sku=key[1],
            before=voice.count(before.get(key, 0)),
            now=voice.count(now.get(key, 0)),
        )
        for key in sorted({*before, *now})
        if before.get(key, 0) != now.get(key, 0)
    )


def _across(found: BreakEven, voice: Voice) -> Column:
    if found.money:
        kind, currency = ColumnKind.MONEY, voice.currency
        heading = f"{found.axis}, {voice.currency}"
    else:
        kind = ColumnKind.COUNT if _whole(found) else ColumnKind.TEXT
        heading, currency = found.axis, ""
    return Column(name="value", heading=heading, kind=kind, currency=currency)


def _draw_curve(
    found: BreakEven, costs: list[tuple[Decimal, Decimal]], number: int, voice: Voice
) -> Chart:
    (low, first), (high, last) = costs[0], costs[-1]
    return Chart(
        name=f"cost-curve-{number}",
        caption=voice.word("study.curve", axis=found.axis),
        kind=ChartKind.LINE,
        across=_across(found, voice),
        measure=voice.amounts("cost", "study.cost"),
        points=tuple((_cell(value, found), cost) for value, cost in costs),
        text=" ".join(
            (
                voice.word(
                    "study.curve-text",
                    first=voice.money(first),
                    low=_value(low, found, voice),
                    last=voice.money(last),
                    high=_value(high, found, voice),
                ),
                *(_tell_flip(flip, found, voice) for flip in found.flips),
            )
        ),
        marked=tuple(
            (_cell(flip.low, found), _value(flip.low, found, voice)) for flip in found.flips
        ),
    )


def _cell(value: Decimal, found: BreakEven) -> int | Decimal | str:
    if found.money:
        return value
    return int(value) if _whole(found) else f"{value:f}"


def _list_curve(found: BreakEven, number: int, voice: Voice) -> Table:
    return Table(
        name=f"curve-{number}",
        caption=voice.word("study.curve", axis=found.axis),
        columns=(_across(found, voice), voice.amounts("cost", "study.cost")),
        rows=tuple(
            (
                _cell(value, found),
                voice.word("study.no-plan") if row.cost is None else row.cost,
            )
            for value, row in found.curve
        ),
    )
