"""From the catalogue of the wire to that of the domain."""

from collections import Counter
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain import catalogue as domain
from optimiser.units.lengths import LengthUnit, parse_length
from optimiser.units.masses import parse_mass
from service.mapping.buying_in import (
    to_discounts,
    to_freight,
    to_sale_terms,
    to_weight_rate,
)
from service.mapping.faults import FaultGatherer, Path
from service.wire import catalogue as wire


def to_catalogue(
    catalogue: wire.Catalogue, unit: LengthUnit, root: Path, gatherer: FaultGatherer
) -> domain.Catalogue:
    """Return the catalogue; what cannot be read is kept by the gatherer."""
    return domain.Catalogue(
        supplier=catalogue.supplier,
        currency=catalogue.currency,
        stock_lengths=tuple(
            to_stock_length(stock, unit, (*root, "stock_lengths", position), gatherer)
            for position, stock in enumerate(catalogue.stock_lengths)
        ),
        kits=tuple(
            to_kit(kit, unit, (*root, "kits", position), gatherer)
            for position, kit in enumerate(catalogue.kits)
        ),
        fastener_packs=tuple(
            to_fastener_pack(pack, unit, (*root, "fastener_packs", position), gatherer)
            for position, pack in enumerate(catalogue.fastener_packs)
        ),
        standard_kits=tuple(
            to_standard_kit(kit, unit, (*root, "standard_kits", position), gatherer)
            for position, kit in enumerate(catalogue.standard_kits)
        ),
        freight=None
        if catalogue.freight is None
        else to_freight(catalogue.freight, unit, (*root, "freight"), gatherer),
        least_order=Decimal(catalogue.least_order),
    )


def to_stock_length(
    stock: wire.StockLength, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> domain.StockLength:
    """Return a stock length; what cannot be read is kept by the gatherer."""
    return domain.StockLength(
        sku=stock.sku,
        material=domain.Material(stock.product, stock.finish),
        length_nm=gatherer.read((*path, "length"), 1, parse_length, stock.length, unit),
        price=Decimal(stock.price),
        bars_per_unit=stock.bars_per_unit,
        **to_sale_terms(stock, path, gatherer),
    )


def to_kit(kit: wire.Kit, unit: LengthUnit, path: Path, gatherer: FaultGatherer) -> domain.Kit:
    """Return a kit; what cannot be read is kept by the gatherer."""
    longest_nm = None
    if kit.longest_piece is not None:
        longest_nm = gatherer.read(
            (*path, "longest_piece"), 1, parse_length, kit.longest_piece, unit
        )
    fasteners = None
    if kit.fasteners is not None:
        inner = (*path, "fasteners")
        fasteners = domain.KitFasteners(
            fastener=kit.fasteners.fastener,
            spacing_nm=gatherer.read(
                (*inner, "spacing"), 1, parse_length, kit.fasteners.spacing, unit
            ),
            contents=_to_contents(kit.fasteners.contents, (*inner, "contents"), gatherer),
            rounding=kit.fasteners.rounding,
        )
    return domain.Kit(
        sku=kit.sku,
        material=domain.Material(kit.product, kit.finish),
        price=_to_kit_price(kit.price, unit, (*path, "price"), gatherer),
        fasteners=fasteners,
        longest_piece_nm=longest_nm,
        least_quantity=kit.least_quantity,
        least_value=Decimal(kit.least_value),
        available=kit.available,
        discounts=to_discounts(kit.discounts),
        weight=to_weight_rate(kit.weight, unit, (*path, "weight"), gatherer),
    )


def to_standard_kit(
    kit: wire.StandardKit, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> domain.StandardKit:
    """Return a standard kit, its lengths longest first, each once; what cannot be read is kept."""
    counts: Counter[int] = Counter()
    for n, held in enumerate(kit.lengths):
        length_nm = gatherer.read(
            (*path, "lengths", n, "length"), 1, parse_length, held.length, unit
        )
        counts[length_nm] += held.count
    fasteners = None
    if kit.fasteners is not None:
        fasteners = domain.StandardKitFasteners(
            fastener=kit.fasteners.fastener,
            contents=_to_contents(
                kit.fasteners.contents, (*path, "fasteners", "contents"), gatherer
            ),
            packs=kit.fasteners.packs,
        )
    return domain.StandardKit(
        sku=kit.sku,
        material=domain.Material(kit.product, kit.finish),
        lengths=tuple(sorted(counts.items(), reverse=True)),
        price=Decimal(kit.price),
        fasteners=fasteners,
        **to_sale_terms(kit, path, gatherer),
    )


def to_fastener_pack(
    pack: wire.FastenerPack, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> domain.FastenerPack:
    """Return a pack of fasteners; what cannot be read is kept by the gatherer."""
    return domain.FastenerPack(
        sku=pack.sku,
        fastener=pack.fastener,
        contents=_to_contents(pack.contents, (*path, "contents"), gatherer),
        price=Decimal(pack.price),
        finish=pack.finish,
        **to_sale_terms(pack, path, gatherer),
    )


def _to_kit_price(
    price: wire.KitPrice, unit: LengthUnit, path: Path, gatherer: FaultGatherer
) -> domain.KitPrice:
    without_length = domain.KitPrice(
        base=Decimal(price.base),
        per_piece=Decimal(price.per_piece),
        per_pack=Decimal(price.per_pack),
    )
    if price.per_length is None:
        return without_length
    return replace(
        without_length,
        per_length=Decimal(price.per_length.price),
        per_length_nm=gatherer.read(
            (*path, "per_length", "length"), 1, parse_length, price.per_length.length, unit
        ),
    )


def _to_contents(
    contents: wire.ContentsByCount | wire.ContentsByWeight, path: Path, gatherer: FaultGatherer
) -> domain.PackContents:
    tolerance = Decimal(contents.tolerance_percent)
    if isinstance(contents, wire.ContentsByCount):
        return domain.PackContents(
            nominal=Fraction(contents.count),
            tolerance_percent=tolerance,
            basis=f"{contents.count:,} per pack",
        )
    weight_grams = gatherer.read((*path, "weight"), Fraction(1), parse_mass, contents.weight)
    pack_grams = gatherer.read(
        (*path, "pack_weight"), Fraction(1), parse_mass, contents.pack_weight
    )
    return domain.PackContents(
        nominal=Fraction(contents.count_per_weight) * pack_grams / weight_grams,
        tolerance_percent=tolerance,
        basis=f"{contents.count_per_weight} per {contents.weight}, {contents.pack_weight} per pack",
    )
