"""What a quantity of an article costs and weighs, worked out anew for the re-proof."""

from collections import Counter
from fractions import Fraction
from math import floor

from optimiser.domain.buying import BreakKind, SaleTerms
from optimiser.domain.catalogue import FastenerPack, Kit, StandardKit, StockLength
from optimiser.domain.order import Order
from optimiser.domain.plan import PurchaseLine
from optimiser.units.money import minor_digits

Article = StockLength | FastenerPack | StandardKit | Kit


def articles_by_sku(order: Order) -> dict[str, tuple[Article, str]]:
    """Return every article of the order's catalogues with its supplier."""
    found: dict[str, tuple[Article, str]] = {}
    for catalogue in order.catalogues:
        listed: list[Article] = [*catalogue.stock_lengths, *catalogue.fastener_packs]
        listed += [*catalogue.standard_kits, *catalogue.kits]
        for article in listed:
            found[article.sku] = (article, catalogue.supplier)
    return found


def units_by_price(terms: SaleTerms, price: Fraction, quantity: int) -> Counter[Fraction]:
    """Return how many units of a quantity are sold at which price."""
    units: Counter[Fraction] = Counter()
    if terms.break_kind is BreakKind.ALL_UNITS:
        best_start, reached = 0, price
        for step in terms.breaks:
            if best_start < step.from_quantity <= quantity:
                best_start, reached = step.from_quantity, Fraction(step.price)
        units[reached] = quantity
        return +units
    # Units at or past each start, less those past the next one.
    starts = sorted([(1, price), *((s.from_quantity, Fraction(s.price)) for s in terms.breaks)])
    past = [max(0, quantity - start + 1) for start, _ in starts] + [0]
    for number, (_, tier_price) in enumerate(starts):
        units[tier_price] += past[number] - past[number + 1]
    return +units


def discounted(price: Fraction, kit: Kit, kits: int, currency: str) -> Fraction:
    """Return a kit's price when so many of its SKU are bought, in whole minor units."""
    percent, best_start = Fraction(0), 0
    for step in kit.discounts:
        if best_start < step.from_quantity <= kits:
            percent, best_start = Fraction(step.percent), step.from_quantity
    if not percent:
        return price
    minor_units = 10 ** minor_digits(currency)
    exact = price * (1 - percent / 100)
    return Fraction(floor(exact * minor_units + Fraction(1, 2)), minor_units)


def weight_of_line(line: PurchaseLine, article: Article) -> Fraction | None:
    """Return the weight of a line in grams; `None` where the article states none."""
    if isinstance(article, Kit):
        if article.weight is None:
            return None
        running_nm = sum(length_nm * count for length_nm, count in line.lengths)
        return article.weight.grams / article.weight.per_nm * running_nm * line.quantity
    return None if article.unit_weight_g is None else article.unit_weight_g * line.quantity
