"""Faults of the terms of sale: breaks, limits, discounts, standard kits, freight."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise

from optimiser.domain.buying import Freight, FreightBasis, PriceBreak, SaleTerms
from optimiser.domain.catalogue import Catalogue, Kit, StandardKit
from optimiser.domain.faults import Fault
from optimiser.domain.order import Order
from optimiser.domain.repeats import find_repeated_suppliers
from optimiser.units.counts import ceil_div

Path = tuple[str | int, ...]


def find_terms_faults(order: Order) -> tuple[Fault, ...]:
    """Return every fault of the terms on which the order's suppliers sell."""
    return (
        *find_repeated_suppliers((n, c.supplier) for n, c in enumerate(order.catalogues)),
        *(
            fault
            for number, catalogue in enumerate(order.catalogues)
            for fault in _catalogue_terms(("catalogues", number), catalogue)
        ),
    )


def _catalogue_terms(root: Path, catalogue: Catalogue) -> Iterator[Fault]:
    for n, stock in enumerate(catalogue.stock_lengths):
        path: Path = (*root, "stock_lengths", n)
        yield from _terms(path, stock.sku, stock)
        yield from _at_least(path, stock.sku, "bars_per_unit", stock.bars_per_unit, 1)
    for n, pack in enumerate(catalogue.fastener_packs):
        yield from _terms((*root, "fastener_packs", n), pack.sku, pack)
    for n, standard in enumerate(catalogue.standard_kits):
        yield from _standard_kit((*root, "standard_kits", n), standard)
    for n, kit in enumerate(catalogue.kits):
        yield from _kit_terms((*root, "kits", n), kit)
    if not catalogue.least_order.is_finite() or catalogue.least_order < 0:
        yield Fault(
            (*root, "least_order"),
            "negative-price",
            f"{catalogue.supplier}: the least order is {catalogue.least_order}; give 0 or more.",
        )
    if catalogue.freight is not None:
        yield from _freight((*root, "freight"), catalogue, catalogue.freight)


def _at_least(path: Path, sku: str, name: str, value: int, least: int) -> Iterator[Fault]:
    if value < least:
        yield Fault(
            (*path, name),
            "below-least",
            f"SKU {sku}: {name.replace('_', ' ')} is {value}; give {least} or more.",
        )


def _available(
    path: Path, sku: str, available: int | None, least_quantity: int, multiple: int
) -> Iterator[Fault]:
    """Yield a fault where fewer are available than can be bought at once; none at all may be."""
    if available is None:
        return
    yield from _at_least(path, sku, "available", available, 0)
    least_bought = ceil_div(max(least_quantity, 1), max(multiple, 1)) * max(multiple, 1)
    if 0 < available < least_bought:
        yield Fault(
            (*path, "available"),
            "available-below-least",
            f"SKU {sku}: {available:,} {'is' if available == 1 else 'are'} available, and at least "
            f"{least_bought:,} must be bought at once; give {least_bought:,} or more, or 0 where "
            "it is sold out.",
        )


def _least_value(path: Path, sku: str, value: Decimal) -> Iterator[Fault]:
    if not value.is_finite() or value < 0:
        yield Fault(
            (*path, "least_value"),
            "negative-price",
            f"SKU {sku}: the least value is {value}; give 0 or more.",
        )


def _terms(path: Path, sku: str, terms: SaleTerms) -> Iterator[Fault]:
    yield from _at_least(path, sku, "least_quantity", terms.least_quantity, 1)
    yield from _available(
        path, sku, terms.available, terms.least_quantity, terms.sold_in_multiples_of
    )
    yield from _least_value(path, sku, terms.least_value)
    if terms.unit_weight_g is not None and terms.unit_weight_g < 0:
        yield Fault(
            (*path, "unit_weight"),
            "negative-weight",
            f"SKU {sku}: the weight of a unit is below zero; give 0 or more.",
        )
    yield from _rising(path, sku, "breaks", [step.from_quantity for step in terms.breaks])
    for n, step in enumerate(terms.breaks):
        yield from _break_price((*path, "breaks", n, "price"), sku, step)


def _break_price(path: Path, sku: str, step: PriceBreak) -> Iterator[Fault]:
    if not step.price.is_finite() or step.price < 0:
        yield Fault(
            path,
            "negative-price",
            f"SKU {sku}: the price from {step.from_quantity} on is {step.price}; give 0 or more.",
        )


def _rising(path: Path, sku: str, name: str, starts: Sequence[int]) -> Iterator[Fault]:
    before = 1
    for n, start in enumerate(starts):
        if start <= before:
            yield Fault(
                (*path, name, n, "from_quantity"),
                "breaks-not-rising",
                f"SKU {sku}: {name} begin at {start}, not above {before}; "
                "give quantities above 1 that rise.",
            )
        before = max(before, start)


def _kit_terms(path: Path, kit: Kit) -> Iterator[Fault]:
    yield from _at_least(path, kit.sku, "least_quantity", kit.least_quantity, 1)
    yield from _available(path, kit.sku, kit.available, kit.least_quantity, 1)
    yield from _least_value(path, kit.sku, kit.least_value)
    yield from _rising(path, kit.sku, "discounts", [step.from_quantity for step in kit.discounts])
    for n, step in enumerate(kit.discounts):
        if not 0 <= step.percent <= 100:
            yield Fault(
                (*path, "discounts", n, "percent"),
                "percent-out-of-range",
                f"SKU {kit.sku}: the discount from {step.from_quantity} on is {step.percent} %; "
                "give 0 to 100.",
            )
    if kit.weight is not None and (kit.weight.per_nm <= 0 or kit.weight.grams < 0):
        yield Fault(
            (*path, "weight"),
            "negative-weight",
            f"SKU {kit.sku}: the weight for a length is not of a length above 0, or is below "
            "zero; give both above 0.",
        )


def _standard_kit(path: Path, kit: StandardKit) -> Iterator[Fault]:
    yield from _terms(path, kit.sku, kit)
    yield from _at_least(path, kit.sku, "sold_in_multiples_of", kit.sold_in_multiples_of, 1)
    if not kit.price.is_finite() or kit.price < 0:
        yield Fault(
            (*path, "price"),
            "negative-price",
            f"SKU {kit.sku}: the price is {kit.price}; give 0 or more.",
        )
    if not kit.lengths or any(length_nm <= 0 or count < 1 for length_nm, count in kit.lengths):
        yield Fault(
            (*path, "lengths"),
            "length-not-positive",
            f"SKU {kit.sku}: a standard kit holds at least one length, each above 0, with a count "
            "of 1 or more.",
        )
    if kit.fasteners is not None:
        inner = (*path, "fasteners")
        yield from _at_least(inner, kit.sku, "packs", kit.fasteners.packs, 1)
        if kit.fasteners.contents.low_count < 1:
            yield Fault(
                (*inner, "contents"),
                "empty-pack",
                f"SKU {kit.sku}: a pack holds no fastener at the low end of its tolerance; "
                "give contents of at least one.",
            )


def _freight(path: Path, catalogue: Catalogue, freight: Freight) -> Iterator[Fault]:
    name = catalogue.supplier
    begins = [tier.from_amount for tier in freight.tiers]
    if not begins or begins[0] != 0 or any(b <= a for a, b in pairwise(begins)):
        shown = [
            f"{float(begin / 1000):g} kg"
            if freight.basis is FreightBasis.WEIGHT
            else f"{float(begin):g}"
            for begin in begins
        ]
        yield Fault(
            (*path, "tiers"),
            "tiers-not-rising",
            f"{name}: the tiers of freight begin at {', '.join(shown) or 'nothing'}; "
            "give at least one, the first from 0 on, each above the one before.",
        )
    charges: list[tuple[Path, Decimal]] = [
        ((*path, "tiers", n, "charge"), tier.charge) for n, tier in enumerate(freight.tiers)
    ]
    charges += [
        ((*path, "over_length", n, "surcharge"), limit.surcharge)
        for n, limit in enumerate(freight.over_length)
    ]
    if freight.free_from is not None:
        charges.append(((*path, "free_from"), freight.free_from))
    for where, charge in charges:
        if not charge.is_finite() or charge < 0:
            yield Fault(where, "negative-price", f"{name}: {charge} is below 0; give 0 or more.")
    yield from _over_lengths((*path, "over_length"), name, freight)
    if freight.basis is FreightBasis.WEIGHT:
        yield from _missing_weights(path[:-1], catalogue)


def _over_lengths(path: Path, name: str, freight: Freight) -> Iterator[Fault]:
    limits = [limit.longer_than_nm for limit in freight.over_length]
    for n, limit_nm in enumerate(limits):
        if limit_nm <= 0:
            yield Fault(
                (*path, n, "longer_than"),
                "length-not-positive",
                f"{name}: the limit of over-length is {limit_nm} nm; give more than 0.",
            )
        elif limit_nm in limits[:n]:
            yield Fault(
                (*path, n, "longer_than"),
                "repeated-over-length",
                f"{name}: two surcharges are for the same over-length, those at positions "
                f"{limits.index(limit_nm)} and {n} (counted from 0); add them up in one.",
            )


def _missing_weights(root: Path, catalogue: Catalogue) -> Iterator[Fault]:
    sold: tuple[tuple[str, Sequence[tuple[str, object]]], ...] = (
        ("stock_lengths", [(item.sku, item.unit_weight_g) for item in catalogue.stock_lengths]),
        ("kits", [(item.sku, item.weight) for item in catalogue.kits]),
        ("fastener_packs", [(item.sku, item.unit_weight_g) for item in catalogue.fastener_packs]),
        ("standard_kits", [(item.sku, item.unit_weight_g) for item in catalogue.standard_kits]),
    )
    for part, items in sold:
        for n, (sku, weight) in enumerate(items):
            if weight is None:
                member = "weight" if part == "kits" else "unit_weight"
                yield Fault(
                    (*root, part, n, member),
                    "weight-missing",
                    f"SKU {sku}: {catalogue.supplier} charges freight by weight, and no weight is "
                    f"stated; give {member}, or charge freight by value.",
                )
