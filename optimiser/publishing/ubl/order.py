"""A plan's purchase orders, one for each supplier, each adding up to what that supplier is paid."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from xml.etree import ElementTree as ET

from optimiser.domain.difference import ALREADY_BOUGHT
from optimiser.domain.plan import Plan
from optimiser.domain.publication import Language
from optimiser.domain.purchase_order import Ordering, Party
from optimiser.domain.shipment import Shipment
from optimiser.explain.document_words import word
from optimiser.publishing.ubl.elements import NAMESPACES, part, say, say_amount
from optimiser.publishing.ubl.lines import LineWriter
from optimiser.publishing.ubl.parties import add_delivery, add_party
from optimiser.units.lengths import format_length
from optimiser.units.money import format_money

_NOT_IN_A_FILE_NAME = re.compile(r"[^A-Za-z0-9._-]+")


@dataclass(frozen=True, slots=True, kw_only=True)
class PurchaseOrder:
    """One order: `payable` is what the supplier is paid, `xml` the order in UTF-8.

    `file_name` is made of the identifier and differs from those of the plan's other orders.
    """

    supplier: str
    order_id: str
    currency: str
    lines: int
    payable: Decimal
    file_name: str
    xml: bytes


def write_purchase_orders(
    plan: Plan, ordering: Ordering, language: Language = Language.AMERICAN
) -> tuple[PurchaseOrder, ...]:
    """Return the order to each supplier that the plan buys from, in the plan's order.

    What is already bought is ordered from nobody. The ordering has no faults.
    """
    shipments = tuple(s for s in plan.shipments if s.supplier != ALREADY_BOUGHT)
    order_ids = ordering.number_orders(tuple(shipment.supplier for shipment in shipments))
    orders: list[PurchaseOrder] = []
    for shipment, order_id in zip(shipments, order_ids, strict=True):
        root = _Order(plan, ordering, shipment, language).write(order_id)
        ET.indent(root)
        names = {order.file_name for order in orders}
        orders.append(
            PurchaseOrder(
                supplier=shipment.supplier,
                order_id=order_id,
                currency=plan.currency,
                lines=len(root.findall("cac:OrderLine")),
                payable=shipment.total,
                file_name=_name_file(order_id, names),
                xml=ET.tostring(root, encoding="UTF-8", xml_declaration=True) + b"\n",
            )
        )
    return tuple(orders)


def _name_file(order_id: str, taken: set[str]) -> str:
    stem = _NOT_IN_A_FILE_NAME.sub("-", order_id).strip(".-") or "order"
    names = (f"{stem}{f'_{number}' if number > 1 else ''}.xml" for number in range(1, 1_000))
    return next(name for name in names if name.lower() not in {other.lower() for other in taken})


class _Order:
    """Writes the order of one shipment."""

    def __init__(
        self, plan: Plan, ordering: Ordering, shipment: Shipment, language: Language
    ) -> None:
        self.plan = plan
        self.ordering = ordering
        self.shipment = shipment
        self.language = language
        self.terms = ordering.of_supplier(shipment.supplier)

    def write(self, order_id: str) -> ET.Element:
        """Return the root; the order of its children is the schema's."""
        root = ET.Element("Order", NAMESPACES)
        lines = [line for line in self.plan.purchases if line.supplier == self.shipment.supplier]
        say(root, "UBLVersionID", "2.1")
        say(root, "ID", order_id)
        say(root, "IssueDate", self.ordering.issue_date.isoformat())
        for note in (*self.ordering.notes, *self.terms.notes):
            say(root, "Note", note, languageID=self.language)
        say(root, "DocumentCurrencyCode", self.plan.currency, listID="ISO4217")
        say(root, "CustomerReference", self.plan.reference)
        say(root, "LineCountNumeric", str(len(lines)))
        add_party(part(root, "BuyerCustomerParty"), self.ordering.buyer)
        seller = self.terms.party or Party(name=self.shipment.supplier)
        add_party(part(root, "SellerSupplierParty"), seller)
        add_delivery(root, self.ordering.delivery)
        self._add_charges(root)
        self._add_total(root)
        writer = LineWriter(self.plan.unit, self.plan.currency, self.language)
        for number, line in enumerate(lines, 1):
            writer.add(root, number, line)
        return root

    def _charges(self) -> Iterator[tuple[str, str, Decimal]]:
        """Yield the code (UNTDID 7161), the reason and the amount of what is paid beside goods."""
        shipment, say_word = self.shipment, partial(word, language=self.language)
        if shipment.free and shipment.free_from is not None:
            threshold = format_money(shipment.free_from, self.plan.currency)
            yield "FC", say_word("order.freight-free", threshold=threshold), shipment.charge
        elif shipment.basis is not None:
            yield "FC", say_word("order.freight"), shipment.charge
        for limit_nm, surcharge in shipment.over_length:
            length = format_length(limit_nm, self.plan.unit)
            yield "SH", say_word("order.over-length", length=length), surcharge

    def _add_charges(self, root: ET.Element) -> None:
        for code, reason, amount in self._charges():
            charge = part(root, "AllowanceCharge")
            say(charge, "ChargeIndicator", "true")
            say(charge, "AllowanceChargeReasonCode", code, listID="UNCL7161")
            say(charge, "AllowanceChargeReason", reason)
            say_amount(charge, "Amount", amount, self.plan.currency)

    def _add_total(self, root: ET.Element) -> None:
        total, currency = part(root, "AnticipatedMonetaryTotal"), self.plan.currency
        say_amount(total, "LineExtensionAmount", self.shipment.goods, currency)
        charges = [amount for _, _, amount in self._charges()]
        if charges:
            say_amount(total, "ChargeTotalAmount", sum(charges, Decimal(0)), currency)
        say_amount(total, "PayableAmount", self.shipment.total, currency)
