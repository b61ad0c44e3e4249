"""Terms of buying for the orders of Harbour Row, one at a time or together.

Every term is invented. A term takes an order in the library's types and returns it with the
term; `with_terms` reads an order from the wire and adds terms to it.
"""

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.buying import (
    BreakKind,
    CostRate,
    Freight,
    FreightBasis,
    FreightTier,
    KeptDrops,
    KitDiscount,
    OverLength,
    PriceBreak,
)
from optimiser.domain.catalogue import Catalogue, Material, StandardKit
from optimiser.domain.concessions import SpliceRule, Substitution
from optimiser.domain.opening import Edge
from optimiser.domain.order import Order
from optimiser.domain.rack import Offcut, Rack
from service.mapping.reading import read_order
from service.wire.order import Order as WireOrder
from tests.harbour_row import Wire

INCH = 25_400_000
PRODUCT = "interlocking-strip"
ZINC, BRONZE = Material(PRODUCT, "zinc"), Material(PRODUCT, "bronze")


def with_terms(wire: Wire, *terms: str) -> Order:
    """Return an order of the wire with the named terms added."""
    order = read_order(json.dumps(wire).encode(), WireOrder)
    for term in terms:
        order = TERMS[term](order)
    return order


def _first(order: Order, **changes: object) -> Order:
    first, *others = order.catalogues
    return replace(order, catalogues=(replace(first, **changes), *others))  # type: ignore[arg-type]


def _percent(price: Decimal, percent: int) -> Decimal:
    return (price * percent / 100).quantize(Decimal("0.01"))


def _freight(order: Order) -> Order:
    tiers = tuple(
        FreightTier(from_amount=Fraction(start), charge=Decimal(charge))
        for start, charge in ((0, "18.50"), (500, "34.00"), (2_000, "61.00"), (8_000, "95.00"))
    )
    return _first(order, freight=Freight(basis=FreightBasis.VALUE, tiers=tiers))


def _free_freight(order: Order) -> Order:
    tiers = (
        FreightTier(from_amount=Fraction(0), charge=Decimal("45.00")),
        FreightTier(from_amount=Fraction(250), charge=Decimal("28.00")),
    )
    terms = Freight(basis=FreightBasis.VALUE, tiers=tiers, free_from=Decimal(480))
    return _first(order, freight=terms)


def _over_length(order: Order) -> Order:
    terms = Freight(
        basis=FreightBasis.VALUE,
        tiers=(FreightTier(from_amount=Fraction(0), charge=Decimal("18.50")),),
        over_length=(
            OverLength(longer_than_nm=100 * INCH, surcharge=Decimal("12.00")),
            OverLength(longer_than_nm=150 * INCH, surcharge=Decimal("25.00")),
        ),
    )
    return _first(order, freight=terms)


def _cut_charge(order: Order) -> Order:
    return replace(order, policy=replace(order.policy, cut_charge=Decimal("0.25")))


def _drop_credit(order: Order) -> Order:
    keep = KeptDrops(least_nm=24 * INCH, credit=CostRate(price=Decimal("0.05"), per_nm=INCH))
    return replace(order, policy=replace(order.policy, keep_drops=keep))


def _bundles(order: Order) -> Order:
    bundled = tuple(
        replace(stock, bars_per_unit=5, price=_percent(stock.price, 500))
        for stock in order.catalogues[0].stock_lengths
    )
    return _first(order, stock_lengths=bundled)


def _breaks(order: Order) -> Order:
    return _first(order, stock_lengths=_broken(order, BreakKind.ALL_UNITS))


def _incremental_breaks(order: Order) -> Order:
    return _first(order, stock_lengths=_broken(order, BreakKind.INCREMENTAL))


def _broken(order: Order, kind: BreakKind) -> tuple[object, ...]:
    return tuple(
        replace(
            stock,
            break_kind=kind,
            breaks=(
                PriceBreak(from_quantity=10, price=_percent(stock.price, 95)),
                PriceBreak(from_quantity=50, price=_percent(stock.price, 90)),
            ),
        )
        for stock in order.catalogues[0].stock_lengths
    )


def _discounts(order: Order) -> Order:
    steps = (
        KitDiscount(from_quantity=10, percent=Decimal(5)),
        KitDiscount(from_quantity=40, percent=Decimal(12)),
    )
    kits = tuple(replace(kit, discounts=steps) for kit in order.catalogues[0].kits)
    return _first(order, kits=kits)


def _available(order: Order) -> Order:
    limited = tuple(
        replace(stock, available=12, least_quantity=3)
        for stock in order.catalogues[0].stock_lengths
        if stock.length_nm > 90 * INCH
    )
    others = tuple(s for s in order.catalogues[0].stock_lengths if s.length_nm <= 90 * INCH)
    return _first(order, stock_lengths=others + limited)


def _second_supplier(order: Order) -> Order:
    own = order.catalogues[0]
    charge = (FreightTier(from_amount=Fraction(0), charge=Decimal("22.00")),)
    second = Catalogue(
        supplier="Larkmoor Trade Counter",
        currency=own.currency,
        stock_lengths=tuple(
            replace(stock, sku=f"{stock.sku}-T", price=_percent(stock.price, percent))
            for stock, percent in zip(
                own.stock_lengths, (97, 99, 94, 101, 96, 98) * 9, strict=False
            )
        ),
        fastener_packs=tuple(
            replace(pack, sku=f"{pack.sku}-T", price=_percent(pack.price, 93))
            for pack in own.fastener_packs
        ),
        freight=Freight(basis=FreightBasis.VALUE, tiers=charge),
    )
    return replace(order, catalogues=(*order.catalogues, second))


def _least_value(order: Order) -> Order:
    own = order.catalogues[0]
    return _first(
        order,
        stock_lengths=tuple(replace(s, least_value=Decimal(150)) for s in own.stock_lengths),
        kits=tuple(replace(kit, least_value=Decimal(200)) for kit in own.kits),
    )


def _least_order(order: Order) -> Order:
    return _first(order, least_order=Decimal(600))


def _rack(order: Order) -> Order:
    offcuts = tuple(
        Offcut(
            id=f"R-{number:02d}",
            material=(ZINC, BRONZE)[number % 2],
            length_nm=inches * INCH,
            quantity=1 + number % 3,
            value=Decimal(cents) / 100,
        )
        for number, (inches, cents) in enumerate(
            ((37, 150), (52, 0), (81, 400), (96, 700), (44, 90), (63, 250)), start=1
        )
    )
    return replace(order, rack=Rack(offcuts=offcuts))


def _standard_kits(order: Order) -> Order:
    kits = tuple(
        StandardKit(
            sku=f"LT-{letter}-{width}",
            material=material,
            lengths=((84 * INCH, 3), (width * INCH, 2)),
            price=Decimal(price),
        )
        for letter, material, width, price in (
            ("Z", ZINC, 36, "41.50"),
            ("B", BRONZE, 36, "60.00"),
            ("Z", ZINC, 32, "39.00"),
        )
    )
    return _first(order, standard_kits=kits)


def _substitution(order: Order) -> Order:
    rules = (Substitution(wanted=ZINC, instead=BRONZE, preference=Decimal("1.50")),)
    return replace(order, policy=replace(order.policy, substitutions=rules))


def _splices(order: Order) -> Order:
    rule = SpliceRule(
        product=PRODUCT,
        edges=frozenset({Edge.HEAD, Edge.HINGE_JAMB, Edge.STRIKE_JAMB}),
        least_segment_nm=18 * INCH,
        position_step_nm=12 * INCH,
        least_head_nm=48 * INCH,
        cost=Decimal("0.75"),
    )
    return replace(order, policy=replace(order.policy, splices=(rule,)))


TERMS: dict[str, Callable[[Order], Order]] = {
    "freight": _freight,
    "free-freight": _free_freight,
    "over-length": _over_length,
    "cut-charge": _cut_charge,
    "drop-credit": _drop_credit,
    "bundles": _bundles,
    "breaks": _breaks,
    "incremental-breaks": _incremental_breaks,
    "discounts": _discounts,
    "available": _available,
    "second-supplier": _second_supplier,
    "least-order": _least_order,
    "least-value": _least_value,
    "rack": _rack,
    "standard-kits": _standard_kits,
    "substitution": _substitution,
    "splices": _splices,
}
"""Every term of buying by its name."""

TOGETHER: Sequence[tuple[str, ...]] = (
    ("freight", "cut-charge"),
    ("breaks", "second-supplier"),
    ("rack", "drop-credit"),
    ("freight", "breaks", "rack", "cut-charge", "bundles"),
)
"""Terms that are often met together."""
