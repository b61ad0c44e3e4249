"""Returns: what may go back, and what is credited for it.

Whole units as sold may go back that have arrived and are not used: uncut bars (a bundle only
while none of its bars is cut), unopened packs, standard kits. Kits that are made to measure may
not, unless the terms say so; what is cut never may. Common practice, no source.

What the units of a line cost follows the price breaks of the accepted order: the credit is what
the line cost before less what it costs with the units that stay, never below zero. Freight is not
credited. Multiples and least quantities bind buying, not returning.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

from optimiser.domain.deliveries import OpenLine, OpenPurchase, Units
from optimiser.domain.faults import Fault, ReturnRejected
from optimiser.domain.order import Order
from optimiser.domain.plan import Plan, PurchaseKind
from optimiser.domain.returns import ReturnCredit, ReturnedLine, ReturnTerms, SupplierCredit
from optimiser.fulfilment.goods import Goods
from optimiser.fulfilment.lines import LineFinder, LineKey, change_lines, key_of, name_line
from optimiser.fulfilment.return_terms import find_terms_faults, terms_for
from optimiser.units.money import round_to_minor


def return_goods(
    order: Order,
    plan: Plan,
    purchase: OpenPurchase,
    returned: tuple[Units, ...],
    *,
    used: tuple[Units, ...] = (),
    terms: tuple[ReturnTerms, ...] = (),
) -> tuple[OpenPurchase, ReturnCredit]:
    """Return the purchase when goods have gone back, and what is credited for them.

    `used` are the units that are opened: bars cut (see `opened_by_cutting`), packs begun.

    Raises:
        ReturnRejected: a line that is not bought, more units than have arrived and are left,
            goods that may not go back, terms that cannot be; every fault is named, nothing goes
            back.
    """
    faults = list(find_terms_faults(purchase, terms))
    finder = LineFinder(purchase, "used")
    opened = finder.add_up(
        used,
        lambda line: line.received - line.returned,
        "more-used-than-there",
        "receive what has arrived first",
    )
    faults += finder.faults
    finder = LineFinder(purchase, "returned")
    back = finder.add_up(
        returned,
        lambda line: max(line.received - line.returned - opened.get(key_of(line), 0), 0),
        "more-than-is-left",
        "return what has arrived and is not used",
    )
    faults += finder.faults
    for line in purchase.lines:
        if back.get(key_of(line)) and not may_go_back(line, terms):
            faults.append(_not_returnable(line, returned))
    if faults:
        raise ReturnRejected(tuple(faults))
    credit = credit_returns(order, plan, purchase, back, terms)

    def go_back(line: OpenLine, units: int) -> OpenLine:
        return replace(line, returned=line.returned + units)

    return change_lines(purchase, back, go_back), credit


def may_go_back(line: OpenLine, terms: tuple[ReturnTerms, ...]) -> bool:
    """Return whether whole units of a line may go back: as the terms say, else as is usual."""
    own, general = terms_for(line.supplier, line.sku, terms)
    for stated in (own, general):
        if stated is not None and stated.returnable is not None:
            return stated.returnable
    return line.kind is not PurchaseKind.KIT


def _not_returnable(line: OpenLine, returned: tuple[Units, ...]) -> Fault:
    position = next(
        n for n, units in enumerate(returned) if (units.supplier, units.sku) == key_of(line)[:2]
    )
    why = "it is made to measure" if line.kind is PurchaseKind.KIT else "the terms say so"
    return Fault(
        ("returned", position, "sku"),
        "not-returnable",
        f"{name_line(line)} may not go back, since {why}; keep it, or state terms of "
        f"{line.supplier} under which it may.",
    )


def credit_returns(
    order: Order,
    plan: Plan,
    purchase: OpenPurchase,
    back: dict[LineKey, int],
    terms: tuple[ReturnTerms, ...],
) -> ReturnCredit:
    """Return what is credited for so many units of each line; they must be held.

    There is one line of credit for each SKU: discounts on kits count the kits of every size.
    """
    goods = Goods(order, plan)
    currency = order.catalogue.currency
    by_sku: dict[tuple[str, str], list[OpenLine]] = defaultdict(list)
    for line in purchase.lines:
        by_sku[line.supplier, line.sku].append(line)
    lines = []
    for (supplier, sku), of_sku in by_sku.items():
        going = [line for line in of_sku if back.get(key_of(line))]
        if not going:
            continue
        before = goods.price((line, line.held) for line in of_sku)
        after = goods.price((line, line.held - back.get(key_of(line), 0)) for line in of_sku)
        credit = max(round_to_minor(before - after, currency), Decimal(0))
        own, _ = terms_for(supplier, sku, terms)
        lines.append(
            ReturnedLine(
                supplier=supplier,
                sku=sku,
                quantity=sum(back[key_of(line)] for line in going),
                paid_before=before,
                paid_after=after,
                credit=credit,
                charge=_charge(credit, own, currency),
                made_for=tuple(mark for line in going for mark in line.made_for),
            )
        )
    return ReturnCredit(
        currency=currency,
        lines=tuple(lines),
        suppliers=tuple(_sum_up(lines, terms, currency)),
    )


def _charge(credit: Decimal, terms: ReturnTerms | None, currency: str) -> Decimal:
    """Return the charge on a credit, in whole minor units, half a unit up; at most the credit."""
    if terms is None:
        return Decimal(0)
    charge = Fraction(credit) * Fraction(terms.percent) / 100 + Fraction(terms.amount)
    return min(round_to_minor(charge, currency), credit)


def _sum_up(
    lines: Iterable[ReturnedLine], terms: tuple[ReturnTerms, ...], currency: str
) -> Iterator[SupplierCredit]:
    by_supplier: dict[str, list[ReturnedLine]] = defaultdict(list)
    for line in lines:
        by_supplier[line.supplier].append(line)
    for supplier, of_supplier in by_supplier.items():
        general = Decimal(0)
        terms_of_supplier = None
        for line in of_supplier:
            own, stated = terms_for(supplier, line.sku, terms)
            if own is None:
                general += line.credit
                terms_of_supplier = stated
        own_charges = sum((line.charge for line in of_supplier), Decimal(0))
        yield SupplierCredit(
            supplier=supplier,
            credit=sum((line.credit for line in of_supplier), Decimal(0)),
            charge=own_charges + _charge(general, terms_of_supplier, currency),
        )
