"""Faults of a catalogue told where the values stand: sheet or file, row, column."""

from collections.abc import Iterable, Iterator
from typing import Any

from optimiser.domain.faults import Fault
from service.catalogues.assembling import Assembler, absent_column
from service.catalogues.cell import Place
from service.catalogues.checking import without_place
from service.catalogues.tables import ARTICLE_TABLES, Path


def place_faults(found: Iterable[Fault], assembler: Assembler) -> Iterator[Fault]:
    """Yield the faults at their places, each once; what a cell was refused for stays untold."""
    told = set()
    for fault in found:
        if fault.path in assembler.unread:
            continue
        placed = _place_fault(fault, assembler)
        if placed not in told:
            told.add(placed)
            yield placed


def _place_fault(fault: Fault, assembler: Assembler) -> Fault:
    place = _find_place(fault.path, assembler.places)
    if place is None:
        return Fault((), fault.code, f"The catalogue: {without_place(fault, assembler.raw)}")
    if place.absent and fault.code == "missing":
        return absent_column(place)
    return Fault(place.path, fault.code, f"{place}: {_word(fault, assembler)}")


def _find_place(path: Path, places: dict[Path, Place]) -> Place | None:
    """Return the place of a value, or of the nearest one that holds it."""
    for depth in range(len(path), -1, -1):
        if path[:depth] in places:
            return places[path[:depth]]
    return None


def _word(fault: Fault, assembler: Assembler) -> str:
    """Return the message in the words of a table, where an order's are of JSON."""
    words = without_place(fault, assembler.raw)
    match fault.code, fault.path:
        case "missing", ("freight", "tiers"):
            words = "freight is stated, and Freight tiers has no row; add one, from 0 on."
        case "missing", _:
            words = "is blank and is needed beside what stands in the row; fill it in."
        case "unknown-member", _:
            words = (
                "does not go with what else stands in the row or is said of it; clear this cell "
                "or the others."
            )
        case "repeated-sku", (_, int(), "sku") as path:
            words = _word_repeated(path, assembler)
        case "number-of-entries", (*_, "lengths"):
            words = "the kit has no row in Standard kit pieces; add a row for each of its lengths."
        case "number-of-entries", _:
            words = words.replace("split the order", "split the catalogue")
    return words


def _word_repeated(path: Path, assembler: Assembler) -> str:
    sku = _look_up(assembler.raw, path)
    first = next(
        (member, position)
        for member in ARTICLE_TABLES
        for position, entry in enumerate(assembler.raw.get(member, ()))
        if entry.get("sku") == sku
    )
    return (
        f"SKU {sku} stands twice, first in {assembler.places[*first, 'sku']}; a SKU names one "
        "article: remove one, or give it its own SKU."
    )


def _look_up(raw: Any, path: Path) -> Any:
    for part in path:
        raw = raw[part]
    return raw
