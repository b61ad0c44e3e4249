"""What is bought is what was decided, covers what is cut, and has the catalogue's prices."""

from collections import Counter, defaultdict
from collections.abc import Iterator
from fractions import Fraction

from optimiser.check.figures import as_decimal
from optimiser.check.kit_arithmetic import packs_in_kit, price_of_kit
from optimiser.domain.catalogue import FastenerPack, Kit, StockLength
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan, PurchaseKind, PurchaseLine
from optimiser.domain.takeoff import PieceSet, Takeoff


def check_purchases(order: Order, takeoff: Takeoff, plan: Plan) -> Iterator[str]:
    """Yield purchases that differ from the decision, from their offer or from what they buy."""
    lines: dict[PurchaseKind, list[PurchaseLine]] = defaultdict(list)
    for line in plan.purchases:
        lines[line.kind].append(line)
        amount = line.quantity * Fraction(line.unit_price)
        if Fraction(line.amount) != amount:
            yield f"Purchase {line.sku}, amount: {line.amount}, expected {as_decimal(amount)}."
        if line.quantity < 1:
            yield f"Purchase {line.sku}, quantity: {line.quantity}, expected 1 or more."
    catalogue, decision = order.catalogue, plan.decision
    yield from _check_single_items(
        lines[PurchaseKind.STOCK_LENGTH], decision.stock_lengths, catalogue.stock_lengths
    )
    yield from _check_single_items(
        lines[PurchaseKind.FASTENER_PACK], decision.packs, catalogue.fastener_packs
    )
    yield from _check_bars(plan)
    yield from _check_kits(order, takeoff, plan, lines[PurchaseKind.KIT])


def _check_single_items(
    lines: list[PurchaseLine],
    decided: tuple[tuple[str, int], ...],
    offered: tuple[StockLength, ...] | tuple[FastenerPack, ...],
) -> Iterator[str]:
    offers = {offer.sku: offer for offer in offered}
    bought = Counter(line.sku for line in lines)
    wanted: Counter[str] = Counter()
    for sku, quantity in decided:
        wanted[sku] += quantity
    for sku in sorted({*bought, *wanted}):
        expected = 1 if wanted[sku] else 0
        if bought[sku] != expected:
            yield f"Purchase {sku}: it has {bought[sku]} lines, expected {expected}."
    for line in lines:
        if line.quantity != wanted[line.sku]:
            yield (
                f"Purchase {line.sku}, quantity: {line.quantity}, "
                f"expected {wanted[line.sku]} as decided."
            )
        offer = offers.get(line.sku)
        if offer is None:
            yield f"Purchase {line.sku}: not in the catalogue."
        else:
            yield from _check_offer(line, offer)


def _check_offer(line: PurchaseLine, offer: StockLength | FastenerPack) -> Iterator[str]:
    if Fraction(line.unit_price) != Fraction(offer.price):
        yield f"Purchase {line.sku}, unit price: {line.unit_price}, expected {offer.price}."
    if line.quantity % offer.sold_in_multiples_of:
        yield (
            f"Purchase {line.sku}, quantity: {line.quantity}, "
            f"expected a multiple of {offer.sold_in_multiples_of}."
        )
    expected = (
        (offer.material, offer.length_nm, None)
        if isinstance(offer, StockLength)
        else (None, None, offer.fastener)
    )
    found = (line.material, line.length_nm, line.fastener)
    for what, value, wanted in zip(
        ("material", "length", "fastener"), found, expected, strict=True
    ):
        if value != wanted:
            yield f"Purchase {line.sku}, {what}: {value}, expected {wanted}."


def _check_bars(plan: Plan) -> Iterator[str]:
    """Yield the stock lengths of which more bars are cut than bought."""
    cut: Counter[str] = Counter()
    for sheet in plan.patterns:
        cut[sheet.sku] += sheet.bars
    bought: Counter[str] = Counter()
    for line in plan.purchases:
        if line.kind is PurchaseKind.STOCK_LENGTH:
            bought[line.sku] += line.quantity
    for sku, bars in sorted(cut.items()):
        if bought[sku] < bars:
            yield f"Purchase {sku}, quantity: {bought[sku]}, expected {bars} or more for its cuts."


def _check_kits(
    order: Order, takeoff: Takeoff, plan: Plan, lines: list[PurchaseLine]
) -> Iterator[str]:
    """Yield kit lines that differ from the decision: one per SKU and piece set."""
    kits = {kit.sku: kit for kit in order.catalogue.kits}
    shown: dict[tuple[str, tuple[str, ...]], list[PurchaseLine]] = defaultdict(list)
    for line in lines:
        shown[line.sku, line.made_for].append(line)
    for demand, decided in zip(takeoff.demand.sets, plan.decision.supplies, strict=False):
        bought: Counter[str] = Counter()
        for sku, number in decided.kits:
            bought[sku] += number
        marks = tuple(mark for mark, _ in demand.marks)
        for sku, number in bought.items():
            found = shown.pop((sku, marks), [])
            expected = 1 if number else 0
            if len(found) != expected:
                yield f"{_name(sku, marks)}: it has {len(found)} lines, expected {expected}."
            for line in found:
                if sku not in kits:
                    yield f"{_name(sku, marks)}: not in the catalogue."
                    continue
                price = price_of_kit(kits[sku], demand.piece_set, order.catalogue.currency)
                if Fraction(line.unit_price) != price:
                    yield (
                        f"{_name(sku, marks)}, unit price: {line.unit_price}, "
                        f"expected {as_decimal(price)}."
                    )
                yield from _check_contents(kits[sku], demand.piece_set, line, number)
    for sku, marks in shown:
        yield f"{_name(sku, marks)}: it was not decided, expected no line."


def _check_contents(kit: Kit, pieces: PieceSet, line: PurchaseLine, number: int) -> Iterator[str]:
    name = _name(line.sku, line.made_for)
    fastener, packs = (
        (None, None)
        if kit.fasteners is None
        else (kit.fasteners.fastener, packs_in_kit(kit, pieces))
    )
    for what, value, expected in (
        ("quantity", line.quantity, number),
        ("material", line.material, pieces.material),
        ("lengths", sorted(line.lengths), sorted(pieces.lengths)),
        ("fastener", line.fastener, fastener),
        ("packs per kit", line.packs_per_kit, packs),
    ):
        if value != expected:
            yield f"{name}, {what}: {value}, expected {expected}."


def _name(sku: str, marks: tuple[str, ...]) -> str:
    named = ", ".join(marks[:3])
    return f"Purchase {sku} for {named}{', …' if len(marks) > 3 else ''}"
