"""The words of purchase orders that machines read: names of items, of properties, of charges."""

from typing import Final

WORDS_OF_ORDERS: Final[dict[str, str]] = {
    "order.stock-length": "Stock length, {material}",
    "order.bundle": "Bundle of stock lengths, {material}",
    "order.kit": "Kit made to measure, {material}",
    "order.kit-with-fasteners": "Kit made to measure with fasteners, {material}",
    "order.standard-kit": "Standard kit, {material}",
    "order.pack": "Pack of {fasteners}",
    "order.made-for": "Made for {marks}.",
    "order.property.product": "Product",
    "order.property.finish": "Finish",
    "order.property.length": "Length",
    "order.property.bars": "Bars in a bundle",
    "order.property.piece-length": "Piece {number}, length",
    "order.property.piece-count": "Piece {number}, count",
    "order.property.fastener": "Fastener",
    "order.property.packs": "Packs of fasteners in a kit",
    "order.freight": "Freight",
    "order.freight-free": "Freight, free from {threshold} of goods on",
    "order.over-length": "Surcharge for goods longer than {length}",
}
