"""Names that must stand only once in an order: SKUs and marks."""

from collections.abc import Iterable, Iterator

from optimiser.domain.faults import Fault


def find_repeated_skus(named: Iterable[tuple[tuple[str | int, ...], str]]) -> Iterator[Fault]:
    """Yield a fault for each SKU that stands again; `named` pairs an article's path with it."""
    seen: dict[str, tuple[str | int, ...]] = {}
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
