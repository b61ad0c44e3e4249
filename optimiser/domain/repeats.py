"""Names that must stand only once in an order: marks, SKUs, offcuts, suppliers, splice rules.

Each function takes pairs of a path or position and a name, so that names can be compared before
the rest of an order can be read.
"""

from collections.abc import Iterable, Iterator

from optimiser.domain.faults import Fault

Path = tuple[str | int, ...]


def find_repeated_skus(named: Iterable[tuple[Path, str]]) -> Iterator[Fault]:
    """Yield a fault for each SKU that stands again; `named` pairs an article's path with it."""
    seen: dict[str, Path] = {}
    for path, sku in named:
        first = seen.setdefault(sku, path)
        if first != path:
            where = "/".join(str(part) for part in first)
            yield Fault(
                (*path, "sku"),
                "repeated-sku",
                f"SKU {sku} stands twice in the catalogues, first at {where}; "
                "a SKU names one article: remove one, or give it its own SKU.",
            )


def find_duplicate_marks(marks: Iterable[tuple[int, str]]) -> Iterator[Fault]:
    """Yield a fault for each mark that stands again; `marks` pairs a position with it."""
    first: dict[str, int] = {}
    for position, mark in marks:
        if first.setdefault(mark, position) != position:
            yield Fault(
                ("openings", position, "mark"),
                "duplicate-mark",
                f"Opening {mark} is listed twice, at positions {first[mark]} and "
                f"{position} (counted from 0); give each line its own mark, or add the "
                "quantities.",
            )


def find_repeated_ids(skus: Iterable[str], offcuts: Iterable[tuple[int, str]]) -> Iterator[Fault]:
    """Yield a fault for each offcut named as a SKU or as another offcut."""
    taken = dict.fromkeys(skus, "a SKU")
    for position, name in offcuts:
        if name in taken:
            yield Fault(
                ("rack", "offcuts", position, "id"),
                "repeated-id",
                f"Offcut {name} has the name of {taken[name]}; give it one of its own.",
            )
        taken.setdefault(name, "another offcut")


def find_repeated_suppliers(suppliers: Iterable[tuple[int, str]]) -> Iterator[Fault]:
    """Yield a fault for each supplier with a second catalogue."""
    seen: dict[str, int] = {}
    for number, supplier in suppliers:
        first = seen.setdefault(supplier, number)
        if first != number:
            yield Fault(
                ("catalogues", number, "supplier"),
                "repeated-supplier",
                f"Supplier {supplier} has two catalogues, the first at catalogues/{first}; "
                "put all that a supplier offers into one.",
            )


def find_repeated_products(products: Iterable[tuple[int, str]]) -> Iterator[Fault]:
    """Yield a fault for each product with a second rule for splices."""
    seen = set()
    for position, product in products:
        if product in seen:
            yield Fault(
                ("policy", "splices", position, "product"),
                "repeated-product",
                f"Splices of {product} have two rules; give one.",
            )
        seen.add(product)
