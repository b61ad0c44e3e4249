"""Names that stand twice in an order as it was sent, whatever else is wrong with it."""

from collections.abc import Iterator
from typing import Any

from optimiser.domain.faults import Fault
from optimiser.domain.repeats import (
    find_duplicate_marks,
    find_repeated_ids,
    find_repeated_products,
    find_repeated_skus,
    find_repeated_suppliers,
)
from service.mapping.faults import Path, look_up

REPEATS = frozenset(
    ("duplicate-mark", "repeated-sku", "repeated-id", "repeated-supplier", "repeated-product")
)
"""The codes of these faults."""

_ARTICLES = ("stock_lengths", "kits", "fastener_packs", "standard_kits")


def find_repeats(raw: Any) -> Iterator[Fault]:
    """Yield a fault for each mark, SKU, offcut, supplier or splice rule that stands again."""
    yield from find_duplicate_marks(_named(raw, ("openings",), "mark"))
    yield from find_repeated_suppliers(_named(raw, ("catalogues",), "supplier"))
    catalogues = look_up(raw, ("catalogues",))
    skus = [
        ((*root, position), sku)
        for number in range(len(catalogues) if isinstance(catalogues, list) else 0)
        for part in _ARTICLES
        for root in [("catalogues", number, part)]
        for position, sku in _named(raw, root, "sku")
    ]
    yield from find_repeated_skus(skus)
    yield from find_repeated_ids((sku for _, sku in skus), _named(raw, ("rack", "offcuts"), "id"))
    yield from find_repeated_products(_named(raw, ("policy", "splices"), "product"))


def _named(raw: Any, root: Path, name: str) -> Iterator[tuple[int, str]]:
    """Yield the position and the name of each entry of a list that has one."""
    listed = look_up(raw, root)
    for position, entry in enumerate(listed if isinstance(listed, list) else ()):
        if isinstance(entry, dict) and isinstance(entry.get(name), str):
            yield position, entry[name]
