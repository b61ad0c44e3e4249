"""The terms on which suppliers take goods back: which hold for a SKU, and what is wrong."""

from collections.abc import Iterator

from optimiser.domain.deliveries import OpenPurchase
from optimiser.domain.faults import Fault
from optimiser.domain.returns import ReturnTerms
from optimiser.units.faults import quote


def terms_for(
    supplier: str, sku: str, terms: tuple[ReturnTerms, ...]
) -> tuple[ReturnTerms | None, ReturnTerms | None]:
    """Return the terms of a SKU of its own, and those of its supplier; `None` where none are."""
    of_supplier = [stated for stated in terms if stated.supplier == supplier]
    own = next((stated for stated in of_supplier if stated.sku == sku), None)
    return own, next((stated for stated in of_supplier if stated.sku is None), None)


def find_terms_faults(purchase: OpenPurchase, terms: tuple[ReturnTerms, ...]) -> Iterator[Fault]:
    """Yield every fault of the terms on which goods go back."""
    bought = {(line.supplier, line.sku) for line in purchase.lines}
    suppliers = {supplier for supplier, _ in bought}
    seen = set()
    for position, stated in enumerate(terms):
        path = ("terms", position)
        whose = stated.supplier if stated.sku is None else stated.sku
        if stated.supplier not in suppliers:
            yield Fault(
                (*path, "supplier"),
                "unknown-supplier",
                f"Nothing is bought from {quote(stated.supplier)}; correct the supplier, or leave "
                "its terms out.",
            )
        elif stated.sku is not None and (stated.supplier, stated.sku) not in bought:
            yield Fault(
                (*path, "sku"),
                "unknown-line",
                f"Nothing with SKU {quote(stated.sku)} is bought from {stated.supplier}; correct "
                "the SKU, or leave its terms out.",
            )
        if (stated.supplier, stated.sku) in seen:
            yield Fault(
                path,
                "repeated-terms",
                f"{whose}: terms of return are stated twice; state them once.",
            )
        seen.add((stated.supplier, stated.sku))
        if not stated.percent.is_finite() or not 0 <= stated.percent <= 100:
            yield Fault(
                (*path, "percent"),
                "percent-out-of-range",
                f"{whose}: the restocking charge is {stated.percent} %; give 0 to 100.",
            )
        if not stated.amount.is_finite() or stated.amount < 0:
            yield Fault(
                (*path, "amount"),
                "negative-price",
                f"{whose}: the restocking charge is {stated.amount}; give 0 or more.",
            )
