"""Faults of the articles of a catalogue: names, prices, lengths, contents."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from optimiser.domain.catalogue import (
    Catalogue,
    FastenerPack,
    Kit,
    PackContents,
    StandardKit,
    StockLength,
)
from optimiser.domain.faults import Fault
from optimiser.domain.order import Order, Policy
from optimiser.domain.repeats import find_repeated_skus
from optimiser.units.lengths import LengthUnit, format_length
from optimiser.units.money import is_currency

Path = tuple[str | int, ...]


def find_catalogue_faults(order: Order) -> tuple[Fault, ...]:
    """Return every fault of the order's catalogue, in the order in which it is written."""
    return (
        *_currency_faults(order.catalogues),
        *_repeated_skus(order.catalogues),
        *(
            fault
            for position, catalogue in enumerate(order.catalogues)
            for fault in _catalogue_faults(position, catalogue, order.policy, order.unit)
        ),
    )


def _currency_faults(catalogues: tuple[Catalogue, ...]) -> Iterator[Fault]:
    for position, catalogue in enumerate(catalogues):
        if not is_currency(catalogue.currency):
            yield Fault(
                ("catalogues", position, "currency"),
                "unknown-currency",
                f"Currency {catalogue.currency!r} is not an ISO 4217 code; "
                "give three capital letters, such as USD.",
            )
        elif catalogue.currency != catalogues[0].currency:
            yield Fault(
                ("catalogues", position, "currency"),
                "currencies-mixed",
                f"{catalogue.supplier} sells in {catalogue.currency} and "
                f"{catalogues[0].supplier} in {catalogues[0].currency}; an order is bought in one "
                "currency: state all prices in one, or send an order for each.",
            )


def _catalogue_faults(
    number: int, catalogue: Catalogue, policy: Policy, unit: LengthUnit
) -> Iterator[Fault]:
    root: Path = ("catalogues", number)
    for position, stock in enumerate(catalogue.stock_lengths):
        yield from _stock_faults((*root, "stock_lengths", position), stock, policy, unit)
    for position, kit in enumerate(catalogue.kits):
        yield from _kit_faults((*root, "kits", position), kit)
    for position, pack in enumerate(catalogue.fastener_packs):
        yield from _pack_faults((*root, "fastener_packs", position), pack, policy)


def _repeated_skus(catalogues: tuple[Catalogue, ...]) -> Iterator[Fault]:
    parts: list[tuple[int, str, Sequence[StockLength | Kit | FastenerPack | StandardKit]]] = []
    for number, catalogue in enumerate(catalogues):
        parts.append((number, "stock_lengths", catalogue.stock_lengths))
        parts.append((number, "kits", catalogue.kits))
        parts.append((number, "fastener_packs", catalogue.fastener_packs))
        parts.append((number, "standard_kits", catalogue.standard_kits))
    named: Iterator[tuple[Path, str]] = (
        (("catalogues", number, name, position), item.sku)
        for number, name, items in parts
        for position, item in enumerate(items)
    )
    yield from find_repeated_skus(named)


def _price_faults(path: Path, sku: str, name: str, price: Decimal) -> Iterator[Fault]:
    if not price.is_finite() or price < 0:
        yield Fault(
            path,
            "negative-price",
            f"SKU {sku}: the {name} is {price}; give 0 or more.",
        )


def _multiple_faults(path: Path, sku: str, multiple: int) -> Iterator[Fault]:
    if multiple < 1:
        yield Fault(
            (*path, "sold_in_multiples_of"),
            "multiple-below-one",
            f"SKU {sku} is sold in multiples of {multiple}; give 1 or more.",
        )


def _contents_faults(path: Path, sku: str, contents: PackContents) -> Iterator[Fault]:
    if not 0 <= contents.tolerance_percent < 100:
        yield Fault(
            (*path, "tolerance_percent"),
            "tolerance-out-of-range",
            f"SKU {sku}: the tolerance on the contents is {contents.tolerance_percent} %; "
            "give 0 or more, and less than 100.",
        )
    elif contents.low_count < 1:
        yield Fault(
            path,
            "empty-pack",
            f"SKU {sku}: a pack holds {float(contents.nominal):.4g} fasteners, which comes to none "
            "at the low end of its tolerance; give contents of at least one.",
        )


def _stock_faults(
    path: Path, stock: StockLength, policy: Policy, unit: LengthUnit
) -> Iterator[Fault]:
    yield from _price_faults((*path, "price"), stock.sku, "price", stock.price)
    yield from _multiple_faults(path, stock.sku, stock.sold_in_multiples_of)
    trims_nm = 2 * max(policy.end_trim_nm, 0)
    if stock.length_nm <= 0:
        yield Fault(
            (*path, "length"),
            "length-not-positive",
            f"SKU {stock.sku}: the length is {stock.length_nm} nm; give more than 0.",
        )
    elif stock.length_nm <= trims_nm:
        yield Fault(
            (*path, "length"),
            "shorter-than-trims",
            f"SKU {stock.sku}: the length, {format_length(stock.length_nm, unit)}, leaves nothing "
            f"after an end trim of {format_length(policy.end_trim_nm, unit)} at each end; "
            "give a longer length, or a smaller policy.end_trim.",
        )


def _kit_faults(path: Path, kit: Kit) -> Iterator[Fault]:
    price = kit.price
    for name in ("base", "per_piece", "per_pack"):
        yield from _price_faults(
            (*path, "price", name), kit.sku, f"price {name}", getattr(price, name)
        )
    yield from _price_faults(
        (*path, "price", "per_length", "price"), kit.sku, "price per length", price.per_length
    )
    if price.per_length_nm <= 0:
        yield Fault(
            (*path, "price", "per_length", "length"),
            "length-not-positive",
            f"SKU {kit.sku}: the length that the price per length is for is "
            f"{price.per_length_nm} nm; give more than 0.",
        )
    if kit.longest_piece_nm is not None and kit.longest_piece_nm <= 0:
        yield Fault(
            (*path, "longest_piece"),
            "length-not-positive",
            f"SKU {kit.sku}: the longest piece is {kit.longest_piece_nm} nm; give more than 0, "
            "or leave it out.",
        )
    if kit.fasteners is None:
        if price.per_pack:
            yield Fault(
                (*path, "price", "per_pack"),
                "pack-price-without-fasteners",
                f"SKU {kit.sku}: a price per pack is given, {price.per_pack}, but the kit is bare; "
                "state the kit's fasteners, or remove the price per pack.",
            )
        return
    if kit.fasteners.spacing_nm <= 0:
        yield Fault(
            (*path, "fasteners", "spacing"),
            "spacing-not-positive",
            f"SKU {kit.sku}: the supplier's spacing is {kit.fasteners.spacing_nm} nm; "
            "give more than 0.",
        )
    yield from _contents_faults((*path, "fasteners", "contents"), kit.sku, kit.fasteners.contents)


def _pack_faults(path: Path, pack: FastenerPack, policy: Policy) -> Iterator[Fault]:
    yield from _price_faults((*path, "price"), pack.sku, "price", pack.price)
    yield from _multiple_faults(path, pack.sku, pack.sold_in_multiples_of)
    yield from _contents_faults((*path, "contents"), pack.sku, pack.contents)
    if policy.fasteners_match_finish and pack.finish is None:
        yield Fault(
            (*path, "finish"),
            "finish-missing",
            f"SKU {pack.sku}: the policy asks for fasteners that match the finish, but the pack "
            "states none; give its finish, or set policy.fasteners_match_finish to false.",
        )
