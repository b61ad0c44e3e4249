"""What is cut already: bars of the plan's patterns, the pieces made, the units opened."""

from collections import Counter
from collections.abc import Iterator

from optimiser.domain.deliveries import CutBars, Units
from optimiser.domain.faults import CutRejected, Fault
from optimiser.domain.plan import PatternSheet, Plan, PurchaseKind
from optimiser.units.counts import ceil_div
from optimiser.units.faults import quote


def count_cut(plan: Plan, cut: tuple[CutBars, ...]) -> tuple[tuple[PatternSheet, int], ...]:
    """Return each pattern of which bars are cut with their number, in the order of the plan.

    Raises:
        CutRejected: an unknown pattern, bars below one, more bars than the plan cuts so; every
            fault is named.
    """
    sheets = {sheet.name: sheet for sheet in plan.patterns}
    bars = Counter[str]()
    faults = []
    for position, stated in enumerate(cut):
        sheet = sheets.get(stated.pattern)
        if sheet is None:
            faults.append(
                Fault(
                    ("cut", position, "pattern"),
                    "unknown-pattern",
                    f"Pattern {quote(stated.pattern)} is not in the plan; name one of its "
                    f"{len(sheets):,} patterns.",
                )
            )
            continue
        bars[sheet.name] += max(stated.bars, 0)
        if stated.bars < 1 or bars[sheet.name] > sheet.bars:
            faults.append(
                Fault(
                    ("cut", position, "bars"),
                    "bars-out-of-range",
                    f"Pattern {sheet.name}: {stated.bars:,} bars are cut"
                    f"{_in_all(bars[sheet.name], stated.bars)}, and the plan cuts "
                    f"{sheet.bars:,}; give 1 or more, and {sheet.bars:,} at most in all.",
                )
            )
    if faults:
        raise CutRejected(tuple(faults))
    return tuple((sheet, bars[sheet.name]) for sheet in plan.patterns if bars[sheet.name])


def _in_all(bars: int, stated: int) -> str:
    return "" if bars == stated or stated < 1 else f", {bars:,} in all"


def opened_by_cutting(plan: Plan, cut: tuple[CutBars, ...]) -> tuple[Units, ...]:
    """Return the units of each SKU that cutting has opened; a bundle is opened by its first bar.

    Raises:
        CutRejected: as `count_cut`.
    """
    return tuple(_opened(plan, cut))


def _opened(plan: Plan, cut: tuple[CutBars, ...]) -> Iterator[Units]:
    bars = Counter[str]()
    for sheet, number in count_cut(plan, cut):
        if not sheet.from_rack:
            bars[sheet.sku] += number
    for line in plan.purchases:
        if line.kind is PurchaseKind.STOCK_LENGTH and bars[line.sku]:
            units = ceil_div(bars.pop(line.sku), line.bars_per_unit)
            yield Units(supplier=line.supplier, sku=line.sku, quantity=units)
