"""Where the decision flips, and what matters most, as plain text."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from optimiser.domain.break_even import Bought, BreakEven, Flip, Influence
from optimiser.domain.study import StudyRow
from optimiser.render.table import write_heading, write_item, write_table
from optimiser.units.money import minor_digits


def write_break_even(found: BreakEven, currency: str) -> Iterator[str]:
    """Yield the flips along one number, each with its bracket and what changes."""
    yield from write_heading(f"Where the decision flips: {found.axis}")
    where = f"from {found.low:f} to {found.searched_to:f}, to {found.step:f}"
    if not found.flips:
        yield from write_item(f"It does not, {where}.", bullet="")
    for flip in found.flips:
        yield from write_item(_word_flip(flip, currency))
    if not found.complete:
        yield from write_item(
            f"Searched up to {found.searched_to:f} of {found.high:f}: raise the time limit, or "
            "bring the ends closer together."
        )


def _word_flip(flip: Flip, currency: str) -> str:
    if flip.below is None or flip.above is None:
        side = "from" if flip.below is None else "up to"
        value = flip.high if flip.below is None else flip.low
        return f"There is a plan {side} {value:f}, and none beyond."
    tie = f"; at {flip.low:f} both cost the same" if flip.even else ""
    words = (
        f"Up to {flip.low:f} one decision, from {flip.high:f} another{tie}: "
        f"{_changes(flip.below, flip.above)}."
    )
    if flip.staying is not None:
        more = show_money(flip.staying, currency)
        words += f" Staying would cost {currency} {more} more at {flip.high:f}."
    return words


def _changes(below: Bought, above: Bought) -> str:
    before = {(supplier, sku): count for supplier, sku, count in below}
    after = {(supplier, sku): count for supplier, sku, count in above}
    return ", ".join(
        f"{key[1]} {before.get(key, 0):,} → {after.get(key, 0):,}"
        for key in sorted({*before, *after})
        if before.get(key, 0) != after.get(key, 0)
    )


def write_ranking(ranking: Sequence[Influence], base: StudyRow) -> Iterator[str]:
    """Yield what each input does to the cost, the widest swing first."""
    yield from write_heading("What matters most")
    currency = base.currency
    yield from write_table(
        ("Input", "From", "To", "Cost there", "and there", "Swing"),
        (
            (
                one.name,
                one.low_value,
                one.high_value,
                _cost(one.low, currency),
                _cost(one.high, currency),
                "" if one.swing is None else show_money(one.swing, currency),
            )
            for one in ranking
        ),
        right=frozenset(range(1, 6)),
    )
    for one in ranking:
        for row, value in ((one.low, one.low_value), (one.high, one.high_value)):
            if row.faults:
                why = " ".join(fault.message for fault in row.faults)
                yield from write_item(f"{one.name} at {value}: {why}" if value else why)


def _cost(row: StudyRow, currency: str) -> str:
    return "no plan" if row.cost is None else show_money(row.cost, currency)


def show_money(amount: Decimal | None, currency: str) -> str:
    """Return an amount with the currency's minor digits, or more where it has them."""
    if amount is None:
        return ""
    digits = max(minor_digits(currency), -int(amount.normalize().as_tuple().exponent))
    return f"{amount:,.{digits}f}"


def show_signed(amount: Decimal, currency: str) -> str:
    """Return a difference with its sign."""
    return f"+{show_money(amount, currency)}" if amount > 0 else show_money(amount, currency)
