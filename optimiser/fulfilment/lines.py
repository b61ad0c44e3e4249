"""The lines of a purchase, and which of them units as stated are of."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from optimiser.domain.deliveries import OpenLine, OpenPurchase, Units
from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.faults import Fault
from optimiser.domain.phrases import write_marks
from optimiser.domain.plan import Plan, PurchaseKind, PurchaseLine
from optimiser.units.faults import quote

LineKey = tuple[str, str, tuple[str, ...]]
"""Supplier, SKU and the marks that a made-to-measure kit is made for: what names a line."""


def open_purchase(plan: Plan, *, already_bought: bool = False) -> OpenPurchase:
    """Return what a plan buys, nothing of it received.

    Lines that differ in their price alone are one. What the plan of a difference takes from
    what is already bought has lines only where it is asked for: it is not bought again.
    """
    lines: dict[LineKey, OpenLine] = {}
    for bought in plan.purchases:
        if bought.supplier == ALREADY_BOUGHT and not already_bought:
            continue
        line = _line_of(bought)
        known = lines.get(key_of(line))
        lines[key_of(line)] = (
            line if known is None else replace(known, ordered=known.ordered + line.ordered)
        )
    return OpenPurchase(lines=tuple(lines.values()))


def _line_of(bought: PurchaseLine) -> OpenLine:
    return OpenLine(
        kind=bought.kind,
        supplier=bought.supplier,
        sku=bought.sku,
        ordered=bought.quantity,
        made_for=bought.made_for if bought.kind is PurchaseKind.KIT else (),
        lengths=bought.lengths,
    )


def key_of(line: OpenLine) -> LineKey:
    """Return what names a line within its purchase."""
    return line.supplier, line.sku, line.made_for


def name_line(line: OpenLine) -> str:
    """Return a line as faults name it."""
    return line.sku if not line.made_for else f"{line.sku} for {write_marks(line.made_for)}"


class LineFinder:
    """Finds the lines that stated units are of, and adds the units up by line."""

    def __init__(self, purchase: OpenPurchase, root: str) -> None:
        """Take the purchase, and the name of the list of units for the paths of faults."""
        self._root = root
        self._by_sku: dict[tuple[str, str], list[OpenLine]] = {}
        for line in purchase.lines:
            self._by_sku.setdefault((line.supplier, line.sku), []).append(line)
        self.faults: list[Fault] = []

    def add_up(
        self, units: tuple[Units, ...], most: Callable[[OpenLine], int], excess: str, remedy: str
    ) -> dict[LineKey, int]:
        """Return how many units are stated of each line, and note every fault.

        `most` is how many units of a line there may be; more of them have the code `excess`.
        """
        sums: dict[LineKey, int] = {}
        for position, stated in enumerate(units):
            if stated.quantity < 1:
                self._note(
                    (position, "quantity"),
                    "quantity-not-positive",
                    f"{quote(stated.sku)}: the quantity is {stated.quantity:,}; give 1 or more, "
                    "or leave the line out.",
                )
            line = self._find(position, stated)
            if line is None or stated.quantity < 1:
                continue
            key = key_of(line)
            sums[key] = sums.get(key, 0) + stated.quantity
            if sums[key] > most(line):
                total = "" if sums[key] == stated.quantity else f" ({sums[key]:,} with those above)"
                self._note(
                    (position, "quantity"),
                    excess,
                    f"{name_line(line)}: the quantity is {stated.quantity:,}{total}, but "
                    f"{most(line):,} at most; {remedy}.",
                )
        return sums

    def _find(self, position: int, stated: Units) -> OpenLine | None:
        lines = self._by_sku.get((stated.supplier, stated.sku), [])
        if not lines:
            self._note(
                (position, "sku"),
                "unknown-line",
                f"Nothing with SKU {quote(stated.sku)} is bought from {quote(stated.supplier)}; "
                "correct the supplier or the SKU, or leave the line out.",
            )
            return None
        made_for = [mark for line in lines for mark in line.made_for]
        if stated.mark is None:
            if len(lines) == 1:
                return lines[0]
            self._note(
                (position, "mark"),
                "which-kit",
                f"{stated.sku}: kits of it are bought in {len(lines):,} sizes; say which by a mark "
                f"that it is made for: {write_marks(made_for)}.",
            )
            return None
        for line in lines:
            if stated.mark in line.made_for:
                return line
        for_marks = f"it is for {write_marks(made_for)}" if made_for else "it is for no one mark"
        self._note(
            (position, "mark"),
            "unknown-mark",
            f"{stated.sku}: none of it is made for {quote(stated.mark)}; {for_marks}: correct the "
            "mark, or leave it out.",
        )
        return None

    def _note(self, path: tuple[str | int, ...], code: str, message: str) -> None:
        self.faults.append(Fault((self._root, *path), code, message))


def change_lines(
    purchase: OpenPurchase, sums: dict[LineKey, int], apply: Callable[[OpenLine, int], OpenLine]
) -> OpenPurchase:
    """Return the purchase with `apply` done to each line that units are stated of."""

    def changed() -> Iterator[OpenLine]:
        for line in purchase.lines:
            units = sums.get(key_of(line), 0)
            yield apply(line, units) if units else line

    return OpenPurchase(lines=tuple(changed()))
