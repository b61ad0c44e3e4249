"""The lines to order, and the shipments in which they come."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import Freight, FreightBasis, SaleTerms
from optimiser.domain.catalogue import FastenerPack, Kit, StandardKit, StockLength
from optimiser.domain.decision import Decision
from optimiser.domain.kit_offer import discount_kit, discount_reached, quote_kit
from optimiser.domain.order import Order, articles_of
from optimiser.domain.plan import PurchaseKind, PurchaseLine
from optimiser.domain.sale_prices import split_by_price
from optimiser.domain.shipment import Shipment
from optimiser.domain.takeoff import SetDemand, Takeoff

Article = StockLength | Kit | FastenerPack | StandardKit


def list_purchases(order: Order, takeoff: Takeoff, decision: Decision) -> tuple[PurchaseLine, ...]:
    """Return the lines to order: stock lengths, kits, loose packs, standard kits, by SKU."""
    suppliers = suppliers_of(order)
    catalogue = order.catalogue
    stock = {item.sku: item for item in catalogue.stock_lengths}
    kits = {item.sku: item for item in catalogue.kits}
    packs = {item.sku: item for item in catalogue.fastener_packs}
    standard = {item.sku: item for item in catalogue.standard_kits}
    lines: list[PurchaseLine] = []
    for sku, quantity in sorted(decision.stock_lengths):
        lines.extend(_split_line(stock[sku], quantity, suppliers[sku]))
    bought = bought_kits(takeoff, decision)
    number = Counter[str]()
    for sku, _, quantity in bought:
        number[sku] += quantity
    for sku, set_demand, quantity in bought:
        percent = discount_reached(kits[sku], number[sku])
        lines.append(
            _kit_line(
                kits[sku],
                set_demand,
                quantity,
                percent=percent,
                currency=catalogue.currency,
                supplier=suppliers[sku],
            )
        )
    for sku, quantity in sorted(decision.packs):
        lines.extend(_split_line(packs[sku], quantity, suppliers[sku]))
    for sku, quantity in sorted(decision.standard_kits):
        lines.extend(_split_line(standard[sku], quantity, suppliers[sku]))
    return tuple(lines)


def _split_line(
    article: StockLength | FastenerPack | StandardKit, quantity: int, supplier: str
) -> Iterator[PurchaseLine]:
    """Yield a line for each price that the quantity is sold at."""
    unit = _describe_unit(article)
    for units, price in split_by_price(article, article.price, quantity):
        yield replace(
            unit, quantity=units, unit_price=price, amount=units * price, supplier=supplier
        )


def _describe_unit(article: StockLength | FastenerPack | StandardKit) -> PurchaseLine:
    """Return the line of one unit at its own price."""

    def line(kind: PurchaseKind) -> PurchaseLine:
        price = article.price
        return PurchaseLine(kind=kind, sku=article.sku, quantity=1, unit_price=price, amount=price)

    match article:
        case StockLength():
            return replace(
                line(PurchaseKind.STOCK_LENGTH),
                material=article.material,
                length_nm=article.length_nm,
                bars_per_unit=article.bars_per_unit,
            )
        case FastenerPack():
            return replace(line(PurchaseKind.FASTENER_PACK), fastener=article.fastener)
        case StandardKit(fasteners=fasteners):
            return replace(
                line(PurchaseKind.STANDARD_KIT),
                material=article.material,
                fastener=fasteners.fastener if fasteners else None,
                packs_per_kit=fasteners.packs if fasteners else None,
                lengths=tuple(sorted(article.lengths, reverse=True)),
            )


def _kit_line(
    kit: Kit,
    set_demand: SetDemand,
    quantity: int,
    *,
    percent: Decimal,
    currency: str,
    supplier: str,
) -> PurchaseLine:
    quote = quote_kit(kit, set_demand.piece_set, currency)
    price = discount_kit(quote.unit_price, percent, currency)
    return PurchaseLine(
        kind=PurchaseKind.KIT,
        sku=kit.sku,
        quantity=quantity,
        unit_price=price,
        amount=quantity * price,
        material=kit.material,
        fastener=kit.fasteners.fastener if kit.fasteners else None,
        packs_per_kit=quote.packs if kit.fasteners else None,
        lengths=set_demand.piece_set.lengths,
        made_for=tuple(mark for mark, _ in set_demand.marks),
        supplier=supplier,
    )


def suppliers_of(order: Order) -> dict[str, str]:
    """Return the supplier of each SKU."""
    return {
        article.sku: catalogue.supplier
        for catalogue in order.catalogues
        for article in articles_of(catalogue)
    }


def bought_kits(takeoff: Takeoff, decision: Decision) -> list[tuple[str, SetDemand, int]]:
    """Return the made-to-measure kits bought, by SKU and piece set."""
    bought = [
        (sku, position, quantity)
        for position, supply in enumerate(decision.supplies)
        for sku, quantity in supply.kits
        if quantity
    ]
    sets = takeoff.demand.sets
    return [(sku, sets[position], quantity) for sku, position, quantity in sorted(bought)]


def list_shipments(order: Order, purchases: tuple[PurchaseLine, ...]) -> tuple[Shipment, ...]:
    """Return what each supplier sends, in the order of the catalogues, with its freight."""
    shipments = []
    for catalogue in order.catalogues:
        lines = [line for line in purchases if line.supplier == catalogue.supplier]
        if not lines:
            continue
        articles: dict[str, Article] = {item.sku: item for item in articles_of(catalogue)}
        goods = sum((line.amount for line in lines), Decimal(0))
        weights = [_weigh(line, articles[line.sku]) for line in lines]
        known = [weight for weight in weights if weight is not None]
        weight_g = sum(known, Fraction(0)) if len(known) == len(weights) else None
        longest_nm = max((_longest_nm(line) for line in lines), default=0)
        shipment = Shipment(
            supplier=catalogue.supplier,
            goods=goods,
            weight_g=weight_g,
            least_order=catalogue.least_order,
        )
        if catalogue.freight is not None:
            shipment = _with_freight(shipment, catalogue.freight, longest_nm)
        shipments.append(shipment)
    return tuple(shipments)


def _weigh(line: PurchaseLine, article: Article) -> Fraction | None:
    if isinstance(article, SaleTerms):
        return None if article.unit_weight_g is None else line.quantity * article.unit_weight_g
    if article.weight is None:
        return None
    length_nm = sum(nm * count for nm, count in line.lengths)
    return line.quantity * article.weight.grams * length_nm / article.weight.per_nm


def _longest_nm(line: PurchaseLine) -> int:
    return max((line.length_nm or 0, *(length_nm for length_nm, _ in line.lengths)))


def _with_freight(shipment: Shipment, freight: Freight, longest_nm: int) -> Shipment:
    free = freight.free_from is not None and shipment.goods >= freight.free_from
    amount = (
        Fraction(shipment.goods)
        if freight.basis is FreightBasis.VALUE
        else shipment.weight_g or Fraction(0)
    )
    reached = [tier for tier in freight.tiers if amount >= tier.from_amount]
    return replace(
        shipment,
        basis=freight.basis,
        tier_from=reached[-1].from_amount if reached else None,
        charge=Decimal(0) if free or not reached else reached[-1].charge,
        free_from=freight.free_from,
        free=free,
        over_length=tuple(
            (limit.longer_than_nm, limit.surcharge)
            for limit in freight.over_length
            if longest_nm > limit.longer_than_nm
        ),
    )
