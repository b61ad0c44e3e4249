"""What is taken from the rack is on it, and what is put back is what is left."""

from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction
from math import floor

from optimiser.domain.order import Order
from optimiser.domain.plan import Plan
from optimiser.units.money import minor_digits

Kept = Counter[tuple[str, str, int, Fraction]]
"""How many of each (kind, source, length, credit each)."""


def check_rack(order: Order, plan: Plan) -> Iterator[str]:
    """Yield what is used beyond what is there, and a next rack that does not add up."""
    yield from _check_offcuts(order, plan)
    yield from _check_fasteners(order, plan)
    yield from _check_credits(order, plan)
    yield from _check_next_rack(order, plan)


def _check_offcuts(order: Order, plan: Plan) -> Iterator[str]:
    there = {offcut.id: offcut for offcut in order.rack.offcuts}
    cut: Counter[str] = Counter()
    for sheet in plan.patterns:
        if sheet.from_rack:
            cut[sheet.sku] += sheet.bars
    decided = Counter(dict(plan.decision.offcuts))
    shown: Counter[str] = Counter()
    for used in plan.offcuts_used:
        shown[used.id] += used.used
        offcut = there.get(used.id)
        if offcut is not None and (used.material, used.length_nm, Fraction(used.value)) != (
            offcut.material,
            offcut.length_nm,
            Fraction(offcut.value),
        ):
            yield f"Offcut {used.id}: not as it is on the rack."
    for name in sorted({*cut, *decided, *shown}):
        quantity = there[name].quantity if name in there else 0
        if not cut[name] == decided[name] == shown[name]:
            yield (
                f"Offcut {name}: {cut[name]} cut, {decided[name]} decided and {shown[name]} shown, "
                "expected the same number."
            )
        if cut[name] > quantity:
            yield f"Offcut {name}: {cut[name]} cut, expected {quantity} at most."


def _check_fasteners(order: Order, plan: Plan) -> Iterator[str]:
    there: Counter[tuple[str, str | None]] = Counter()
    for held in order.rack.fasteners:
        there[held.fastener, held.finish] += held.count
    used: Counter[tuple[str, str | None]] = Counter()
    for fastener, finish, count in plan.decision.fasteners_on_hand:
        used[fastener, finish] += count
        if count < 0:
            yield f"Fasteners on hand, {fastener}: {count} used, expected 0 or more."
    values = {(held.fastener, held.finish): held.value for held in order.rack.fasteners}
    shown = Counter[tuple[str, str | None]]()
    for taken in plan.fasteners_used:
        key = taken.fastener, taken.finish
        shown[key] += taken.used
        if taken.value != values.get(key):
            yield f"Fasteners on hand, {key[0]}: not at the value that they have."
    for key in dict.fromkeys((*used, *shown)):
        if shown[key] != used[key]:
            yield (
                f"Fasteners on hand, {key[0]}: {shown[key]} shown, expected {used[key]} as decided."
            )
    left = Counter({(kept.fastener, kept.finish): kept.count for kept in plan.next_fasteners})
    for key in dict.fromkeys((*there, *left)):
        expected = max(there[key] - used[key], 0)
        if left[key] != expected:
            yield f"Fasteners on hand, {key[0]}: {left[key]} left, expected {expected}."
    for key, count in used.items():
        if count > there[key]:
            yield f"Fasteners on hand, {key[0]}: {count} used, expected {there[key]} at most."


def _credit(order: Order, name: str, length_nm: int) -> Fraction:
    """Return the credit of a length left of a stock length or an offcut."""
    keep = order.policy.keep_drops
    if keep is None or length_nm < keep.least_nm or length_nm <= 0:
        return Fraction(0)
    rate = Fraction(keep.credit.price) / keep.credit.per_nm
    for offcut in order.rack.offcuts:
        if offcut.id == name:
            rate = min(rate, Fraction(offcut.value) / offcut.length_nm)
    units = 10 ** minor_digits(order.catalogue.currency)
    return Fraction(floor(rate * length_nm * units), units)


def _check_credits(order: Order, plan: Plan) -> Iterator[str]:
    for sheet in plan.patterns:
        expected = _credit(order, sheet.sku, sheet.drop_nm)
        if Fraction(sheet.credit) != expected:
            yield f"Pattern {sheet.name}, credit: {sheet.credit}, expected {float(expected)}."


def _check_next_rack(order: Order, plan: Plan) -> Iterator[str]:
    expected: Kept = Counter()
    keep = order.policy.keep_drops
    cut: Counter[str] = Counter()
    for sheet in plan.patterns:
        cut[sheet.sku] += sheet.bars
        if keep is not None and sheet.drop_nm >= max(keep.least_nm, 1):
            credit = _credit(order, sheet.sku, sheet.drop_nm)
            expected["drop", sheet.name, sheet.drop_nm, credit] += sheet.bars
    bought = dict(plan.decision.stock_lengths)
    for stock in order.catalogue.stock_lengths:
        whole = bought.get(stock.sku, 0) * stock.bars_per_unit - cut[stock.sku]
        if keep is not None and whole > 0 and stock.length_nm >= keep.least_nm:
            credit = _credit(order, stock.sku, stock.length_nm)
            expected["whole-bar", stock.sku, stock.length_nm, credit] += whole
    for offcut in order.rack.offcuts:
        left = offcut.quantity - cut[offcut.id]
        if left > 0:
            expected["not-used", offcut.id, offcut.length_nm, Fraction(0)] += left
    shown: Kept = Counter()
    for kept in plan.next_rack:
        shown[kept.kind, kept.source, kept.length_nm, Fraction(kept.credit)] += kept.quantity
    for key in sorted({*expected, *shown}):
        if expected[key] != shown[key]:
            yield (
                f"Next rack, {key[0]} {key[1]} of {key[2]} nm at {Decimal(float(key[3])):.2f}: "
                f"{shown[key]}, expected {expected[key]}."
            )
