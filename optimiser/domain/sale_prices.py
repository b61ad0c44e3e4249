"""What a quantity of an article costs: the only place with the rule of price breaks."""

from decimal import Decimal

from optimiser.domain.buying import BreakKind, SaleTerms


def split_by_price(
    terms: SaleTerms, price: Decimal, quantity: int
) -> tuple[tuple[int, Decimal], ...]:
    """Return a quantity as pairs of units and the price of one of them, in rising quantity.

    With breaks for all units there is one pair, at the price of the highest break reached; with
    incremental ones there is a pair for each break that is entered.
    """
    starts = [(1, price), *((step.from_quantity, step.price) for step in terms.breaks)]
    if terms.break_kind is BreakKind.ALL_UNITS:
        reached = [level_price for start, level_price in starts if start <= max(quantity, 1)]
        return ((quantity, reached[-1]),)
    pairs = []
    for number, (start, level_price) in enumerate(starts):
        end = starts[number + 1][0] - 1 if number + 1 < len(starts) else quantity
        units = min(end, quantity) - start + 1
        if units > 0:
            pairs.append((units, level_price))
    return tuple(pairs)
