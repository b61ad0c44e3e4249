"""From the catalogue of the wire to that of the domain."""

from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain import catalogue as domain
from optimiser.units.lengths import LengthUnit, parse_length
from optimiser.units.masses import parse_mass
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
        sold_in_multiples_of=stock.sold_in_multiples_of,
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
        sold_in_multiples_of=pack.sold_in_multiples_of,
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
