"""What is bought is what was decided, covers what is cut, and has the catalogue's prices."""

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from decimal import Decimal
from fractions import Fraction

from optimiser.check.figures import as_decimal
from optimiser.check.kit_arithmetic import packs_in_kit, price_of_kit
from optimiser.check.sale_arithmetic import discounted, units_by_price
from optimiser.domain.catalogue import FastenerPack, Kit, StandardKit, StockLength
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan, PurchaseKind, PurchaseLine
from optimiser.domain.takeoff import PieceSet, Takeoff

SoldArticle = StockLength | FastenerPack | StandardKit


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
    for kind, decided, offered in (
        (PurchaseKind.STOCK_LENGTH, decision.stock_lengths, catalogue.stock_lengths),
        (PurchaseKind.FASTENER_PACK, decision.packs, catalogue.fastener_packs),
        (PurchaseKind.STANDARD_KIT, decision.standard_kits, catalogue.standard_kits),
    ):
        yield from _check_articles(lines[kind], decided, offered)
    yield from _check_bars(plan)
    yield from _check_kits(order, takeoff, plan, lines[PurchaseKind.KIT])


def _check_articles(
    lines: list[PurchaseLine],
    decided: tuple[tuple[str, int], ...],
    offered: Sequence[SoldArticle],
) -> Iterator[str]:
    offers = {offer.sku: offer for offer in offered}
    bought: dict[str, list[PurchaseLine]] = defaultdict(list)
    for line in lines:
        bought[line.sku].append(line)
    wanted: Counter[str] = Counter()
    for sku, quantity in decided:
        wanted[sku] += quantity
    for sku in sorted({*bought, *wanted}):
        offer = offers.get(sku)
        if offer is None:
            yield f"Purchase {sku}: not in the catalogue."
            continue
        expected = units_by_price(offer, Fraction(offer.price), wanted[sku])
        if len(bought[sku]) != len(expected):
            yield f"Purchase {sku}: it has {len(bought[sku])} lines, expected {len(expected)}."
        yield from _check_prices(sku, bought[sku], expected)
        yield from _check_terms(sku, offer, sum(line.quantity for line in bought[sku]))
        yield from _check_value(f"Purchase {sku}", offer.least_value, bought[sku])
        for line in bought[sku]:
            yield from _check_offer(line, offer)


def _check_prices(
    sku: str, lines: list[PurchaseLine], expected: Counter[Fraction]
) -> Iterator[str]:
    """Yield lines at a price at which nothing is sold, or of more or fewer units than are."""
    for line in lines:
        price = Fraction(line.unit_price)
        if len(expected) == 1 and price not in expected:
            price = next(iter(expected))
            yield f"Purchase {sku}, unit price: {line.unit_price}, expected {as_decimal(price)}."
        if line.quantity != expected[price]:
            yield (
                f"Purchase {sku}, quantity: {line.quantity}, expected {expected[price]} as decided."
            )


def _check_terms(sku: str, offer: SoldArticle, quantity: int) -> Iterator[str]:
    if quantity % offer.sold_in_multiples_of:
        yield (
            f"Purchase {sku}, quantity: {quantity}, "
            f"expected a multiple of {offer.sold_in_multiples_of}."
        )
    if 0 < quantity < offer.least_quantity:
        yield f"Purchase {sku}, quantity: {quantity}, expected {offer.least_quantity} or more."
    if offer.available is not None and quantity > offer.available:
        yield f"Purchase {sku}, quantity: {quantity}, expected {offer.available} at most."


def _check_value(name: str, least_value: Decimal, lines: Sequence[PurchaseLine]) -> Iterator[str]:
    """Yield lines of one SKU that together come to less than the least that is sold of it."""
    value = sum((line.quantity * Fraction(line.unit_price) for line in lines), Fraction(0))
    if lines and value < Fraction(least_value):
        yield f"{name}, value: {as_decimal(value)}, expected {least_value} or more."


def _check_offer(line: PurchaseLine, offer: SoldArticle) -> Iterator[str]:
    expected: tuple[object, ...]
    match offer:
        case StockLength():
            expected = (offer.material, offer.length_nm, None, None, [], offer.bars_per_unit)
        case FastenerPack():
            expected = (None, None, offer.fastener, None, [], 1)
        case StandardKit():
            held = offer.fasteners
            fasteners = (None, None) if held is None else (held.fastener, held.packs)
            expected = (offer.material, None, *fasteners, sorted(offer.lengths), 1)
    found = (
        line.material,
        line.length_nm,
        line.fastener,
        line.packs_per_kit,
        sorted(line.lengths),
        line.bars_per_unit,
    )
    names = ("material", "length", "fastener", "packs per kit", "lengths", "bars per unit")
    for what, value, wanted in zip(names, found, expected, strict=True):
        if value != wanted:
            yield f"Purchase {line.sku}, {what}: {value}, expected {wanted}."


def _check_bars(plan: Plan) -> Iterator[str]:
    """Yield the stock lengths of which more bars are cut than bought."""
    cut: Counter[str] = Counter()
    for sheet in plan.patterns:
        if not sheet.from_rack:
            cut[sheet.sku] += sheet.bars
    bought: Counter[str] = Counter()
    for line in plan.purchases:
        if line.kind is PurchaseKind.STOCK_LENGTH:
            bought[line.sku] += line.quantity * line.bars_per_unit
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
    together = _kits_together(plan)
    yield from _check_kit_terms(kits, together)
    for sku, kit in sorted(kits.items()):
        of_kit = [line for line in lines if line.sku == sku]
        yield from _check_value(f"Kit {sku}", kit.least_value, of_kit)
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
                currency = order.catalogue.currency
                price = price_of_kit(kits[sku], demand.piece_set, currency)
                price = discounted(price, kits[sku], together[sku], currency)
                if Fraction(line.unit_price) != price:
                    yield (
                        f"{_name(sku, marks)}, unit price: {line.unit_price}, "
                        f"expected {as_decimal(price)}."
                    )
                yield from _check_contents(kits[sku], demand.piece_set, line, number)
    for sku, marks in shown:
        yield f"{_name(sku, marks)}: it was not decided, expected no line."


def _kits_together(plan: Plan) -> Counter[str]:
    together: Counter[str] = Counter()
    for decided in plan.decision.supplies:
        for sku, number in decided.kits:
            together[sku] += number
    return together


def _check_kit_terms(kits: dict[str, Kit], together: Counter[str]) -> Iterator[str]:
    for sku, number in sorted(together.items()):
        kit = kits.get(sku)
        if kit is None or not number:
            continue
        if number < kit.least_quantity:
            yield f"Kit {sku}: {number} bought, expected {kit.least_quantity} or more."
        if kit.available is not None and number > kit.available:
            yield f"Kit {sku}: {number} bought, expected {kit.available} at most."


def _check_contents(kit: Kit, pieces: PieceSet, line: PurchaseLine, number: int) -> Iterator[str]:
    name = _name(line.sku, line.made_for)
    fastener, packs = (
        (None, None)
        if kit.fasteners is None
        else (kit.fasteners.fastener, packs_in_kit(kit, pieces))
    )
    for what, value, expected in (
        ("quantity", line.quantity, number),
        ("material", line.material, kit.material),
        ("lengths", sorted(line.lengths), sorted(pieces.lengths)),
        ("fastener", line.fastener, fastener),
        ("packs per kit", line.packs_per_kit, packs),
    ):
        if value != expected:
            yield f"{name}, {what}: {value}, expected {expected}."


def _name(sku: str, marks: tuple[str, ...]) -> str:
    named = ", ".join(marks[:3])
    return f"Purchase {sku} for {named}{', …' if len(marks) > 3 else ''}"
