"""Each supplier's shipment: its goods, its least order, its freight and its surcharges."""

from collections import Counter
from collections.abc import Iterator
from fractions import Fraction

from optimiser.check.figures import as_decimal
from optimiser.check.sale_arithmetic import articles_by_sku, weight_of_line
from optimiser.domain.buying import Freight, FreightBasis
from optimiser.domain.catalogue import Catalogue
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan, PurchaseLine
from optimiser.domain.shipment import Shipment


def check_shipments(order: Order, plan: Plan) -> Iterator[str]:
    """Yield shipments that do not carry what is bought, or whose freight is not as offered."""
    articles = articles_by_sku(order)
    by_supplier: dict[str, list[PurchaseLine]] = {}
    for line in plan.purchases:
        if line.sku not in articles:
            continue
        _, supplier = articles[line.sku]
        if line.supplier != supplier:
            yield f"Purchase {line.sku}, supplier: {line.supplier}, expected {supplier}."
        by_supplier.setdefault(supplier, []).append(line)
    shown = Counter(shipment.supplier for shipment in plan.shipments)
    for supplier in sorted({*shown, *by_supplier}):
        expected = 1 if supplier in by_supplier else 0
        if shown[supplier] != expected:
            yield f"Shipment of {supplier}: it stands {shown[supplier]} times, expected {expected}."
    catalogues = {catalogue.supplier: catalogue for catalogue in order.catalogues}
    for shipment in plan.shipments:
        lines = by_supplier.get(shipment.supplier)
        if lines:
            yield from _check_shipment(order, catalogues[shipment.supplier], shipment, lines)
    paid = sum(
        (
            Fraction(shipment.goods)
            + Fraction(shipment.charge)
            + sum((Fraction(extra) for _, extra in shipment.over_length), Fraction(0))
            for shipment in plan.shipments
        ),
        Fraction(0),
    )
    if Fraction(plan.payable) != paid:
        yield f"Payable: {plan.payable}, expected {as_decimal(paid)}."


def _check_shipment(
    order: Order, catalogue: Catalogue, shipment: Shipment, lines: list[PurchaseLine]
) -> Iterator[str]:
    name = f"Shipment of {shipment.supplier}"
    articles = articles_by_sku(order)
    goods = sum((line.quantity * Fraction(line.unit_price) for line in lines), Fraction(0))
    weights = [weight_of_line(line, articles[line.sku][0]) for line in lines]
    weight = None if None in weights else sum((w for w in weights if w is not None), Fraction(0))
    if goods < Fraction(catalogue.least_order):
        yield (
            f"{name}: goods of {as_decimal(goods)}, expected {catalogue.least_order} or more, "
            "the least order."
        )
    lengths = [line.length_nm for line in lines if line.length_nm is not None]
    lengths += [length_nm for line in lines for length_nm, _ in line.lengths]
    freight = catalogue.freight
    tier_from, charge, free, extras = _freight(freight, goods, weight, max(lengths, default=0))
    for what, value, expected in (
        ("goods", shipment.goods, as_decimal(goods)),
        ("weight", shipment.weight_g, weight),
        ("basis", shipment.basis, freight and freight.basis),
        ("tier", shipment.tier_from, tier_from),
        ("charge", Fraction(shipment.charge), charge),
        ("free from", shipment.free_from, freight and freight.free_from),
        ("free", shipment.free, free),
        ("least order", shipment.least_order, catalogue.least_order),
        ("over-length", sorted(shipment.over_length), sorted(extras)),
    ):
        if value != expected:
            yield f"{name}, {what}: {value}, expected {expected}."


def _freight(
    freight: Freight | None, goods: Fraction, weight: Fraction | None, longest_nm: int
) -> tuple[Fraction | None, Fraction, bool, list[tuple[int, object]]]:
    """Return where the tier begins, what is charged, whether it is free, and the surcharges."""
    if freight is None:
        return None, Fraction(0), False, []
    extras: list[tuple[int, object]] = [
        (limit.longer_than_nm, limit.surcharge)
        for limit in freight.over_length
        if limit.longer_than_nm < longest_nm
    ]
    amount = goods if freight.basis is FreightBasis.VALUE else weight or Fraction(0)
    tier_from, charge = None, Fraction(0)
    for tier in freight.tiers:
        if tier.from_amount > amount:
            break
        tier_from, charge = tier.from_amount, Fraction(tier.charge)
    if freight.free_from is not None and Fraction(freight.free_from) <= goods:
        return tier_from, Fraction(0), True, extras
    return tier_from, charge, False, extras
