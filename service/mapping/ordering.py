"""What purchase orders need beside the plan, from the wire; and the orders, to it."""

from collections.abc import Iterable, Sequence
from datetime import date
from decimal import Decimal

from optimiser.domain import purchase_order as domain
from optimiser.domain.faults import Fault
from optimiser.domain.plan import Plan
from optimiser.publishing.ubl import PurchaseOrder
from optimiser.validation.ordering import ORDER_OF_DAYS, find_ordering_faults
from service.mapping.shown import ValueWriter
from service.wire import ordering as wire

_STAND_IN = date(2000, 1, 1)


def to_ordering(
    stated: wire.Ordering, suppliers: Iterable[str]
) -> tuple[domain.Ordering, tuple[Fault, ...]]:
    """Return what is stated, and every fault of it; paths begin in it.

    `suppliers` are those of the order's catalogues. What has faults is not to be used.
    """
    days = _Days()
    delivery = stated.delivery or wire.RequestedDelivery()
    ordering = domain.Ordering(
        order_id=stated.order_id,
        issue_date=days.read(stated.issue_date, "issue_date") or _STAND_IN,
        buyer=_to_party(stated.buyer),
        delivery=domain.RequestedDelivery(
            earliest=days.read(delivery.earliest, "delivery", "earliest"),
            latest=days.read(delivery.latest, "delivery", "latest"),
            address=_to_address(delivery.address),
        ),
        suppliers=tuple(
            domain.SupplierTerms(
                supplier=entry.supplier,
                order_id=entry.order_id or "",
                party=_to_party(entry.party) if entry.party else None,
                notes=tuple(entry.notes),
            )
            for entry in stated.suppliers
        ),
        notes=tuple(stated.notes),
    )
    found = find_ordering_faults(ordering, suppliers)
    # A day that does not exist has nothing before or after it.
    left_out = ORDER_OF_DAYS if days.faults else ()
    return ordering, (*days.faults, *(fault for fault in found if fault.code not in left_out))


class _Days:
    """Reads days and keeps those that no calendar has."""

    def __init__(self) -> None:
        self.faults: list[Fault] = []

    def read(self, day: str | None, *path: str) -> date | None:
        if day is None:
            return None
        try:
            return date.fromisoformat(day)
        except ValueError:
            message = f"{'.'.join(path)}: {day} is no day of the calendar; correct it."
            self.faults.append(Fault(path, "no-such-day", message))
            return None


def _to_party(party: wire.Party) -> domain.Party:
    contact = party.contact
    return domain.Party(
        name=party.name,
        ids=tuple(domain.PartyId(id=entry.id, scheme=entry.scheme or "") for entry in party.ids),
        address=_to_address(party.address),
        contact=domain.Contact(
            name=contact.name or "",
            telephone=contact.telephone or "",
            email=contact.email or "",
        )
        if contact
        else None,
    )


def _to_address(address: wire.PostalAddress | None) -> domain.PostalAddress | None:
    if address is None:
        return None
    return domain.PostalAddress(
        lines=tuple(address.lines),
        city=address.city or "",
        postal_code=address.postal_code or "",
        region=address.region or "",
        country=address.country or "",
    )


def write_orders(plan: Plan, orders: Sequence[PurchaseOrder]) -> wire.PurchaseOrders:
    """Return the purchase orders of a plan as an answer states them."""
    values = ValueWriter(plan.unit, plan.currency)
    return wire.PurchaseOrders(
        payable=values.amount(sum((order.payable for order in orders), Decimal(0))),
        currency=plan.currency,
        purchase_orders=[
            wire.PurchaseOrder(
                supplier=order.supplier,
                order_id=order.order_id,
                currency=order.currency,
                lines=order.lines,
                payable=values.amount(order.payable),
                file_name=order.file_name,
                xml=order.xml.decode(),
            )
            for order in orders
        ],
    )
