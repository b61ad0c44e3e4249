"""What an order to a supplier needs beside the plan: who buys, of whom, when, and where to."""

from dataclasses import dataclass, field
from datetime import date


@dataclass(frozen=True, slots=True, kw_only=True)
class PartyId:
    """An identifier of a party; `scheme` names whose it is, such as 0088 for a GLN (ISO 6523)."""

    id: str
    scheme: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PostalAddress:
    """An address; `country` is a code of ISO 3166-1, two letters, and `lines` come first."""

    lines: tuple[str, ...] = ()
    city: str = ""
    postal_code: str = ""
    region: str = ""
    country: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Whom to ask."""

    name: str = ""
    telephone: str = ""
    email: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """A buyer or a supplier."""

    name: str
    ids: tuple[PartyId, ...] = ()
    address: PostalAddress | None = None
    contact: Contact | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RequestedDelivery:
    """When goods are wanted, both days included, and where; an empty one leaves all of it open."""

    earliest: date | None = None
    latest: date | None = None
    address: PostalAddress | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplierTerms:
    """What the order to one supplier has of its own.

    `supplier` is the name in the catalogue; `party` says more of it. `order_id` goes before the
    identifier that all orders of the plan share.
    """

    supplier: str
    order_id: str = ""
    party: Party | None = None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordering:
    """What the purchase orders of a plan need beside it.

    `order_id` is the order's identifier with its buyer; where there are several suppliers, those
    without one of their own have `-1`, `-2` behind it, in the order of their catalogues.
    """

    order_id: str
    issue_date: date
    buyer: Party
    delivery: RequestedDelivery = field(default_factory=RequestedDelivery)
    suppliers: tuple[SupplierTerms, ...] = ()
    notes: tuple[str, ...] = ()

    def of_supplier(self, supplier: str) -> SupplierTerms:
        """Return the terms of a supplier; those that say nothing where none are stated."""
        stated = (terms for terms in self.suppliers if terms.supplier == supplier)
        return next(stated, SupplierTerms(supplier=supplier))

    def number_orders(self, suppliers: tuple[str, ...]) -> tuple[str, ...]:
        """Return the identifier of the order to each of the plan's suppliers."""
        own = tuple(self.of_supplier(supplier).order_id for supplier in suppliers)
        if len(suppliers) == 1:
            return (own[0] or self.order_id,)
        return tuple(mine or f"{self.order_id}-{number}" for number, mine in enumerate(own, 1))
